package dialog

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ruleout/dialog/plan"
	"ruleout/kb"
)

// Decision lays out what can be done about the leading cause: the repair, a
// stopgap if there is an honest one, or handing over to a shop.
type Decision struct {
	Cause string `json:"cause"`
	Title string `json:"title"`
	// Chance is how likely it is the cause, in words.
	Chance string   `json:"chance"`
	Repair string   `json:"repair"`
	Cost   Estimate `json:"cost"`
	// Cures is the chance that the repair cures it: that of the causes it cures,
	// less what new parts fail.
	Cures   float64       `json:"cures"`
	Stopgap *StopgapOffer `json:"stopgap,omitempty"`
	None    string        `json:"no_stopgap,omitempty"`
	Shop    Range         `json:"shop"`
	Driving string        `json:"driving"`
	Risk    string        `json:"risk"`
	Draws   []string      `json:"draws,omitempty"`
	Advice  string        `json:"advice"`
}

// StopgapOffer is a stopgap with its limits.
type StopgapOffer struct {
	Do       string   `json:"do"`
	Cautions []string `json:"cautions"`
	Limits   string   `json:"limits"`
	Until    string   `json:"until"`
	Watch    string   `json:"watch,omitempty"`
	Wears    string   `json:"wears,omitempty"`
	// Numbers say what it draws and costs where physics gives that.
	Numbers []string `json:"numbers,omitempty"`
}

// risks say how risky driving is meanwhile, by severity.
var risks = map[string]string{
	"injury":   "can hurt someone: do not drive it until it is mended",
	"damage":   "can ruin what is still sound: only as far as the article allows",
	"nuisance": "a nuisance, as long as it starts and is seen",
}

// decide lays out the choice for the leading cause; nil while nothing is known.
func (e *Engine) decide(s *State, j *judged) *Decision {
	if !anyWeighs(s) || len(j.order) == 0 {
		return nil
	}
	lead := j.order[0]
	c := e.base.Causes[lead]
	a := e.actions[e.actionOf(lead)]
	d := &Decision{Cause: c.ID, Title: c.Title, Chance: plain(j.post.Singles[lead]), Repair: c.Repair.Do, Cost: e.estimate(s, c.Repair),
		Cures: round3(e.jobProbability(j.post.Singles, a.id) * (1 - repairBeta)),
		Shop:  Range{round2(e.settings.Shop * shopLow), round2(e.settings.Shop * shopHigh)}, Driving: c.Driving, Risk: risks[c.Severity]}
	d.Draws = e.drawWords(s, c.Draws)
	d.Stopgap, d.None = e.stopgapOffer(s, j, c)
	d.Advice = e.advice(s, j)
	return d
}

// advice says in a line what pays best now.
func (e *Engine) advice(s *State, j *judged) string {
	switch d := j.decision; {
	case e.base.Causes[j.order[0]].Severity == "injury" && e.base.Causes[j.order[0]].Repair.Difficulty == "shop":
		return "hand it over: this is not for the driveway"
	case s.care.waiting != "":
		return "wait for the part, and do what needs it not"
	case d.Kind == plan.KindCheck:
		return "check before you buy: one more check saves more than it costs"
	case d.Kind == plan.KindRepair:
		return "repair it: no check left would save more than it costs"
	}
	return "hand it over: nothing left at home is worth its cost"
}

// noStopgap are the systems on which none is offered.
var noStopgap = []string{"brakes", "steering", "wheels"}

// stopgapOffer is the stopgap of a cause with its numbers, or why there is
// none: never on brakes, steering, tyres and fuel leaks, nor while a suspect
// that can hurt someone is not cleared.
func (e *Engine) stopgapOffer(s *State, j *judged, c *kb.Cause) (*StopgapOffer, string) {
	if slices.Contains(noStopgap, c.System) || c.System == "fuel" && strings.HasPrefix(c.Mode, "leak") {
		return nil, "no stopgap on brakes, steering, tyres or fuel leaks: do not drive it, have it mended where it stands or fetched"
	}
	for _, k := range j.order {
		if x := e.base.Causes[k]; j.post.Singles[k] >= noDrivingAt && x.Severity == "injury" {
			return nil, "no stopgap while this is not cleared: " + lowerFirst(x.Title)
		}
	}
	if what := e.braking(s); what != "" {
		return nil, "no stopgap while this was told and is not cleared: " + what
	}
	g := c.Stopgap
	if g == nil {
		return nil, "none that is honest for this cause"
	}
	return &StopgapOffer{Do: g.Do, Cautions: append([]string{}, e.cautions(g.Hazards, nil, g.Cautions)...), Limits: g.Limits, Until: g.Until, Watch: g.Watch, Wears: g.Wears, Numbers: e.numbers(s, g)}, ""
}

// braking is a symptom of brakes, steering or tyres that was told, be it only
// to ask which was meant; "" if none was.
func (e *Engine) braking(s *State) string {
	for i := range s.Notes {
		n := &s.Notes[i]
		sym := e.base.Symptom(n.Finding)
		if sym == nil || n.struck || n.Outcome != "present" {
			continue
		}
		if contains(noStopgap, sym.System) {
			return lowerFirst(sym.Title)
		}
	}
	return ""
}

// numbers are what physics says of a stopgap.
func (e *Engine) numbers(s *State, g *kb.Stopgap) []string {
	out := e.drawWords(s, g.Draws)
	if f := g.ExtraFuel; f != nil {
		out = append(out, fmt.Sprintf("it burns %g to %g %% more fuel (%s): at 8 litres for 100 km (assumed) %.1f to %.1f litres more", f.Low, f.High, f.Basis, 0.08*f.Low, 0.08*f.High))
	}
	if p := g.Pressure; p != nil {
		out = append(out, fmt.Sprintf("without pressure water boils at about %.0f °C, under the cap's %g kPa at about %.0f °C", to5(boilingPoint(0)), *p, to5(boilingPoint(*p))))
	}
	return out
}

// to5 rounds a temperature to what antifreeze and height leave of it.
func to5(x float64) float64 { return math.Round(x/5) * 5 }

// drawWords say what a load costs: charge with the engine off, alternator load
// and fuel with it running.
func (e *Engine) drawWords(s *State, d *kb.Draw) []string {
	if d == nil {
		return nil
	}
	lo, hi := d.Amps[0], d.Amps[1]
	amps := fmt.Sprintf("%g to %g A", lo, hi)
	if lo == hi {
		amps = fmt.Sprintf("%g A", lo)
	}
	var parts []string
	if d.When != "running" {
		parts = append(parts, fmt.Sprintf("engine off that is %s of a full %g Ah battery (assumed) an hour, and after %s it no longer starts",
			percents(chargePerHour(lo, batteryAh), chargePerHour(hi, batteryAh)), batteryAh, hours(hoursToNoStart(hi, batteryAh), hoursToNoStart(lo, batteryAh))))
	}
	if d.When != "parked" {
		fuel := s.Vehicle["fuel"]
		if willans[fuel] == 0 {
			fuel = "petrol"
		}
		parts = append(parts, fmt.Sprintf("engine running %.0f to %.0f W of the alternator and %.2f to %.2f litres of %s an hour",
			alternatorWatts(lo), alternatorWatts(hi), fuelPerHour(lo, fuel), fuelPerHour(hi, fuel), fuel))
	}
	return []string{fmt.Sprintf("%s draws %s (%s): %s", d.What, amps, d.Basis, strings.Join(parts, "; "))}
}

func percents(lo, hi float64) string {
	if a, b := math.Round(100*lo), math.Round(100*hi); a != b {
		return fmt.Sprintf("%.0f to %.0f %%", a, b)
	}
	if hi < 0.095 {
		return fmt.Sprintf("%.1f %%", 100*hi)
	}
	return fmt.Sprintf("%.0f %%", 100*hi)
}

// hours says a range of hours, in days where it is long.
func hours(lo, hi float64) string {
	unit := "hours"
	if lo >= 72 {
		lo, hi, unit = lo/24, hi/24, "days"
	}
	a, b := fmt.Sprintf("%.0f", lo), fmt.Sprintf("%.0f", hi)
	if lo < 9.5 {
		a = fmt.Sprintf("%.1f", lo)
	}
	if hi < 9.5 {
		b = fmt.Sprintf("%.1f", hi)
	}
	a, b = strings.TrimSuffix(a, ".0"), strings.TrimSuffix(b, ".0")
	if a == b {
		return a + " " + unit
	}
	return a + " to " + b + " " + unit
}

// decideText words the choice.
func (e *Engine) decideText(s *State, j *judged) (string, []string) {
	d := e.decide(s, j)
	if d == nil {
		return "Tell me what it does first; then I can weigh repair, stopgap and shop.", nil
	}
	var b strings.Builder
	fmt.Fprintf(&b, "If it is [%s](article:%s) (%s):", d.Title, d.Cause, d.Chance)
	fmt.Fprintf(&b, "\n- **Repair**: %s Parts %s, %s; with your time %s (%s). Chance that it cures: %s.", sentence(lowerFirst(d.Repair)), d.Cost.Parts.say(), d.Cost.Minutes.sayMinutes(), d.Cost.Total.say(), d.Cost.Basis, plain(d.Cures))
	b.WriteString("\n- **Stopgap**: " + d.stopgapText())
	fmt.Fprintf(&b, "\n- **Hand over**: about %s to find and mend it (spread: memory; set the shop's figure to your own).", d.Shop.say())
	fmt.Fprintf(&b, "\n- **Driving meanwhile**: %s: %s", d.Risk, sentence(lowerFirst(d.Driving)))
	for _, w := range d.Draws {
		b.WriteString(" " + upperFirst(sentence(w)))
	}
	fmt.Fprintf(&b, "\nWhat pays now: %s", sentence(d.Advice))
	return b.String(), []string{d.Cause}
}

// stopgapText is the stopgap in words, its cautions first.
func (d *Decision) stopgapText() string {
	if d.Stopgap == nil {
		return sentence(d.None)
	}
	return d.Stopgap.text()
}

func (g *StopgapOffer) text() string {
	var b strings.Builder
	for _, w := range g.Cautions {
		b.WriteString("⚠ " + sentence(w) + " ")
	}
	fmt.Fprintf(&b, "%s Limits: %s Until: %s", sentence(g.Do), sentence(lowerFirst(g.Limits)), sentence(lowerFirst(g.Until)))
	if g.Watch != "" {
		b.WriteString(" Watch: " + sentence(g.Watch))
	}
	if g.Wears != "" {
		b.WriteString(" It wears: " + sentence(g.Wears))
	}
	for _, w := range g.Numbers {
		b.WriteString(" " + upperFirst(sentence(w)))
	}
	return b.String()
}

// setRate takes what an hour of the person's own time counts.
func (e *Engine) setRate(s *State, about string, h *heard) {
	var rate float64
	if about == "" {
		about = lastText(s)
	}
	for _, w := range strings.FieldsFunc(about, func(r rune) bool { return (r < '0' || r > '9') && r != '.' }) {
		if _, err := fmt.Sscanf(w, "%g", &rate); err == nil {
			break
		}
	}
	if rate < 1 || rate > 500 {
		h.say("What does an hour of your time count, between 1 and 500?")
		return
	}
	s.care.rate = rate / 60
	h.say("Your time counts %s an hour from now on.", amount(rate))
}
