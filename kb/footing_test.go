package kb

import (
	"strings"
	"testing"
)

// Whatever moves a cause without its article saying so rests on a page that is
// there, and on a row that the page has.
func TestWhatFollowsRestsOnARow(t *testing.T) {
	b, _ := Embedded()
	pages := map[string]string{}
	rests := map[string]int{}
	check := func(finding, means string, c *Cause) {
		f := b.FootingOf(finding, means, c)
		if f == nil {
			t.Errorf("%s of %s rests on nothing", finding, c.ID)
			return
		}
		html, seen := pages[f.Page]
		if !seen {
			html = b.HTML(f.Page)
			pages[f.Page] = html
		}
		rests[f.Page]++
		if html == "" || f.Basis == "" || f.Row != "" && !strings.Contains(html, `<tr id="`+f.Row+`">`) {
			t.Errorf("%s of %s rests on %s (basis %q), which is not there", finding, c.ID, f.Link(), f.Basis)
		}
	}
	var ids []string
	for i := range b.Parts {
		p := "part:" + b.Parts[i].ID + ":"
		ids = append(ids, p+"replaced", p+"swapped", p+AgainSuffix)
		for _, l := range b.Derived.Looks {
			ids = append(ids, p+l.ID)
		}
		for _, a := range b.Derived.ComeGo {
			ids = append(ids, p+a.ID)
		}
		ids = append(ids, "event:work-on:"+b.Parts[i].ID, "event:fitted:"+b.Parts[i].ID)
	}
	for _, a := range b.Derived.ComeGo {
		ids = append(ids, "go:"+a.ID)
	}
	for _, e := range b.Lists.Events {
		ids = append(ids, "event:"+e.ID)
	}
	for _, a := range b.Axes {
		for _, v := range a.Values {
			ids = append(ids, "cond:*:"+a.ID+":"+v.ID)
		}
	}
	for _, id := range ids {
		d := b.Derive(id)
		if d == nil {
			t.Fatalf("%s follows from nothing", id)
		}
		for _, r := range d.Rows {
			if strings.HasPrefix(id, "event:") && r.Cause.Events[strings.Split(id, ":")[1]] != "" {
				continue // the article says it
			}
			if strings.HasPrefix(id, "cond:") && b.FootingOf(id, "", r.Cause) == nil && len(r.Cause.When) > 0 {
				continue
			}
			check(id, "", r.Cause)
		}
	}
	for _, c := range b.Causes {
		if b.Part(c.Part) == nil {
			continue
		}
		for _, m := range sortedKeys(b.Derived.Means) {
			check("part:"+c.Part+":tested", m, c)
		}
		check("part:"+c.Part+":tested", "by-eye+ohms", c)
		for _, id := range b.Speaks(c) {
			if _, said := c.Shows[id]; !said || c.Derived {
				check(id, "", c)
			}
		}
	}
	for _, page := range []string{CardMeans, CardComeGo, CardLooks, CardSwap, CardAgain, CardRenewed, CardConditions, CardBefore, CardTogether, CardReal, CardPaths} {
		if rests[page] == 0 {
			t.Errorf("nothing rests on %s", page)
		}
	}
}

func TestFootingOfNothing(t *testing.T) {
	b, _ := Embedded()
	c := b.Causes[0]
	for _, id := range []string{"", ":", "part:", "part::", "part:nothing:replaced", "cond:a:b:c", "event:", "go:none", "nothing at all"} {
		if f := b.FootingOf(id, "", c); f != nil {
			t.Errorf("%q rests on %s", id, f.Link())
		}
	}
	if !strings.Contains(htmlOf("[a](article:table-looks#row-loose)"), `href="/articles/table-looks#row-loose"`) {
		t.Error("a link to a row does not lead to it")
	}
}
