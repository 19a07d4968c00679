// Reads two-level models as JSON on stdin and writes, for each of their
// queries, the probability of every cause, as computed by a general library
// for Bayesian networks. Needs the npm package bayesjs (see package.json).
//
// in:  [{"priors": {cause: p}, "findings": {id: {"leak": p, "strength": {cause: p}}},
//        "queries": [{"evidence": {id: bool}}]}]
// out: [[{cause: p}]]
'use strict'

let bayes
try {
  bayes = require('bayesjs')
} catch (missing) {
  console.error('bayesjs is not installed')
  process.exit(3)
}

// Every combination of the parents' values.
function combinations (parents) {
  return parents.reduce(
    (all, id) => all.flatMap(when => ['T', 'F'].map(v => ({ ...when, [id]: v }))), [{}])
}

function network (model) {
  const nodes = {}
  for (const [id, p] of Object.entries(model.priors)) {
    nodes[id] = { id, states: ['T', 'F'], parents: [], cpt: { T: p, F: 1 - p } }
  }
  for (const [id, { leak, strength }] of Object.entries(model.findings)) {
    const parents = Object.keys(strength)
    const cpt = combinations(parents).map(when => {
      let none = 1 - leak
      for (const c of parents) if (when[c] === 'T') none *= 1 - strength[c]
      return { when, then: { T: 1 - none, F: none } }
    })
    nodes[id] = { id, states: ['T', 'F'], parents, cpt }
  }
  return nodes
}

function answer (model) {
  const net = network(model)
  return model.queries.map(({ evidence }) => {
    const given = {}
    for (const [id, v] of Object.entries(evidence)) given[id] = v ? 'T' : 'F'
    const out = {}
    for (const c of Object.keys(model.priors)) {
      out[c] = bayes.inferences.variableElimination.infer(net, { [c]: 'T' }, given)
    }
    return out
  })
}

const models = JSON.parse(require('fs').readFileSync(0, 'utf8'))
process.stdout.write(JSON.stringify(models.map(answer)))
