package response

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ratewright/geo/unit"
)

// Observation is one plot or point of a trial. Rates count nitrogen, not product.
type Observation struct {
	Rate  unit.NRate
	Yield unit.Yield
	Zone  string // "" where the trial has no zones
}

// Practice is what the trial did besides its rates, in words; a curve stands for
// it and says little about another.
type Practice struct{ Form, Placement, Date string }

// Words names what is known of it, so that a rate is not carried over to another
// practice unseen.
func (p Practice) Words() string {
	var known []string
	for _, s := range []string{p.Form, p.Placement, p.Date} {
		if s = strings.TrimSpace(s); s != "" {
			known = append(known, s)
		}
	}
	if len(known) == 0 {
		return "the curve stands for the practice of its trial, of which nothing is stated"
	}
	return "the curve stands for the practice of its trial: " + strings.Join(known, ", ")
}

// trial is the data of one fit, one entry a distinct rate.
type trial struct {
	obs          int
	units        unit.System // of sentences
	lowest, span float64     // kg N/ha
	u            []float64   // (rate - lowest) / span, rising from 0 to 1
	w            []float64   // plots of the rate
	y            []float64   // mean yield of the rate less the mean of all, kg/ha
	mean         float64     // of all plots, kg/ha
	total        float64     // sum of squares about the mean of all
	within       float64     // sum of squares within rates
	levels       []float64   // those u that count as distinct rates
}

// newTrial checks and gathers observations.
func newTrial(obs []Observation, o Options) (*trial, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	for i, ob := range obs {
		if err := ob.check(i+1, o.Units); err != nil {
			return nil, err
		}
	}
	sorted := slices.Clone(obs)
	slices.SortFunc(sorted, func(a, b Observation) int {
		if a.Rate != b.Rate {
			return sign(float64(a.Rate - b.Rate))
		}
		return sign(float64(a.Yield - b.Yield)) // so that order in the file changes no digit
	})
	t := &trial{obs: len(obs), units: o.Units}
	if t.obs > 0 {
		t.lowest = sorted[0].Rate.KgNPerHa()
		t.span = sorted[t.obs-1].Rate.KgNPerHa() - t.lowest
	}
	if t.span > 0 {
		t.gather(sorted)
		t.levels = spaced(t.u, o.RateSpacing)
	}
	if err := t.plausible(sorted); err != nil {
		return nil, err
	}
	if got := max(len(t.levels), min(t.obs, 1)); got < o.FewestRates {
		return nil, refuse(TooFewRates, "the trial has %s, and a response curve needs %d or more (rates closer than %g %% of their range count as one)",
			plural(got, "distinct rate"), o.FewestRates, 100*o.RateSpacing)
	}
	return t, nil
}

// plausible refuses rates and yields that are all in a unit too large.
func (t *trial) plausible(sorted []Observation) error {
	if t.obs == 0 {
		return nil
	}
	if top := sorted[t.obs-1].Rate; top.KgNPerHa() < leastTopRate {
		return refuse(BadObservation, "the highest rate of the trial is %s, which is no nitrogen trial; check the unit of its rates", rateFigure(top, t.units))
	}
	top := unit.Yield(0)
	for _, ob := range sorted {
		top = max(top, ob.Yield)
	}
	if top.KgPerHa() < leastTopYield {
		return refuse(BadObservation, "the highest yield of the trial is %s, which is no crop; check the unit of its yields", yieldFigure(top, t.units))
	}
	return nil
}

func (ob Observation) check(i int, u unit.System) error {
	if what := ob.Wrong(u); what != "" {
		return refuse(BadObservation, "observation %d %s; correct it or leave it out, and check its unit", i, what)
	}
	return nil
}

// Wrong says what of an observation cannot be; "" where nothing is.
func (ob Observation) Wrong(u unit.System) string {
	if r := ob.Rate.KgNPerHa(); !(r >= 0 && r <= mostRate) {
		return fmt.Sprintf("has a nitrogen rate of %s, which is not possible", rateFigure(ob.Rate, u))
	}
	if y := ob.Yield.KgPerHa(); !(y >= 0 && y <= mostYield) {
		return fmt.Sprintf("has a yield of %s, which is not possible", yieldFigure(ob.Yield, u))
	}
	return ""
}

func (t *trial) gather(sorted []Observation) {
	for _, ob := range sorted {
		t.mean += ob.Yield.KgPerHa()
	}
	t.mean /= float64(t.obs)
	for i := 0; i < t.obs; {
		j, sum := i, 0.0
		for ; j < t.obs && sorted[j].Rate == sorted[i].Rate; j++ {
			sum += sorted[j].Yield.KgPerHa() - t.mean
		}
		w := float64(j - i)
		y := sum / w
		for _, ob := range sorted[i:j] {
			d := ob.Yield.KgPerHa() - t.mean - y
			t.within += d * d
		}
		t.u = append(t.u, (sorted[i].Rate.KgNPerHa()-t.lowest)/t.span)
		t.w, t.y = append(t.w, w), append(t.y, y)
		t.total += w * y * y
		i = j
	}
	t.total += t.within
}

// spaced picks values that lie at least a spacing apart, beginning with the first.
func spaced(u []float64, spacing float64) []float64 {
	var out []float64
	for _, v := range u {
		if len(out) == 0 || v-out[len(out)-1] >= spacing {
			out = append(out, v)
		}
	}
	return out
}

// df are the residual degrees of freedom of a curve of three coefficients.
func (t *trial) df() int { return t.obs - coefficients }

// coefficients of each form: A, B and C, or A, B and the join.
//
// Source: the definition of the forms.
// Range: 3.
// Unit: count.
const coefficients = 3

// residual is the residual sum of squares of fitted values less the mean of all.
func (t *trial) residual(fitted func(u float64) float64) float64 {
	sum := t.within
	for i, u := range t.u {
		d := t.y[i] - fitted(u)
		sum += t.w[i] * d * d
	}
	return sum
}

// tiny tells a sum of squares that is rounding alone.
func (t *trial) tiny(sum float64) bool {
	const digits = 1e-13
	scale := (math.Abs(t.mean) + math.Sqrt(t.total/float64(t.obs))) * digits
	return sum <= float64(t.obs)*scale*scale
}

// noScatter is the scatter below which yields were not measured but follow a formula.
//
// Source: common practice; plots and monitors tell yields to 1 part in 1000 at best.
// Range: 1e-8 to 1e-5.
// Unit: share of the mean yield.
const noScatter = 1e-6

func sign(v float64) int {
	switch {
	case v < 0:
		return -1
	case v > 0:
		return 1
	}
	return 0
}
