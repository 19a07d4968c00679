package dialog

import (
	"fmt"
	"math"

	"ruleout/kb"
)

// Figures for the spread of time and cost. Basis: memory.
const (
	// firstTimer is how much longer a job takes somebody who does it for the
	// first time than the authored minutes say.
	firstTimer = 2.0
	// shopLow and shopHigh are the spread of a shop's bill about the setting.
	shopLow, shopHigh = 0.7, 1.5
)

// Range is an interval of a quantity, in the unit that its field says.
type Range struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Estimate is what a repair costs, as ranges with their basis. Money is in the
// currency of the articles.
type Estimate struct {
	// Minutes run from the authored time, with access, to that of somebody who
	// does it for the first time.
	Minutes Range `json:"minutes"`
	// Parts is the authored range; Labour is the minutes at the rate.
	Parts  Range `json:"parts"`
	Labour Range `json:"labour"`
	Total  Range `json:"total"`
	// Rate is what an hour of one's own time counts.
	Rate  float64 `json:"rate"`
	Basis string  `json:"basis"`
}

// estimate reckons a repair with everything that must be opened for it.
func (e *Engine) estimate(s *State, r kb.Repair) Estimate {
	m := r.Minutes + e.accessMinutes(r.Access)
	rate := e.minuteCost(s)
	x := Estimate{
		Minutes: Range{m, m * firstTimer},
		Parts:   Range{r.Money.Low, r.Money.High},
		Labour:  Range{round2(m * rate), round2(m * firstTimer * rate)},
		Rate:    round2(60 * rate),
	}
	x.Total = Range{round2(x.Parts.Low + x.Labour.Low), round2(x.Parts.High + x.Labour.High)}
	x.Basis = fmt.Sprintf("parts: %s; minutes: memory, twice as many the first time; your time at %s an hour", r.Money.Basis, amount(x.Rate))
	return x
}

// accessMinutes is the time to open the accesses.
func (e *Engine) accessMinutes(ids []string) float64 {
	sum := 0.0
	for _, a := range e.base.Lists.Access {
		if contains(ids, a.ID) {
			sum += a.Minutes
		}
	}
	return sum
}

// minuteCost is what a minute of the person's own time counts.
func (e *Engine) minuteCost(s *State) float64 {
	if s.care.rate > 0 {
		return s.care.rate
	}
	return e.settings.MinuteCost
}

// say words a range of money: "5 to 40", or "nothing".
func (r Range) say() string {
	switch {
	case r.High <= 0:
		return "nothing"
	case amount(r.Low) == amount(r.High):
		return amount(r.High)
	}
	return amount(r.Low) + " to " + amount(r.High)
}

// sayMinutes words a range of minutes.
func (r Range) sayMinutes() string {
	switch {
	case r.High <= 0:
		return "no time"
	case r.Low == r.High:
		return minutes(r.Low)
	case r.High < 90:
		return fmt.Sprintf("%d to %s", int(math.Round(r.Low)), minutes(r.High))
	}
	if r.Low >= 90 {
		return fmt.Sprintf("%.1f to %s", r.Low/60, minutes(r.High))
	}
	return minutes(r.Low) + " to " + minutes(r.High)
}

// amount words a sum of money.
func amount(x float64) string { return fmt.Sprintf("%.0f", x) }

func round2(x float64) float64 { return math.Round(x*100) / 100 }
