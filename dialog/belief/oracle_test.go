package belief

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"
)

// The engine against a general library for Bayesian networks: the constructed
// two-level model and random ones like it.
func TestAgainstGeneralLibrary(t *testing.T) {
	missing := t.Skip
	if os.Getenv("CI") != "" {
		missing = t.Fatal
	}
	node, err := exec.LookPath("node")
	if err != nil {
		missing("node is not installed, so nothing was compared with bayesjs")
	}
	var first twoLevel
	readJSON(t, "two-level.json", &first)
	models := []*twoLevel{&first}
	r := rand.New(rand.NewPCG(5, 6))
	for range 25 {
		models = append(models, randomTwoLevel(r))
	}
	var question bytes.Buffer
	if err := json.NewEncoder(&question).Encode(models); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(node, yardsticks+"oracle.js")
	cmd.Stdin = &question
	var complaint bytes.Buffer
	cmd.Stderr = &complaint
	out, err := cmd.Output()
	var exit *exec.ExitError
	if errors.As(err, &exit) && exit.ExitCode() == 3 {
		missing("bayesjs is not installed: npm install --prefix testdata/belief")
	}
	if err != nil {
		t.Fatalf("%v: %s", err, complaint.String())
	}
	var answers [][]map[string]float64
	if err := json.Unmarshal(out, &answers); err != nil {
		t.Fatal(err)
	}
	if len(answers) != len(models) {
		t.Fatalf("%d answers to %d models", len(answers), len(models))
	}
	for i, y := range models {
		o := plain
		o.MostFaults = len(y.Priors)
		m, fs := y.model(t, o, func(p float64) float64 { return p })
		for j, q := range y.Queries {
			p := Update(m, seen(fs, q.Evidence))
			for c := range m.Causes {
				id := m.Causes[c].ID
				require(t, fmt.Sprintf("model %d, query %d: %s", i, j, id), p.Marginal[c], answers[i][j][id], 1e-9)
			}
		}
	}
}

// randomTwoLevel draws a model of two to five causes and findings.
func randomTwoLevel(r *rand.Rand) *twoLevel {
	y := &twoLevel{Priors: map[string]float64{}, Findings: map[string]twoLevelFinding{}}
	causes := 2 + r.IntN(4)
	for c := range causes {
		y.Priors[fmt.Sprint("cause", c)] = 0.01 + 0.2*r.Float64()
	}
	findings := 2 + r.IntN(4)
	for f := range findings {
		from := twoLevelFinding{Leak: 0.05 * r.Float64(), Strength: map[string]float64{}}
		for c := range causes {
			if r.IntN(3) > 0 {
				from.Strength[fmt.Sprint("cause", c)] = 0.1 + 0.85*r.Float64()
			}
		}
		y.Findings[fmt.Sprint("finding", f)] = from
	}
	for range 3 {
		said := map[string]bool{}
		for f := range findings {
			if r.IntN(3) > 0 {
				said[fmt.Sprint("finding", f)] = r.IntN(2) == 0
			}
		}
		y.Queries = append(y.Queries, twoLevelQuery{Evidence: said})
	}
	return y
}
