package plan

import (
	"math"
	"testing"

	"ruleout/dialog/belief"
)

// twoWay is a finding with the outcomes + and -, of which all causes speak.
func twoWay(id string, plus ...float64) *belief.Finding {
	f := &belief.Finding{ID: id, Base: []float64{0.5, 0.5}, NoneIsBase: true}
	for c, p := range plus {
		f.Rows = append(f.Rows, belief.Row{Cause: c, P: []float64{p, 1 - p}})
	}
	return f
}

// TestSplit: the next-test table for three causes, worked by hand from Bayes'
// rule. The gains are those of the same table in bits.
func TestSplit(t *testing.T) {
	p := single([]float64{0.5, 0.3, 0.2}, []float64{1, 1, 1}, 10)
	p.Belief.None = 0
	rows := []struct {
		id          string
		show        []float64
		plus        float64
		after, less []float64
		gain        float64
	}{
		{"headlamps-dim", []float64{0.90, 0.05, 0.60}, 0.585, []float64{0.769231, 0.025641, 0.205128}, []float64{0.120482, 0.686747, 0.192771}, 0.464444462},
		{"jump-start", []float64{0.95, 0.05, 0.10}, 0.510, []float64{0.931373, 0.029412, 0.039216}, []float64{0.051020, 0.581633, 0.367347}, 0.676794757},
		{"zground-drop", []float64{0.10, 0.05, 0.95}, 0.255, []float64{0.196078, 0.058824, 0.745098}, []float64{0.604027, 0.382550, 0.013423}, 0.441410904},
	}
	for i, r := range rows {
		p.Checks = append(p.Checks, Check{ID: r.id, Findings: []*belief.Finding{twoWay(r.id, r.show...)}})
		got := Split(p, i, 3)
		if len(got) != 2 {
			t.Fatalf("%s: %d outcomes", r.id, len(got))
		}
		gain := entropy(p.Belief.Singles)
		for o, want := range [][]float64{r.after, r.less} {
			share := r.plus
			if o == 1 {
				share = 1 - r.plus
			}
			if math.Abs(got[o].P-share) > 1e-9 {
				t.Errorf("%s: P = %v, want %v", r.id, got[o].P, share)
			}
			post := make([]float64, 3)
			for _, l := range got[o].Leaves {
				post[l.Cause] = l.P
			}
			for c := range want {
				if math.Abs(post[c]-want[c]) > 1e-6 {
					t.Errorf("%s outcome %d: posterior %v, want %v", r.id, o, post, want)
				}
			}
			gain -= got[o].P * entropy(post)
		}
		if math.Abs(gain-r.gain) > 1e-8 {
			t.Errorf("%s: gain %v bit, want %v", r.id, gain, r.gain)
		}
	}
	if err := p.Validate(); err != nil {
		t.Error(err)
	}
}

// entropy is in bits.
func entropy(p []float64) float64 {
	h := 0.0
	for _, v := range p {
		if v > 0 {
			h -= v * math.Log2(v)
		}
	}
	return h
}
