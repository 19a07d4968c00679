package retrieval

import (
	"math"
	"slices"
	"testing"
)

// recall is the share of the wanted found among the first k.
func recall(ranked, wanted []string, k int) float64 {
	n := 0
	for _, id := range ranked[:min(k, len(ranked))] {
		if slices.Contains(wanted, id) {
			n++
		}
	}
	return float64(n) / float64(len(wanted))
}

// success is 1 when any wanted article is among the first k.
func success(ranked, wanted []string, k int) float64 {
	return math.Ceil(recall(ranked, wanted, k))
}

// reciprocal is one over the rank of the first wanted, 0 without one.
func reciprocal(ranked, wanted []string) float64 {
	for i, id := range ranked {
		if slices.Contains(wanted, id) {
			return 1 / float64(i+1)
		}
	}
	return 0
}

// dcg has linear gains and the discount log2(rank + 1).
func dcg(gains []float64, k int) float64 {
	sum := 0.0
	for i, g := range gains[:min(k, len(gains))] {
		sum += g / math.Log2(float64(i+2))
	}
	return sum
}

// ndcg is the dcg over that of the ideal order of all gains in the collection.
func ndcg(gains, all []float64, k int) float64 {
	ideal := slices.Clone(all)
	slices.SortFunc(ideal, func(a, b float64) int { return int(math.Copysign(1, b-a)) })
	return dcg(gains, k) / dcg(ideal, k)
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %.10g, want %.10g", what, got, want)
	}
}

// Published values. Linear gains, discount log2(rank + 1). The list of ten is
// that of Järvelin and Kekäläinen (ACM TOIS 20, 2002), its nDCG confirmed with
// NIST trec_eval 10.0; the list of six and the reciprocal ranks are the
// Wikipedia examples; the binary one is of a public manual of metrics.
func TestMeasures(t *testing.T) {
	ten := []float64{3, 2, 3, 0, 0, 1, 2, 2, 3, 0}
	near(t, "DCG at 2", dcg(ten, 2), 4.2618595071, 1e-9)
	near(t, "DCG at 10", dcg(ten, 10), 8.3188, 5e-5)
	for k, want := range map[int]float64{3: 0.9013, 5: 0.7177, 10: 0.9168} {
		near(t, "nDCG", ndcg(ten, ten, k), want, 5e-5)
	}
	six := []float64{3, 2, 3, 0, 1, 2}
	near(t, "DCG of six", dcg(six, 6), 6.8611, 5e-5)
	near(t, "nDCG of six", ndcg(six, six, 6), 0.960808, 5e-7)
	near(t, "nDCG against the collection", ndcg(six, []float64{3, 3, 3, 2, 2, 2}, 6), 0.785002, 5e-7)
	near(t, "nDCG of 2,1,2,0", ndcg([]float64{2, 1, 2, 0}, []float64{2, 1, 2, 0}, 4), 0.9651954696, 1e-9)
	near(t, "binary nDCG", ndcg([]float64{0, 0, 1, 0, 1}, []float64{1, 1, 1}, 5), 0.416181156, 1e-8)

	ranked := []string{"a", "b", "c", "d", "e"}
	near(t, "MRR", (reciprocal(ranked, []string{"c"})+reciprocal(ranked, []string{"b"})+reciprocal(ranked, []string{"a"}))/3, 11.0/18, 1e-12)
	near(t, "MRR with a miss", (reciprocal(ranked, []string{"z"})+reciprocal(ranked, []string{"b"})+reciprocal(ranked, []string{"a"}))/3, 0.5, 1e-12)
	for k, want := range map[int]float64{1: 0, 3: 0.5, 5: 1} { // trec_eval: 2 relevant, hits at 3 and 5
		near(t, "recall", recall(ranked, []string{"c", "e"}, k), want, 1e-12)
	}
	near(t, "success with one of two", success(ranked, []string{"c", "z"}, 3), 1, 0)
	near(t, "success with none", success(ranked, []string{"z"}, 5), 0, 0)
}
