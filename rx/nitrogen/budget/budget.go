package budget

import (
	"fmt"
	"math"

	"ratewright/geo/unit"
)

// Budget is a rate with its arithmetic. The terms add up to the rate.
type Budget struct {
	Terms []Term
	Rate  unit.NRate
	Notes []string

	words words
}

// Term is one line of the arithmetic.
type Term struct {
	What   string     // in words, with its numbers
	N      unit.NRate // what it adds; below zero where it takes away
	Source string
}

// Credit is nitrogen that the crop has without fertiliser.
type Credit struct {
	What    string
	N       unit.NRate // zero or more
	Source  string
	Soybean bool   // of a soybean crop before: not to be taken off a rate for corn after soybean
	Crop    string // that stood the year before, where the credit is of one; "" for others
	Nitrate bool   // of nitrate in the soil before planting
	Manure  bool   // of manure
	// Residual is what a credit of nitrate in the soil was worked out from; nil of others.
	Residual *Residual
	Notes    []string
}

func (b *Budget) add(what string, n unit.NRate, source string) {
	b.Terms = append(b.Terms, Term{what, n, source})
	b.Rate += n
}

func (b *Budget) note(format string, args ...any) {
	b.Notes = append(b.Notes, fmt.Sprintf(format, args...))
}

// take takes credits off.
func (b *Budget) take(credits []Credit) error {
	for _, c := range credits {
		if !(c.N >= 0) || math.IsInf(float64(c.N), 0) {
			return fmt.Errorf("the credit %q is %s; a credit is zero or more", c.What, b.words.NRate(c.N))
		}
		b.add(c.What, -c.N, c.Source)
		b.Notes = append(b.Notes, c.Notes...)
	}
	return nil
}

// Less takes credits off a budget that another rule made: what the crop has in any case
// and no soil test of the top foot shows.
func Less(credits []Credit) func(Budget, error) (Budget, error) {
	return func(b Budget, err error) (Budget, error) {
		if err != nil || len(credits) == 0 {
			return b, err
		}
		if err := b.take(credits); err != nil {
			return Budget{}, err
		}
		b.note("credits were taken off a soil nitrate test: what a crop before or manure has given off by then the test has counted already")
		b.floor()
		return b.checked()
	}
}

// floor raises a sum below zero to none, as a term of its own.
func (b *Budget) floor() {
	if b.Rate < 0 {
		b.add("less than nothing is needed: none", -b.Rate, "arithmetic")
		b.Rate = 0
		b.note("the terms come to less than zero, so the rate is zero")
	}
}

// cap lowers a sum above a limit, as a term of its own.
func (b *Budget) cap(limit unit.NRate, source string) {
	if b.Rate > limit {
		b.add("no more than "+b.words.NRate(limit), limit-b.Rate, source)
		b.Rate = limit
		b.note("the rate was held at %s (%s)", b.words.NRate(limit), source)
	}
}

func (b Budget) checked() (Budget, error) {
	if r := float64(b.Rate); math.IsNaN(r) || math.IsInf(r, 0) {
		return Budget{}, fmt.Errorf("the terms do not come to a number; check what was given")
	}
	return b, nil
}

// bounded refuses a quantity outside what can be.
func bounded(what string, v, low, high float64, unitName, fix string) error {
	if !(v >= low && v <= high) {
		return fmt.Errorf("%s of %g %s cannot be: it lies between %g and %g; %s", what, v, unitName, low, high, fix)
	}
	return nil
}

func (w words) checkYield(y unit.Yield) error {
	if y == 0 {
		return fmt.Errorf("an expected yield of zero is none, and the rate would be zero without a reason; write what the ground is expected to bear, or take the zone out of the file of zones")
	}
	if v := y.BushelsPerAcre(); !between(v, leastYield, mostYield) {
		return fmt.Errorf("an expected yield of %s cannot be: it lies between %s and %s; check its unit", w.Yield(y), w.Yield(unit.BushelsPerAcre(leastYield)), w.Yield(unit.BushelsPerAcre(mostYield)))
	}
	return nil
}

// WithinYield is y, or the end of the range of expected yields that the rules take.
func WithinYield(y unit.Yield) unit.Yield {
	return min(max(y, unit.BushelsPerAcre(leastYield)), unit.BushelsPerAcre(mostYield))
}

// WithinPPM is c, or the end of the range of nitrate-N that the rules take.
func WithinPPM(c unit.PPM) unit.PPM { return min(max(c, 0), mostPPM) }

// WithinOrganic is a percentage of organic matter, or the end of the range that the rules
// take.
func WithinOrganic(percent float64) float64 { return min(max(percent, leastOM), mostOM) }

// WithinBase is r, or the end of the range of rates without a test that the rules take.
func WithinBase(r unit.NRate) unit.NRate { return min(max(r, 0), unit.LbNPerAcre(mostBase)) }

func checkPPM(what string, c unit.PPM) error {
	return bounded(what, c.MgPerKg(), 0, mostPPM, "ppm", "check that it is nitrate-N in ppm and not lb/ac")
}
