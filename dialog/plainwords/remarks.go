package plainwords

import "sort"

// Remark is a statement that was understood and that no finding takes up: what
// is said of a part, what was heard, smelt, felt or seen, what was done, how
// long or how fast, a number read somewhere, an opinion. It weighs nothing; it
// is noted so that nothing told is lost.
type Remark struct {
	// Kind is part, sense, deed, system, time, reading, opinion, again or
	// vehicle.
	Kind string
	// About is the part or system it speaks of, if it names one; Item which one.
	About, Item string
	// Terms are the words of the vocabulary it holds, in order.
	Terms      []string
	Reading    *Quantity
	Start, End int
	clause     int32
}

// senses are the kinds of word that tell what was perceived.
var senses = []string{"sound", "smell", "feel", "colour", "fluid"}

// findRemarks goes through what the other steps left, clause by clause.
func (t *turn) findRemarks() {
	t.remarking = true
	defer func() { t.remarking = false }()
	t.remarkDescription()
	for i := range t.numbers {
		t.remarkNumber(&t.numbers[i])
	}
	for i := range t.parts {
		t.remarkPart(&t.parts[i])
	}
	for c := range t.voices {
		t.remarkClause(int32(c))
	}
	t.remarkOpinions()
	sort.SliceStable(t.acc.Remarks, func(i, j int) bool { return t.acc.Remarks[i].Start < t.acc.Remarks[j].Start })
}

// remarkNumber keeps a number with a unit that no test claims, at the part
// named beside it.
func (t *turn) remarkNumber(n *number) {
	if n.taken || !n.UnitGiven && !n.Infinite || n.Unit == "" || t.allUsed(n.first, n.last) {
		return
	}
	q := n.Quantity
	r := Remark{Kind: "reading", Reading: &q, Start: n.start, End: n.end, clause: t.toks[n.first].clause}
	switch n.dim {
	case dimTime, dimDistance, dimSpeed, dimEconomy:
		r.Kind = "time"
	default:
		if p := t.partNear(n.first); p != nil {
			r.About, r.Item = p.part, p.item
			t.useTokens(t.us[p.first].first, t.us[p.last].last)
			r.Start, r.End = min(r.Start, p.start), max(r.End, p.end)
		}
	}
	n.taken = true
	t.useTokens(n.first, n.last)
	t.acc.Remarks = append(t.acc.Remarks, r)
}

// allUsed reports whether every token from first to last was used.
func (t *turn) allUsed(first, last int) bool {
	for k := first; k <= last; k++ {
		if t.toks[k].state != SpanUsed {
			return false
		}
	}
	return true
}

// partNear is the part named nearest to a token within its sentence, or nil.
func (t *turn) partNear(k int) *mention {
	var best *mention
	dist := 0
	at := sort.Search(len(t.parts), func(i int) bool { return t.us[t.parts[i].first].first >= k })
	for i := max(0, at-2); i < min(len(t.parts), at+2); i++ {
		p := &t.parts[i]
		if t.toks[t.us[p.first].first].sent != t.toks[k].sent {
			continue
		}
		if d := abs(t.us[p.first].first - k); best == nil || d < dist {
			best, dist = p, d
		}
	}
	return best
}

// remarkPart keeps what is said of a part that nothing has used yet.
func (t *turn) remarkPart(p *mention) {
	first, last := t.us[p.first].first, t.us[p.last].last
	if t.allUsed(first, last) || t.wished[p.clause] != "" {
		return
	}
	lo, hi := t.reachOf(p)
	if p.index+1 < len(t.parts) {
		if q := &t.parts[p.index+1]; q.clause == p.clause {
			hi = min(hi, t.us[q.first].first-1)
		}
	}
	r := Remark{Kind: "part", About: p.part, Item: p.item, Start: p.start, End: p.end, clause: p.clause}
	t.useTokens(first, last)
	t.take(&r, lo, hi, append([]string{"deed", "verdict", "effect", "place", "relation"}, senses...)...)
	for _, k := range p.itemAt {
		t.useTokens(k, k)
	}
	t.acc.Remarks = append(t.acc.Remarks, r)
}

// take adds the unused words of the kinds between two tokens to a remark.
func (t *turn) take(r *Remark, lo, hi int, kinds ...string) {
	at := sort.Search(len(t.words), func(i int) bool { return t.words[i].first >= lo })
	for ; at < len(t.words) && t.words[at].first <= hi; at++ {
		w := &t.words[at]
		wanted := false
		for _, k := range kinds {
			wanted = wanted || k == w.kind
		}
		if !wanted || w.last > hi || t.allUsed(w.first, w.last) {
			continue
		}
		denied := ""
		if t.toks[w.first].under {
			denied = "no "
		}
		r.Terms = append(r.Terms, denied+w.term)
		r.Start, r.End = min(r.Start, t.toks[w.first].start), max(r.End, t.toks[w.last].end)
		t.useTokens(w.first, w.last)
	}
}

// remarkClause keeps what a clause tells without naming a part: a perception,
// a system, a deed or a place.
func (t *turn) remarkClause(c int32) {
	v := &t.voices[c]
	if v.first < 0 || t.wished[c] != "" {
		return
	}
	r := Remark{Kind: "deed", Start: len(t.text), clause: c}
	if v.question {
		return
	}
	for _, w := range t.saidBetween("system", v.first, v.last) {
		if !t.allUsed(w.first, w.last) && r.About == "" {
			r.Kind, r.About = "system", w.value
			r.Start, r.End = t.toks[w.first].start, t.toks[w.last].end
			t.useTokens(w.first, w.last)
		}
	}
	n := len(r.Terms)
	t.take(&r, v.first, v.last, senses...)
	if len(r.Terms) > n && r.Kind == "deed" {
		r.Kind = "sense"
	}
	t.take(&r, v.first, v.last, "deed", "place")
	if len(r.Terms) == 0 && r.About == "" {
		return
	}
	t.take(&r, v.first, v.last, "verdict", "effect")
	t.acc.Remarks = append(t.acc.Remarks, r)
}

// remarkOpinions keeps the opinions on a part beside the answer they get.
func (t *turn) remarkOpinions() {
	for _, q := range t.acc.Requests {
		if q.Kind == "opinion" && t.systemBy[q.About] != "" {
			t.acc.Remarks = append(t.acc.Remarks, Remark{Kind: "opinion", About: q.About, Start: q.Start, End: q.End})
		}
	}
}
