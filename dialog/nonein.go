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
	n := len(e.systems)
	weight, shown, active := make([]float64, n), make([]float64, n), make([]float64, n)
	for i, w := range s.weights {
		weight[e.causes[i].system] += w
	}
	if s.model != nil {
		for i, w := range s.modelWeights {
			active[e.causes[i].system] += w
		}
	}
	for _, r := range f.Rows {
		shown[e.causes[r.Cause].system] += float64(s.weights[r.Cause] * (r.P[present] - f.Base[present]))
	}
	all := 0.0
	for i := range out {
		mean, system := f.Base[present], e.systems[out[i].System]
		if w := weight[system]; w > 0 {
			mean += shown[system] / w
		}
		o := belief.DefaultOptions
		out[i].P *= mean / (o.NoneBase*f.Base[present] + o.NoneMean*mean)
		if a := active[system]; a > 0 {
			out[i].P *= weight[system] / a
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
