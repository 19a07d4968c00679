package dialog

import "ruleout/dialog/belief"

// noneBySystem splits "none of these" by system. Somebody came with the
// complaint, so an unknown cause of a system shows it as often as the known
// ones of that system do; of all else it mostly shows the baseline.
func (e *Engine) noneBySystem(s *State, post *belief.Posterior) []belief.SystemShare {
	out := post.NoneBySystem()
	f := e.findings[s.Chief]
	if f == nil || s.weights == nil {
		return out
	}
	const present = 0
	// Derived causes that nothing told points to are no hypotheses, but they are
	// part of how much can go wrong in their system.
	weight, shown, active := map[string]float64{}, map[string]float64{}, map[string]float64{}
	for i, c := range e.base.Causes {
		weight[c.System] += s.weights[i]
		if s.model != nil {
			active[c.System] += s.modelWeights[i]
		}
	}
	for _, r := range f.Rows {
		c := e.base.Causes[r.Cause]
		shown[c.System] += float64(s.weights[r.Cause] * (r.P[present] - f.Base[present]))
	}
	all := 0.0
	for i := range out {
		mean := f.Base[present]
		if w := weight[out[i].System]; w > 0 {
			mean += shown[out[i].System] / w
		}
		o := belief.DefaultOptions
		out[i].P *= mean / (o.NoneBase*f.Base[present] + o.NoneMean*mean)
		if a := active[out[i].System]; a > 0 {
			out[i].P *= weight[out[i].System] / a
		}
		all += out[i].P
	}
	for i := range out {
		if all > 0 {
			out[i].P *= post.None / all
		}
	}
	return out
}
