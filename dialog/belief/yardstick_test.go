package belief

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"
)

const yardsticks = "../../testdata/belief/"

func readJSON(t *testing.T, name string, into any) {
	t.Helper()
	data, err := os.ReadFile(yardsticks + name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatal(err)
	}
}

// plain are the options under which other programs work.
var plain = Options{Bernoulli: true, NoneBase: 1, NoClamp: true, NoFold: true}

func require(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.10f, want %.10f", what, got, want)
	}
}

// The rule for two and more causes is noisy-OR with a leak where outcomes are
// two and causes promote one of them.
func TestNoisyOr(t *testing.T) {
	file, err := os.Open(yardsticks + "noisy-or.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	table, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(table) != 9 {
		t.Fatalf("%d lines", len(table))
	}
	m := &Model{Options: plain, Causes: []Cause{{ID: "cold", Weight: 0.1}, {ID: "flu", Weight: 0.1}, {ID: "malaria", Weight: 0.1}}}
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	for column, leak := range map[int]float64{3: 0, 4: 0.01, 5: 0.1} {
		for _, ordered := range []bool{false, true} {
			f := &Finding{ID: "fever", Base: []float64{1 - leak, leak}, Ordered: ordered}
			for c, inhibition := range []float64{0.6, 0.2, 0.1} {
				none := (1 - leak) * inhibition
				f.Rows = append(f.Rows, Row{Cause: c, P: []float64{none, 1 - none}})
			}
			if err := f.Prepare(); err != nil {
				t.Fatal(err)
			}
			for _, line := range table[1:] {
				var causes []int
				for c := range 3 {
					if line[c] == "T" {
						causes = append(causes, c)
					}
				}
				want, err := strconv.ParseFloat(line[column], 64)
				if err != nil {
					t.Fatal(err)
				}
				require(t, "fever under "+line[0]+line[1]+line[2], m.Shows(nil, f, causes...)[1], want, 1e-9)
			}
		}
	}
}

// twoLevel is a model of causes and findings: noisy-OR with a leak.
type twoLevel struct {
	Priors   map[string]float64         `json:"priors"`
	Findings map[string]twoLevelFinding `json:"findings"`
	Queries  []twoLevelQuery            `json:"queries"`
}

type twoLevelFinding struct {
	Leak     float64            `json:"leak"`
	Strength map[string]float64 `json:"strength"`
}

type twoLevelQuery struct {
	Evidence   map[string]bool    `json:"evidence"`
	PEvidence  float64            `json:"p_evidence"`
	Multi      map[string]float64 `json:"multi_fault_posterior"`
	None       float64            `json:"no_cause_present"`
	MostSet    []string           `json:"most_probable_set"`
	MostSetP   float64            `json:"most_probable_set_posterior"`
	Proportion map[string]float64 `json:"single_fault_posterior_prior_proportional"`
	ExactlyOne map[string]float64 `json:"single_fault_posterior_exactly_one"`
}

func (y *twoLevel) names() []string {
	var out []string
	for id := range y.Priors {
		out = append(out, id)
	}
	slices.Sort(out)
	return out
}

// model builds the engine's model with weights from the priors.
func (y *twoLevel) model(t *testing.T, o Options, weight func(p float64) float64) (*Model, map[string]*Finding) {
	t.Helper()
	m := &Model{Options: o}
	for _, id := range y.names() {
		m.Causes = append(m.Causes, Cause{ID: id, Weight: weight(y.Priors[id])})
	}
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	fs := map[string]*Finding{}
	for id, from := range y.Findings {
		f := &Finding{ID: id, Base: []float64{1 - from.Leak, from.Leak}}
		for c := range m.Causes {
			if s, ok := from.Strength[m.Causes[c].ID]; ok {
				none := (1 - from.Leak) * (1 - s)
				f.Rows = append(f.Rows, Row{Cause: c, P: []float64{none, 1 - none}})
			}
		}
		if err := f.Prepare(); err != nil {
			t.Fatal(err)
		}
		fs[id] = f
	}
	return m, fs
}

func seen(fs map[string]*Finding, said map[string]bool) []Evidence {
	var ev []Evidence
	for id, present := range said {
		l := []float64{1, 0}
		if present {
			l = []float64{0, 1}
		}
		ev = append(ev, Evidence{Finding: fs[id], Lambda: l})
	}
	return ev
}

func TestTwoLevelModelOfManyFaults(t *testing.T) {
	var y twoLevel
	readJSON(t, "two-level.json", &y)
	o := plain
	o.MostFaults = 4
	m, fs := y.model(t, o, func(p float64) float64 { return p })
	for _, q := range y.Queries {
		p := Update(m, seen(fs, q.Evidence))
		for c := range m.Causes {
			require(t, m.Causes[c].ID, p.Marginal[c], q.Multi[m.Causes[c].ID], 1e-9)
		}
		require(t, "none", p.None, q.None, 1e-9)
		require(t, "the evidence", math.Exp(p.LogEvidence), q.PEvidence, 1e-9)
		var most []string
		best := p.None
		try := func(x float64, causes ...int) {
			if x > best {
				best, most = x, nil
				for _, c := range causes {
					most = append(most, m.Causes[c].ID)
				}
			}
		}
		for c, x := range p.Singles {
			try(x, c)
		}
		for _, pair := range p.Pairs {
			try(pair.P, pair.A, pair.B)
		}
		for _, set := range p.Sets {
			try(set.P, set.Causes...)
		}
		slices.Sort(q.MostSet)
		if !slices.Equal(most, q.MostSet) {
			t.Errorf("most probable set %v, want %v", most, q.MostSet)
		}
		require(t, "the most probable set", best, q.MostSetP, 1e-9)
	}
}

func TestTwoLevelModelOfOneFault(t *testing.T) {
	var y twoLevel
	readJSON(t, "two-level.json", &y)
	if len(y.Queries) != 5 {
		t.Fatalf("%d queries", len(y.Queries))
	}
	o := Options{NoneBase: 1, NoClamp: true, MostFaults: 1}
	proportional, fs := y.model(t, o, func(p float64) float64 { return p })
	exactlyOne, _ := y.model(t, o, func(p float64) float64 { return p / (1 - p) })
	for _, q := range y.Queries {
		a, b := Update(proportional, seen(fs, q.Evidence)), Update(exactlyOne, seen(fs, q.Evidence))
		for c, id := range y.names() {
			require(t, id, a.Singles[c], q.Proportion[id], 1e-9)
			require(t, id+" of exactly one", b.Singles[c], q.ExactlyOne[id], 1e-9)
		}
	}
}

// alarmModel is the burglary network as three causes that exclude one
// another, since its table for both together is not noisy-OR: burglary alone,
// both, earthquake alone, and none.
func alarmModel(t *testing.T) *Model {
	t.Helper()
	const b, e = 0.001, 0.002
	m := &Model{
		Options: Options{None: (1 - b) * (1 - e), NoneBase: 1, NoClamp: true, MostFaults: 1},
		Causes: []Cause{
			{ID: "a-burglary", Weight: b * (1 - e)},
			{ID: "b-both", Weight: b * e},
			{ID: "c-earthquake", Weight: e * (1 - b)},
		},
	}
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	return m
}

// binary makes a finding that is true with the chances given under burglary,
// both, earthquake and neither.
func binary(id string, burglary, both, earthquake, none float64) *Finding {
	f := &Finding{ID: id, Base: []float64{1 - none, none}}
	for c, p := range []float64{burglary, both, earthquake} {
		f.Rows = append(f.Rows, Row{Cause: c, P: []float64{1 - p, p}})
	}
	return f
}

var (
	alarmTable = [4]float64{0.94, 0.95, 0.29, 0.001}
	callers    = map[string][2]float64{"john_calls": {0.05, 0.90}, "mary_calls": {0.01, 0.70}}
)

func alarmFinding() *Finding {
	return binary("alarm", alarmTable[0], alarmTable[1], alarmTable[2], alarmTable[3])
}

// witness is what a caller says of the state "alarm".
func witness(alarm *Finding, who string, called bool) Evidence {
	l := []float64{callers[who][0], callers[who][1]}
	if !called {
		l = []float64{1 - l[0], 1 - l[1]}
	}
	return Evidence{Finding: alarm, Lambda: l, Label: who}
}

type network struct {
	Queries []struct {
		Evidence  map[string]bool
		PEvidence float64            `json:"p_evidence"`
		Posterior map[string]float64 `json:"posterior_true"`
	}
}

// Callers are witnesses of one state: then every row of the network comes
// out, also those with both.
func TestAlarmNetworkByWitnesses(t *testing.T) {
	var y network
	readJSON(t, "alarm.json", &y)
	if len(y.Queries) != 10 {
		t.Fatalf("%d queries", len(y.Queries))
	}
	m, alarm := alarmModel(t), alarmFinding()
	known := map[string]*Finding{
		"alarm":      alarm,
		"burglary":   binary("burglary", 1, 1, 0, 0),
		"earthquake": binary("earthquake", 0, 1, 1, 0),
	}
	for _, q := range y.Queries {
		var ev []Evidence
		for id, value := range q.Evidence {
			if _, ok := callers[id]; ok {
				ev = append(ev, witness(alarm, id, value))
			} else {
				ev = append(ev, seen(known, map[string]bool{id: value})...)
			}
		}
		if err := m.Check(ev); err != nil {
			t.Fatal(err)
		}
		p := Update(m, ev)
		require(t, "the evidence", math.Exp(p.LogEvidence), q.PEvidence, 1e-9)
		if want, ok := q.Posterior["burglary"]; ok {
			require(t, "burglary", p.Singles[0]+p.Singles[1], want, 1e-9)
		}
		if want, ok := q.Posterior["earthquake"]; ok {
			require(t, "earthquake", p.Singles[2]+p.Singles[1], want, 1e-9)
		}
	}
}

// A caller taken as a finding of its own gives the rows of one caller, but two
// such findings count the one alarm twice.
func TestAlarmNetworkFlat(t *testing.T) {
	m := alarmModel(t)
	flat := map[string]*Finding{}
	for who, p := range callers {
		through := func(alarm float64) float64 { return alarm*p[1] + (1-alarm)*p[0] }
		a := alarmTable
		flat[who] = binary(who, through(a[0]), through(a[1]), through(a[2]), through(a[3]))
	}
	burglary := func(said map[string]bool) float64 {
		p := Update(m, seen(flat, said))
		return p.Singles[0] + p.Singles[1]
	}
	require(t, "burglary if John calls", burglary(map[string]bool{"john_calls": true}), 0.01628372995, 1e-9)
	require(t, "burglary if Mary calls", burglary(map[string]bool{"mary_calls": true}), 0.05611745404, 1e-9)
	twice := burglary(map[string]bool{"john_calls": true, "mary_calls": true})
	if twice < 0.2842+0.1 {
		t.Errorf("two findings of one alarm give %v; counted once it is 0.2842", twice)
	}
	// The same tied together: both follow from the alarm.
	alarm := alarmFinding()
	var ev []Evidence
	for who, p := range callers {
		f := &Finding{ID: who, Base: []float64{1 - p[0], p[0]}, Parent: alarm, Given: [][]float64{{1 - p[0], p[0]}, {1 - p[1], p[1]}}}
		ev = append(ev, Evidence{Finding: f, Lambda: []float64{0, 1}})
	}
	if err := m.Check(ev); err != nil {
		t.Fatal(err)
	}
	p := Update(m, ev)
	require(t, "burglary if both follow from the alarm", p.Singles[0]+p.Singles[1], 0.2841718354, 1e-9)
}

// The published figure with the rule for two causes in place of the network's
// own entry for both: four digits.
func TestAlarmNetworkByTwoCauses(t *testing.T) {
	m := &Model{Options: plain, Causes: []Cause{{ID: "burglary", Weight: 0.001}, {ID: "earthquake", Weight: 0.002}}}
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	alarm := &Finding{ID: "alarm", Base: []float64{0.999, 0.001}, Rows: []Row{{Cause: 0, P: []float64{0.06, 0.94}}, {Cause: 1, P: []float64{0.71, 0.29}}}}
	p := Update(m, []Evidence{witness(alarm, "john_calls", true), witness(alarm, "mary_calls", true)})
	require(t, "burglary", p.Marginal[0], 0.2842, 5e-5)
}

// Impossible evidence is said to be so, and nothing is not a number.
func TestImpossibleEvidence(t *testing.T) {
	m := alarmModel(t)
	both := binary("burglary", 1, 1, 0, 0)
	never := binary("house", 0, 0, 0, 0)
	p := Update(m, []Evidence{{Finding: both, Lambda: []float64{0, 1}}, {Finding: never, Lambda: []float64{0, 1}}})
	if !p.Impossible {
		t.Error("not found impossible")
	}
	for _, x := range append(p.Singles, p.None) {
		if math.IsNaN(x) {
			t.Error("not a number")
		}
	}
}
