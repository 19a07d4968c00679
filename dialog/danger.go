package dialog

import "strings"

// suspectsStop says that the car must not be driven while suspects that can
// injure are not cleared: all of them at once, and again only when one of
// another system joins them. Nil when there is nothing new to say.
func (e *Engine) suspectsStop(s *State, j *judged) *Stop {
	var names []string
	var articles []string
	driving := ""
	fresh := false
	for _, c := range j.order {
		t := e.base.Causes[c]
		if j.post.Singles[c] < noDrivingAt {
			break
		}
		if t.Severity != "injury" {
			continue
		}
		if !s.Warned["system:"+t.System] {
			fresh = true
		}
		if len(articles) == 0 {
			driving = sentence(t.Driving)
		}
		articles = append(articles, t.ID)
		names = append(names, lowerFirst(t.Title)+" ("+plain(j.post.Singles[c])+")")
	}
	if !fresh {
		return nil
	}
	for _, id := range articles {
		s.Warned["system:"+e.base.Cause(id).System] = true
	}
	this := "this is"
	if len(names) > 1 {
		this = "these are"
	}
	return &Stop{Severity: "injury", Text: "Do not drive it until " + this + " cleared: " + strings.Join(names, ", ") + ". " + driving, Article: articles[0]}
}

// aboutDanger is how likely a complaint must be one that can hurt for its warning
// to come before it is known which it is. Basis: memory.
const aboutDanger = 0.1

// mayBeDanger warns of the likeliest complaint that can injure, among those that
// the words may be telling.
func (e *Engine) mayBeDanger(s *State) *Stop {
	var worst *Stop
	most := aboutDanger
	for _, id := range sortedKeys(s.About) {
		sym := e.base.Symptom(id)
		if sym == nil || sym.Danger == nil || sym.Danger.Severity != "injury" || len(sym.Danger.When) > 0 || s.About[id] < most || s.Warned["perhaps:"+id] {
			continue
		}
		most = s.About[id]
		worst = &Stop{Severity: sym.Danger.Severity, Text: "If it is “" + lowerFirst(sym.Title) + "”: " + lowerFirst(sym.Danger.Stop), Article: id}
	}
	if worst != nil {
		s.Warned["perhaps:"+worst.Article] = true
	}
	return worst
}
