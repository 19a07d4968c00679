package plainwords

// caseWishes are the ways of asking about a case that lasts: where it stands,
// a part on order, a trouble that comes and goes, what to decide. They stand
// before wishTable; the notation is the same.
const caseWishes = `
report: report|notes|handover|summary for|to a|the|my? garage|shop|mechanic|workshop
report: ^handover $
recap: ^recap|remind $
recap: ^recap
recap: remind me where|what|of
recap: where are|were|was|did we|i
recap: where did|had we|i get|got|stop|stopped|leave
recap: pick up where
recap: what were|was we|i doing
recap: how does|do my|the|this case stand
arrived: part|parts has|have|just? arrived|here
arrived: part|parts has|have? come|came in? $
arrived: part|parts is|are? here|arrived
arrived: got|have|fetched|collected the|my new? part|parts
waiting: part|parts is|are? on order
waiting: part|parts is|are? ordered|coming|delayed|late
waiting: its|theyre|it on order
waiting: is|are|been on order
waiting: on order
waiting: ive|have|i ordered|order a|the|an|new|one|it *?
waiting: waiting|wait for|on a|the|my|an new? part|parts
waiting: waiting|wait for|on a|an|my|another new? *
waiting: until|till the|my new? part|parts comes|come|arrives|arrive|is|are
waiting: what can|could|should i do in? the? meanwhile|meantime
came-back: ^it|its|trouble|problem|fault came|come|comes back after|within|in *
came-back: ^it|its|trouble|problem|fault returned after|within|in *
came-back: back|happened|did again|it|again? again? after *
came-back: ^it|its|trouble|problem|fault came|come|comes back
came-back: ^its back
came-back: ^it did|does|happened it? again
sometimes: only|just does|do it|that sometimes|occasionally|intermittently|rarely|randomly
sometimes: it|its comes and goes $
sometimes: ^its? intermittent|random|sporadic|erratic $
sometimes: not|isnt doing it now|today|currently|atm|here
sometimes: wont|doesnt|never do|does it when|while im|i|were|we looking|testing|here
sometimes: cant|cannot|couldnt reproduce it|that?
sometimes: cant|cannot|couldnt|wont get it to do|happen|fail
arm: ^arm it|that|this|the *?
proven: ^yes? it? passes|passed $
proven: proof passed|passes
proven: ^seen it
too-early: too early|soon to tell|say
too-early: cant|couldnt tell yet
decide: repair|fix|mend it? or shop|garage|hand|scrap|sell|leave|stopgap|bodge
decide: what are|re my options
decide: what should|shall i decide
decide: should i fix|repair|mend|do it myself|me
decide: worth doing it? myself
decide: do it myself or
rate: my time is|costs|counts worth? *
rate: my|hourly rate is *
`
