package rates

import (
	"fmt"

	"ratewright/geo/unit"
	"ratewright/rx"
	"ratewright/rx/nitrogen/budget"
)

// Work is a rule that works the rate of the i-th zone out.
type Work func(i int) (budget.Budget, error)

// Varied is one input moved to the ends of a range, the others as they are.
type Varied struct {
	What, LowText, HighText string
	Low, High               Work
}

// FromBudgets gives each zone the rate of a rule, with its terms, and tells what each
// input does to the mean rate over its range. An error names its zone.
func FromBudgets(method string, zones []rx.Zone, work Work, varied []Varied) (Result, error) {
	out := Result{Method: method}
	var said byZone
	for i, z := range zones {
		b, err := work(i)
		if err != nil {
			return out, fmt.Errorf("zone %s: %w", z.ID, err)
		}
		row := ZoneRate{ID: z.ID, Rate: b.Rate}
		for _, t := range b.Terms {
			row.Terms = append(row.Terms, Term(t))
		}
		out.Zones = append(out.Zones, row)
		for _, n := range b.Notes {
			said.add(z.ID, n)
		}
	}
	out.Notes = append(out.Notes, said.words(len(zones))...)
	for _, v := range varied {
		c := Change{What: v.What, Low: v.LowText, High: v.HighText}
		var err error
		if c.RateLow, err = mean(zones, v.Low); err != nil {
			return out, err
		}
		if c.RateHigh, err = mean(zones, v.High); err != nil {
			return out, err
		}
		out.Changes = append(out.Changes, c)
	}
	out.Changes = sorted(out.Changes)
	return out, nil
}

func mean(zones []rx.Zone, work Work) (unit.NRate, error) {
	rates := make([]unit.NRate, len(zones))
	for i, z := range zones {
		b, err := work(i)
		if err != nil {
			return 0, fmt.Errorf("zone %s: %w", z.ID, err)
		}
		rates[i] = b.Rate
	}
	return meanRate(zones, rates), nil
}
