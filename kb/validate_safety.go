package kb

import (
	"regexp"
	"slices"
	"strings"
)

// handled ties what the steps of a job have people do to the hazard that must
// then be listed, so that its caution stands before the step. Any of the ids
// will do. It only warns: words are a hint, not a proof.
var handled = []struct {
	words   *regexp.Regexp
	tools   []string
	hazards []string
}{
	{regexp.MustCompile(`\b(jack (it|the|up)|jacked|axle stands?|ramps)\b`), []string{"jack-and-stands"}, []string{"jacking"}},
	{regexp.MustCompile(`\b(bridge (the|it|terminal|across|30)|bridging|jumper lead|fused lead)\b`), []string{"jumper-lead"}, []string{"bridging"}},
	{regexp.MustCompile(`\bjump leads?\b`), []string{"jump-leads"}, []string{"jump-start", "battery"}},
	{regexp.MustCompile(`\b(open|undo|unscrew|take off|remove|loosen) the (radiator |pressure |expansion tank |coolant |bottle )?cap\b`), nil, []string{"hot-coolant", "steam"}},
	{regexp.MustCompile(`\b(drain the coolant|coolant hose off|coolant runs out|catch the coolant)\b`), nil, []string{"coolant-poison", "hot-coolant"}},
	{regexp.MustCompile(`\b(crank(s|ing)? (the|it|for|while)|turn the key to start|helper (turns the key|cranks))\b`), nil, []string{"cranking"}},
	{regexp.MustCompile(`\b(10 ?a (range|socket)|amps? range|in line (with|between))\b`), nil, []string{"amps"}},
	{regexp.MustCompile(`\b(disconnect the battery|(earth|negative|black|ground) (lead|clamp|cable|terminal) off|battery (lead|clamp) off)\b`), nil, []string{"battery", "battery-disconnect"}},
	{regexp.MustCompile(`\b(ht lead|plug lead|spark plug|ignition coil)s?\b`), nil, []string{"high-tension"}},
	{regexp.MustCompile(`\bfuel (pipe|line|hose|rail|filter)s?\b`), nil, []string{"fuel"}},
	{regexp.MustCompile(`\b(test drive|road test|drive (it|the (car|van)) (at|on|up))\b`), nil, []string{"road-test"}},
}

// unsaidHazards warns where the words or tools of a job name something that
// can hurt and neither the job nor an access it needs lists the hazard. An
// authored caution is taken as having thought of it.
func (c *checker) unsaidHazards(e *entry, path []any, text string, needs, hazards, cautions, access []string) {
	if len(cautions) > 0 {
		return
	}
	said := slices.Clone(hazards)
	for _, id := range access {
		// The walk ends at a repeated access: cycles are reported elsewhere.
		for seen := map[string]bool{}; id != "" && !seen[id]; {
			seen[id] = true
			a, ok := c.set.entries["access"][id]
			if !ok {
				break
			}
			said = append(said, a.value.(*Access).Hazards...)
			id = a.value.(*Access).Inside
		}
	}
	text = strings.ToLower(text)
	for _, h := range handled {
		hit := h.words.FindString(text)
		for _, tool := range h.tools {
			if hit == "" && contains(needs, tool) {
				hit = tool
			}
		}
		if hit == "" || slices.ContainsFunc(h.hazards, func(id string) bool { return contains(said, id) }) {
			continue
		}
		if _, ok := c.set.entries["hazards"][h.hazards[0]]; !ok {
			continue
		}
		c.warn(e, path, "add hazards: ["+h.hazards[0]+"] or a caution", "%q can hurt, and no hazard is listed for it", hit)
	}
}
