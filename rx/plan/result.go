package plan

import (
	"ratewright/geo/unit"
)

// Result is the comparison.
type Result struct {
	Input    Input
	Outcomes [][]Outcome // by zone and strategy, at the rate compared
	Notes    []string

	options [][]level // by zone: all that can be chosen
}

// Lost is nitrogen by pathway, kg/ha, the mean over the years.
type Lost struct {
	Ammonia, AtInjection, Denitrified, Leached float64
	Held                                       float64 // by residue, for now: not lost
}

// Total is what has left for good.
func (l Lost) Total() float64 { return l.Ammonia + l.AtInjection + l.Denitrified + l.Leached }

// Outcome is what comes of a strategy on a zone at a season's rate.
type Outcome struct {
	Rate  unit.NRate   // of all trips
	Trips []unit.NRate // of each
	Lost  Lost
	// Left is still there on the day asked for, kg/ha: the mean over the years, the least
	// and the most of the means in the runs of low, middle and high losses, and the mean of
	// the worst fifth of the years.
	Left, LeftLow, LeftHigh, LeftWorst float64
	Cost                               float64 // $ per hectare
	HasYield                           bool    // without: what follows is zero
	Yield, YieldWorst                  unit.Yield
	Return, ReturnWorst                float64 // $ per hectare, grain less cost
	// Yearly are the returns of each year, in $ per hectare, in the middle run, and
	// ReturnLow and ReturnHigh their means in the runs of low and of high losses: either
	// may be the larger, for yields are relative to the trial's own way.
	Yearly                []float64
	ReturnLow, ReturnHigh float64
}

// level is a strategy at a season's rate, that can be chosen.
type level struct {
	strategy int // -1: no nitrogen at all
	rate     float64
	ret      float64 // $ per hectare, the mean over the years
}

// tripRates are the rates of a strategy's trips at a season's rate, and false where
// the season's rate is below what is fixed.
func (s *Strategy) tripRates(total float64, to []float64) ([]float64, bool) {
	fixed := s.fixed()
	if total < fixed-1e-9 {
		return nil, false
	}
	to = to[:0]
	for i := range s.Trips {
		t := &s.Trips[i]
		if t.Share > 0 {
			to = append(to, t.Share*max(0, total-fixed))
		} else {
			to = append(to, t.Rate.KgNPerHa())
		}
	}
	return to, true
}

// fixed is the sum of the rates that do not follow the season's.
func (s *Strategy) fixed() float64 {
	sum := 0.0
	for i := range s.Trips {
		if s.Trips[i].Share == 0 {
			sum += s.Trips[i].Rate.KgNPerHa()
		}
	}
	return sum
}

// shares tells whether any trip follows the season's rate.
func (s *Strategy) shares() bool {
	for i := range s.Trips {
		if s.Trips[i].Share > 0 {
			return true
		}
	}
	return false
}

// cost is what the trips cost at their rates, $ per hectare. A trip without nitrogen
// is not driven.
func (s *Strategy) cost(rates []float64) float64 {
	sum := 0.0
	for i, n := range rates {
		if n > 0 {
			t := &s.Trips[i]
			sum += n*(t.NPrice.PerKg()+t.PerKgInhibitor) + t.PerHa + t.PerHaInhibitor
		}
	}
	return sum
}
