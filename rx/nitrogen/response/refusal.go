package response

import (
	"fmt"

	"ratewright/geo/unit"
)

// Reason is why a question was not answered.
type Reason int

// The reasons.
const (
	BadObservation Reason = iota + 1 // a rate or yield that is none
	BadPrice                         // a price, sum or level that is none
	BadCurve                         // coefficients that make no response curve
	TooFewRates                      // fewer than four distinct rates
	Convex                           // the fitted curve bends upward: its turning point is the worst rate
	Unresponsive                     // optimum 0, or it cannot be estimated
	JoinTooEarly                     // the join lies before the second rate
	NoPlateau                        // yield rises straight to the highest rate
	NothingLeft                      // no curve of several could be used
)

// Refusal is the error of a question that must not be answered.
type Refusal struct {
	Reason Reason
	Why    string // a sentence for an agronomist
	// Level says that the yields do not respond to nitrogen, whatever the reason:
	// a mean over trials counts such a trial as level.
	Level bool
}

// Error is the sentence.
func (r *Refusal) Error() string { return r.Why }

func refuse(reason Reason, format string, args ...any) *Refusal {
	return &Refusal{Reason: reason, Why: fmt.Sprintf(format, args...), Level: reason == Unresponsive}
}

// figure writes a number, and n/a for one that is none.
func figure(v float64) string {
	if !finite(v) {
		return "n/a"
	}
	return fmt.Sprintf("%g", v)
}

// rateFigure and yieldFigure write what may be far from any rate and yield.
func rateFigure(n unit.NRate, u unit.System) string {
	if u == unit.SI {
		return rounded(n.KgNPerHa()) + " kg N/ha"
	}
	return rounded(n.LbNPerAcre()) + " lb N/ac"
}

func yieldFigure(y unit.Yield, u unit.System) string {
	if u == unit.SI {
		return rounded(y.KgPerHa()) + " kg/ha"
	}
	return rounded(y.BushelsPerAcre()) + " bu/ac"
}

func rounded(v float64) string {
	if !finite(v) {
		return "n/a"
	}
	return fmt.Sprintf("%.4g", v)
}
