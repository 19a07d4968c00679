package plainwords

// caseWishes are the ways of asking about a case that lasts: where it stands,
// a part on order, a trouble that comes and goes, what to decide. They stand
// before wishTable; the notation is the same.
const caseWishes = `
nothing-before: nothing|nothings|nowt was|has|ive|i|have? been? done|changed|touched|fitted|new|different|worked *?
nothing-before: havent|hasnt|never been? touched|changed|fitted|worked anything|it|on|a? thing? recently|lately?
nothing-before: no work|changes|jobs|repairs done|recently|lately *?
nothing-before: nothing odd|unusual|strange|special|out *?
nothing-before: ^nothing|nowt|not that i know|remember|recall of? $
nothing-before: ^nothing|nowt|not i can think|remember of? $
nothing-before: ^nothing|nowt as far as i know|remember
past-cases: past|old|earlier|previous|other|similar cases|case|jobs|job *?
past-cases: seen|had this before
past-cases: cases|jobs|case|job like this|it *?
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
arrived: part|parts|it|one|they turned|showed up
arrived: got|picked|collected|fetched|have the|my|a|some? new? part|parts|one|it up|today|here|now
waiting: part|parts is|are? on order
waiting: is|are|has|have? been? on order $
waiting: ordered|order a|an|the|my|new|another|one|some *?
waiting: ordered|reordered $
waiting: is|are|been ordered
waiting: cant|cannot|couldnt|wont get|have the|a|any|one|it|them? part|parts|one|it? until|till|before *
waiting: a|the|new|one|part|parts coming|arriving|due on|in|next|by|tomorrow|monday|tuesday|wednesday|thursday|friday|saturday|sunday *?
waiting: in the post|mail $
waiting: waiting|wait for|on the|my|some? *
waiting: part|parts is|are? ordered|coming|delayed|late
waiting: its|theyre|it on order
waiting: is|are|been on order
waiting: on order
waiting: ive|have|i ordered|order a|the|an|new|one|it *?
waiting: until|till the|my new? part|parts comes|come|arrives|arrive|is|are
waiting: what can|could|should i do in? the? meanwhile|meantime
came-back: ^it|its|trouble|problem|fault came|come|comes back after|within|in *
came-back: ^it|its|trouble|problem|fault returned after|within|in *
came-back: back|happened|did again|it|again? again? after *
came-back: ^it|its|trouble|problem|fault came|come|comes back
came-back: ^its back
came-back: now|today|then|and|but its|it|theyre is? back
came-back: ^its|it|hes|shes is? doing|at it|that again
came-back: ^back to square one
came-back: ^square one
came-back: ^here we go again
came-back: its|it|problem|fault|trouble|same returned
came-back: then|and it? did|does|happened it|that? again
came-back: lasted a|two|three|four|five|one|few|couple *
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
decide: is|would it|this|that be? a? big|hard|difficult|easy|major|tricky|awkward job|fix|repair|one|do|mend?
decide: can|could i do|fix|repair|mend|change|manage this|that|it myself|at|on *?
decide: how long will|would|does|should it|this|that take
decide: what tools|kit|gear|spanners do|would|will i need
decide: what do|would|will i need to|for *?
decide: diy job|able|friendly?
pause: ill|will|going|gonna|i|we to|do|try|look|check|get|carry|leave|have it|that|this|on|at|a|back|look? tomorrow|later|tonight|weekend|morning
pause: ill|will do|try|look|check|leave|have it|that|this|a? go|look? at|in|over|on the? weekend|morning|week|saturday|sunday|monday|tuesday|wednesday|thursday|friday
pause: stop|stopping|leave|leaving|call|calling|knock|park|done|finish|enough it? here|there|this? for now|today|tonight
pause: for now|today|tonight|the|this day|evening|night? $
pause: calling it a day|night
pause: call it a day|night
pause: pick|carry|come this|it|on|back up|on|to|later|tomorrow? this|it? tomorrow|later|another|at|on *?
pause: too cold|dark|late|wet|tired now|tonight|to|for *?
pause: back later|tomorrow|soon|in
pause: tomorrow|later|another then|now|day $
decide: what should|shall i decide
decide: should i fix|repair|mend|do it myself|me
decide: worth doing it? myself
decide: do it myself or
rate: my time is|costs|counts worth? *
rate: my|hourly rate is *
`
