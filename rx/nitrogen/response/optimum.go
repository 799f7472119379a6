package response

import (
	"fmt"
	"math"

	"ratewright/geo/unit"
)

// Optimum is the rate of the largest return, and what it brings. The sentences
// of Notes are warnings; Why says how the rate comes about.
type Optimum struct {
	Point       // Rate, Yield, Grain, NCost, and Return over no nitrogen
	Beyond bool // above the highest tested rate, so an extrapolation
	// ByCurve is where the largest return lies by the curve: the rate, or above it
	// where that is held because nobody tested so much.
	ByCurve unit.NRate
	// Warning is the sentence of an extrapolation, "" for none; it stands in Notes, too.
	Warning string
	Why     string // the arithmetic as a sentence
	Notes   []string
}

// Optimum is that of a curve at prices above zero. A rate of zero is an answer:
// there the first kilogram of nitrogen costs as much as it brings, or more.
func (c Curve) Optimum(p Prices) (Optimum, error) {
	m, err := single(c)
	if err != nil {
		return Optimum{}, err
	}
	out, err := m.Optimum(p)
	if err != nil {
		return Optimum{}, err
	}
	out.Why = c.why(out.ByCurve, p.Ratio())
	return out, nil
}

func single(c Curve) (Mean, error) {
	if err := c.check(); err != nil {
		return Mean{}, err
	}
	return NewMean([]Member{{Curve: c, Weight: 1}})
}

// Optimum is the rate of the largest mean return at prices above zero; of
// several alike, the lowest.
func (m Mean) Optimum(p Prices) (Optimum, error) {
	if err := m.askable(p); err != nil {
		return Optimum{}, err
	}
	byCurve := m.bestRate(p.Ratio())
	x := min(byCurve, m.most())
	out := Optimum{Point: m.point(x, p), ByCurve: unit.KgNPerHa(byCurve)}
	g := grainOf(m.units)
	out.Why = fmt.Sprintf("%s: there the mean yield of %s rises by %s per %s N or less, the price of nitrogen over that of grain",
		m.units.NRate(out.ByCurve), plural(len(m.Members), "curve"), g.text(p.Ratio()), g.nitrogen)
	if x == 0 {
		out.Notes = append(out.Notes, fmt.Sprintf("the optimum is no nitrogen: the first %s N brings %s, and pays only from %s on", g.nitrogen, g.text(m.pieces[0].slope(0)), g.text(p.Ratio())))
	}
	m.tested(&out)
	return out, nil
}

// most is the rate at which an optimum is held: the largest of those of the curves that
// respond, where each has one.
func (m Mean) most() float64 {
	most := 0.0
	for _, e := range m.Members {
		switch {
		case e.Curve.Model == NoResponse:
		case e.Curve.Most == 0:
			return math.Inf(1)
		default:
			most = max(most, e.Curve.Most.KgNPerHa())
		}
	}
	if most == 0 {
		return math.Inf(1)
	}
	return most
}

// tested warns of optima outside the tested rates.
func (m Mean) tested(o *Optimum) {
	over, under, unknown := 0, 0, 0
	var highest unit.NRate
	for _, e := range m.Members {
		switch {
		case e.Curve.Highest == 0:
			unknown++
		case o.ByCurve > e.Curve.Highest:
			over, highest = over+1, max(highest, e.Curve.Highest)
		case o.Rate < e.Curve.Lowest:
			under++
		}
	}
	o.Beyond = over > 0 && over+unknown == len(m.Members)
	alone := len(m.Members) == 1
	switch {
	case over > 0 && alone:
		o.Warning = fmt.Sprintf("the optimum of %s lies beyond the highest tested rate of %s: it is an extrapolation, not a finding; do not go above what was tested on its word", m.units.NRate(o.ByCurve), m.units.NRate(highest))
	case over > 0:
		o.Warning = fmt.Sprintf("the optimum of %s lies beyond the highest tested rate of %d of %d trials, and their curves are extrapolated", m.units.NRate(o.ByCurve), over, len(m.Members))
	}
	if o.Rate < o.ByCurve {
		o.Warning += fmt.Sprintf("; the rate is held at %s, %.3g times the highest that was tested, and a trial with higher rates would tell more", m.units.NRate(o.Rate), float64(o.Rate/highest))
	}
	if o.Warning != "" {
		o.note("%s", o.Warning)
	}
	if under > 0 {
		o.note("the optimum of %s lies below the lowest tested rate of %d of %s: there it is an extrapolation", m.units.NRate(o.Rate), under, plural(len(m.Members), "trial"))
	}
	if unknown > 0 {
		o.note("the tested rates of %d of %s are not known, so that nothing is said about rates beyond them", unknown, plural(len(m.Members), "curve"))
	}
}

func (o *Optimum) note(format string, args ...any) {
	o.Notes = append(o.Notes, fmt.Sprintf(format, args...))
}

// why writes the formula with its numbers.
func (c Curve) why(n unit.NRate, ratio float64) string {
	g := grainOf(c.Units)
	switch {
	case c.Model == NoResponse:
		return "the trial shows no response to nitrogen, so that none pays best"
	case n == 0:
		return fmt.Sprintf("the yield rises by %s for the first %s N, which costs as much as %s: no nitrogen pays best", g.text(c.B), g.nitrogen, g.text(ratio))
	case c.Model == LinearPlateau:
		return fmt.Sprintf("the yield rises by %s per %s N up to the join, which is above the price ratio of %.4g: the join of %s pays best", g.text(c.B), g.nitrogen, ratio*g.per, c.Units.NRate(n))
	}
	return fmt.Sprintf("(r - B) / (2C) = (%.4g - %.4g) / (2 x %.4g) = %s, with r the price of a %s of N in %s of grain",
		ratio*g.per, c.B*g.per, c.C*g.per/g.rate, c.Units.NRate(n), g.nitrogen, g.grain)
}

// grainPer is grain for nitrogen as a system of units writes it.
type grainPer struct {
	grain, nitrogen, area string
	per                   float64 // grain for nitrogen in one kg per kg
	rate                  float64 // rates in one kg N/ha
}

func grainOf(u unit.System) grainPer {
	if u == unit.SI {
		return grainPer{"kg", "kg", "ha", 1, 1}
	}
	rate := unit.KgNPerHa(1).LbNPerAcre()
	return grainPer{"bu", "lb", "ac", unit.KgGrainPerHa(1).BushelsPerAcre() / rate, rate}
}

// slope and bend are the coefficients B and C, given in kg and ha.
func (g grainPer) slope(v float64) string {
	return fmt.Sprintf("%.4g %s of grain per %s N", v*g.per, g.grain, g.nitrogen)
}

func (g grainPer) bend(v float64) string {
	return fmt.Sprintf("%.4g %s/%s per %s/%s squared", v*g.per/g.rate, g.grain, g.area, g.nitrogen, g.area)
}

func (g grainPer) text(v float64) string { return fmt.Sprintf("%.4g %s of grain", v*g.per, g.grain) }
