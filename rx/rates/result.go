package rates

import (
	"fmt"
	"math"
	"slices"

	"ratewright/geo/unit"
	"ratewright/rx"
	"ratewright/rx/nitrogen/response"
)

// Result is what a method gives for the zones of a field.
type Result struct {
	Method   string
	Practice response.Practice // what the rates stand for, where a trial is behind them
	Zones    []ZoneRate        // in the order of the zones given
	Changes  []Change          // what moves the rate, the most first
	Findings []string          // of the method as a whole, in sentences
	Notes    []string          // warnings
}

// ZoneRate is the rate of one zone.
type ZoneRate struct {
	ID      string
	Rate    unit.NRate
	Terms   []Term   // that add up to Rate; of a response curve there is one
	Reasons []string // sentences that belong to the rate besides its terms
}

// Term is one line of the arithmetic.
type Term struct {
	What   string     // in words, with its numbers and their units
	N      unit.NRate // what it adds; a credit is below zero
	Source string     // where it is published, or that the job gives it
}

// Change is what one input alone does to the rate over a range, the others as they
// are. Rates are means over the zones, weighed by area.
type Change struct {
	What, Low, High   string // the input and the ends of its range, with units
	RateLow, RateHigh unit.NRate
}

// Swing is by how much the rate moves over the range.
func (c Change) Swing() unit.NRate { return unit.NRate(math.Abs(float64(c.RateHigh - c.RateLow))) }

// Rule is the rates for a prescription, in pounds an acre or kilograms a hectare.
func (r Result) Rule(u unit.System) rx.RateRule {
	rule := rx.RateRule{Unit: unit.PoundsPerAcre, Of: unit.Nitrogen, Worked: make(map[string]rx.Worked, len(r.Zones))}
	if u == unit.SI {
		rule.Unit = unit.KgPerHectare
	}
	for _, z := range r.Zones {
		w := rx.Worked{Value: z.Rate.KgNPerHa() / rule.Unit.PerHa()}
		w.Reasons = append(w.Reasons, rx.Reason(fmt.Sprintf("%s worked out by %s", u.NRate(z.Rate), r.Method)))
		for _, t := range z.Terms {
			w.Reasons = append(w.Reasons, rx.Reason(t.words(u)))
		}
		for _, text := range z.Reasons {
			w.Reasons = append(w.Reasons, rx.Reason(text))
		}
		rule.Worked[z.ID] = w
	}
	return rule
}

func (t Term) words(u unit.System) string {
	return fmt.Sprintf("%s: %s (%s)", t.What, u.NRate(t.N), t.Source)
}

// sorted puts what moves the rate most first.
func sorted(changes []Change) []Change {
	slices.SortStableFunc(changes, func(a, b Change) int {
		switch sa, sb := a.Swing(), b.Swing(); {
		case sa > sb:
			return -1
		case sa < sb:
			return 1
		}
		return 0
	})
	return changes
}

// meanRate is the mean over zones, weighed by area.
func meanRate(zones []rx.Zone, rates []unit.NRate) unit.NRate {
	var sum, whole float64
	for i, z := range zones {
		a := z.Region.Area().SquareMetres()
		sum += a * float64(rates[i])
		whole += a
	}
	if whole == 0 {
		return 0
	}
	return unit.NRate(sum / whole)
}
