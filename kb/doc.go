// Package kb is the knowledge base: the article types, the lists to which
// articles refer, loading, validation and the embedded articles. It knows
// what an author wrote, not what is done with it.
//
// # Articles
//
// One YAML file each, under articles/SYSTEM/. A symptom:
//
//	kind: symptom
//	id: overheats
//	title: Engine gets too hot
//	system: cooling
//	known_by: gauge
//	base: rarely                      # shown by cars whose trouble is elsewhere
//	said: [gets hot, overheating, boils over, the needle goes into the red, ...]
//	danger: {severity: damage, stop: "Needle in the red or steam: stop, engine off, cap shut."}
//	questions:
//	  - id: overheats-where
//	    ask: Does it get hot only standing and in slow traffic, only at speed, or everywhere?
//	    why: airflow from driving stands in for the fan
//	    order: when
//	    axis: motion                  # "fine on the motorway" is a witness of this question
//	    outcomes:
//	      - {id: stopped, title: only stopped or slow, base: 0.3, said: [only in traffic, only at lights], is: [stopped only, at-speed never, at-speed better]}
//	      - {id: at-speed, title: only at speed, base: 0.2, said: [only on the motorway], is: [at-speed only, stopped never]}
//	      - {id: everywhere, title: everywhere, base: 0.5, said: [all the time], is: [stopped same, at-speed same]}
//	body: |
//	  Markdown, with links such as [fan motor](article:fan-motor-failed).
//
// A cause:
//
//	kind: cause
//	id: fan-motor-failed
//	title: Radiator fan motor failed (worn brushes or seized)
//	system: cooling
//	part: radiator-fan-motor          # from lists/parts.yaml
//	mode: worn                        # from lists/modes.yaml
//	place: part                       # part, connector or lead; default the mode's
//	frequency: {per_thousand: 9, basis: memory}
//	applies: {vehicle: {fan-drive: [electric]}}
//	shows:                            # finding -> outcome -> likelihood
//	  overheats: {present: very often}
//	  overheats-where: {stopped: nearly always}
//	  fan-direct-feed: {still: nearly always}
//	when:
//	  - {axis: weather, value: heat, relation: worse, how: often}
//	severity: damage
//	driving: Drive only where air flows; watch the needle; never sit in a queue with it.
//	leads_to: {head-gasket-leaks: 0.05}
//	repair: {do: Renew the fan motor, minutes: 60, money: {low: 40, high: 180, basis: memory}, parts: [radiator fan motor], difficulty: easy, access: [fan-out], hazards: [fan], steps: [...]}
//	stopgap: {do: ..., limits: ..., until: ..., wears: ..., draws: {what: the fan, amps: [10, 20], when: running, basis: memory}}
//	proof: {do: Let it idle hot until the fan has come on and gone off twice., test: fan-cycles, outcome: "yes", shows_after: next warm-up}
//	body: ...
//
// A test:
//
//	kind: test
//	id: fan-direct-feed
//	title: Feed the fan motor straight from the battery
//	system: cooling
//	ask: Does the fan run when fed straight from the battery?
//	part: radiator-fan-motor
//	needs: [jumper-lead]
//	minutes: 8
//	difficulty: easy
//	requires: [key-off]
//	hazards: [fan, bridging]
//	steps: [...]
//	outcomes:
//	  - {id: runs, title: runs, base: 0.95, said: [it runs, fan spins up], means: The motor is sound; what feeds or commands it is not.}
//	  - {id: still, title: stays still, base: 0.05, said: [nothing, doesn't turn], means: The motor is the fault.}
//
// A test with a reading has outcomes too, and bands that tie the number to
// them; the person may answer with the number or with the outcome.
//
// # Likelihoods
//
// A likelihood is a word of Scale or a number. Outcomes that a cause leaves
// unsaid share the rest in proportion to the baseline; a finding that a cause
// leaves unsaid shows its baseline under that cause.
package kb
