package response

import (
	"math"

	"ratewright/geo/unit"
)

// Curve is yield over nitrogen. Take one from New, Flat or a fit.
type Curve struct {
	Model Model
	A     float64    // yield without nitrogen, kg grain/ha
	B     float64    // slope there, kg grain per kg N
	C     float64    // bend, kg grain ha per kg N squared; zero for linear-plateau
	Join  unit.NRate // where the plateau begins; zero for quadratic

	// The tested rates; both zero where the curve was given without them.
	Lowest, Highest unit.NRate

	// Most is where an optimum is held that lies above it; zero where it is not.
	Most unit.NRate

	Units unit.System // of the sentences about it
}

// Coefficients are those of a curve in the units of a publication: A in its
// unit of yield, B in that per unit of its rate, C per unit of rate squared.
type Coefficients struct {
	A, B, C float64
	Join    float64 // linear-plateau only; for quadratic-plateau it is -B/(2C)
}

// Units are the units of published coefficients: kg/ha in one unit of rate (as
// unit.RateUnit.PerHa gives it) and of yield (unit.ParseYieldUnit), and those in which
// sentences about the curve are told.
type Units struct {
	RateKgHa, YieldKgHa float64
	Told                unit.System
}

// New makes a curve from coefficients. lowest and highest are the tested rates,
// both zero where they are not known. A curve that bends upward, does not
// rise, or has numbers that are none is refused, and so is one of yields or rates that no
// corn has: a unit went wrong.
func New(m Model, c Coefficients, u Units, lowest, highest unit.NRate) (Curve, error) {
	if !(u.RateKgHa > 0 && u.YieldKgHa > 0) || !finite(u.RateKgHa) || !finite(u.YieldKgHa) {
		return Curve{}, refuse(BadCurve, "the coefficients have no units of rate and yield; say which they are in")
	}
	out := Curve{
		Model: m, A: c.A * u.YieldKgHa, B: c.B * u.YieldKgHa / u.RateKgHa,
		C: c.C * u.YieldKgHa / (u.RateKgHa * u.RateKgHa), Lowest: lowest, Highest: highest, Units: u.Told,
	}
	switch m {
	case QuadraticPlateau:
		out.Join = unit.KgNPerHa(-out.B / (2 * out.C))
		given := c.Join * u.RateKgHa
		if c.Join != 0 && !(math.Abs(given-out.Join.KgNPerHa()) <= joinRounding*math.Abs(given)) {
			return Curve{}, refuse(BadCurve, "the join is given as %s, but -B/(2C) is %s; a quadratic-plateau turns level at its top, so leave the join out or correct it", figure(c.Join), figure(out.Join.KgNPerHa()/u.RateKgHa))
		}
	case LinearPlateau:
		if c.C != 0 {
			return Curve{}, refuse(BadCurve, "a linear-plateau curve has no bend, but C is %s", figure(c.C))
		}
		out.Join = unit.KgNPerHa(c.Join * u.RateKgHa)
	}
	if err := out.check(); err != nil {
		return Curve{}, err
	}
	if err := out.plausible(); err != nil {
		return Curve{}, err
	}
	return out, nil
}

// joinRounding is how far a printed join may lie from -B/(2C).
//
// Source: three printed digits of each coefficient.
// Range: 0.001 to 0.02.
// Unit: share of the join.
const joinRounding = 0.01

// Flat is the curve of a trial without response: the same yield at any rate.
func Flat(y unit.Yield, lowest, highest unit.NRate) (Curve, error) {
	c := Curve{Model: NoResponse, A: y.KgPerHa(), Lowest: lowest, Highest: highest}
	return c, c.check()
}

// Held is the curve with its optimum held at most times the highest tested rate; zero
// for most never holds it, and nothing is held where the tested rates are not known.
func (c Curve) Held(most float64) Curve {
	c.Most = unit.NRate(most * float64(c.Highest))
	return c
}

// check refuses what is no response curve.
func (c Curve) check() error {
	const most = 1e9 // kg/ha and kg per kg: more is a unit gone wrong, and overflows
	for _, v := range []float64{c.A, c.B, c.C, c.Join.KgNPerHa(), c.Lowest.KgNPerHa(), c.Highest.KgNPerHa()} {
		if !(math.Abs(v) < most) {
			return refuse(BadCurve, "a coefficient of the response curve is %s, which is not possible", figure(v))
		}
	}
	rising := c.B > 0
	switch c.Model {
	case Quadratic, QuadraticPlateau:
		if c.C >= 0 {
			return refuse(Convex, "the curve bends upward (is convex) or is straight (C is %s): its turning point is the worst rate and not the best, so it has no optimum", grainOf(c.Units).bend(c.C))
		}
		if c.Model == QuadraticPlateau && !rising {
			return refuse(Unresponsive, "the curve does not rise from zero (B is %s): the optimum is 0 or cannot be estimated", grainOf(c.Units).slope(c.B))
		}
	case LinearPlateau:
		if !rising {
			return refuse(Unresponsive, "the curve does not rise from zero (B is %s): the optimum is 0 or cannot be estimated", grainOf(c.Units).slope(c.B))
		}
		if !(c.Join > 0) {
			return refuse(BadCurve, "a linear-plateau curve needs the rate of its join, above zero; it is %s", c.Units.NRate(c.Join))
		}
	case NoResponse:
		if c.B != 0 || c.C != 0 {
			return refuse(BadCurve, "a curve without response has coefficients B = %g and C = %g", c.B, c.C)
		}
	default:
		return refuse(BadCurve, "a curve has no form; write quadratic, quadratic-plateau or linear-plateau")
	}
	if c.Lowest < 0 || c.Highest < c.Lowest {
		return refuse(BadCurve, "the tested rates run from %s to %s; check them", c.Units.NRate(c.Lowest), c.Units.NRate(c.Highest))
	}
	return nil
}

// Yield is the yield at a rate of nitrogen of zero or more.
func (c Curve) Yield(n unit.NRate) unit.Yield {
	x := n.KgNPerHa()
	if c.hasJoin() {
		x = min(x, c.Join.KgNPerHa())
	}
	return unit.KgGrainPerHa(c.A + x*(c.B+x*c.C))
}

// Slope is the grain that a further kilogram of nitrogen brings, in kg per kg N;
// at the join and beyond it is zero.
func (c Curve) Slope(n unit.NRate) float64 {
	if c.hasJoin() && n >= c.Join {
		return 0
	}
	return c.B + 2*c.C*n.KgNPerHa()
}

// Plateau is the yield beyond the join; false for a curve without one.
func (c Curve) Plateau() (unit.Yield, bool) { return c.Yield(c.Join), c.hasJoin() }

func (c Curve) hasJoin() bool { return c.Model == QuadraticPlateau || c.Model == LinearPlateau }
