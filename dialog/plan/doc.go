// Package plan chooses what to do next: a check, a repair, or the shop. Start
// with Best; Split explains one check. What is dangerous, spoilt by a start or
// out of the person's reach is decided by the caller, who leaves it out of the
// Problem or puts it first.
//
// # Expected cost to cure
//
// Repairs are tried one after another until the trouble is gone; the shop is
// the way out. Repair i cures with
//
//	p_i = (1-β_i)·Σ (P(c alone) + ½·Σ P(c with another)) over the causes c that it cures
//
// so a pair counts half for each of its two causes and wholly for a repair
// that cures both. What β leaves over is cured by nothing but the shop. In
// falling order of p_i/c_i, ties by id,
//
//	V(b) = min over all k of [ Σ_{i≤k} c_i·(T - P_{<i}) + (T - P_{≤k})·S ]
//
// where T is the mass of b (1 when normalised), P a running sum of p and S the
// cost of the shop. V is homogeneous, V(t·b) = t·V(b), so the belief after an
// outcome o is used unnormalised, as b·P(o|h). A cause that several repairs
// cure counts for the first of them that was not tried.
//
// Work that opens the way to others is paid once. Accesses nest in a tree. What
// lies behind one is taken in blocks: the prefix with the greatest
// Σp/(access+Σc), which then competes by that ratio with the rest. A repair
// that needs two accesses on different branches belongs to the deeper one and
// pays the other in full.
//
// # Worth of a check
//
//	worth = V(b) - cost - a·Σ_o V(b_o) - (1-a)·V(b)
//
// with a the chance that the person can answer (0.9 where unsaid): a check
// that nobody can answer costs what it costs and leaves the belief as it is.
// The cost includes the accesses that the check must open; they stay open, so
// every V after it is computed with them open, that of the unanswered check
// too. A question costs 20 s, and 10 s more for each one asked since the last
// act; below a worth of 1 % of V none is asked.
//
// A look-round of several findings is valued as a whole, by the joint outcomes
// of its findings given each hypothesis, up to JointLimit of them; beyond
// that the findings of greatest single worth are valued jointly and the rest
// is left out, which only understates it. The choice is made once, by the
// belief as it is.
//
// # Look-ahead
//
//	V1(b) = min(V(b), min over checks of cost + Σ_o V(b_o))
//
// Candidates are the three checks of greatest worth and the first two repairs
// of the order; each is charged cost + Σ_o V1(b_o), with second checks from the
// best four of the first step. A repair has two outcomes: cured, or the belief
// without what it cures, of which β is kept. The least total is proposed,
// unless V(b) is less: then the first repair of the order, or the shop. For a
// look-round only its likeliest AheadLimit outcomes look ahead, the others use
// V. Costs are compared after rounding to 1e-9 relative, ties by id. The limit
// on questions is not applied to second checks.
//
// # What makes it fast
//
// A finding speaks of few causes. All others keep their order, so V after an
// outcome merges the few changed repairs into the sorted rest, and stops at the
// first item after which no longer prefix can be better: see pay. What lies
// behind an access is laid out anew only if its turn comes before that.
//
// A check is passed over, with the same answer, when the most it could save is
// less than what the fourth best so far saves: see least and bound. Repairs
// whose p/c is at most (what no repair can cure)/S never pay and are left out of
// the lists.
//
// Two floors are part of the rule, not of its evaluation: listed pairs below
// pairFloor are planned for as half of each cause alone, and a check is not
// taken to change a cause alone below faint.
package plan
