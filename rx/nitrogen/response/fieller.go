package response

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"ratewright/geo/unit"
)

// Confidence is the confidence set of the optimum at prices above zero, at a
// level such as 0.95: Fieller's for the quadratic, the profile likelihood's for
// a form with a join. Where the curve goes through every observation the set is Unjudged.
func (f Fit) Confidence(p Prices, level float64) (Set, error) {
	if err := f.askable(p, level); err != nil {
		return Set{}, err
	}
	var s Set
	switch {
	case f.Exact:
		return unjudged(level), nil
	case f.Curve.Model == Quadratic:
		s = f.fieller(p, level)
	default:
		s = f.profile(p, level)
	}
	s.finish(f)
	return s, nil
}

func (f Fit) askable(p Prices, level float64) error {
	if f.trial == nil {
		return refuse(BadCurve, "a curve that was not fitted to observations here has no confidence set")
	}
	if err := p.check(); err != nil {
		return err
	}
	return checkLevel(level)
}

// unjudged is the set where there is no scatter to judge by.
func unjudged(level float64) Set {
	return Set{Method: "none", Level: level, Shape: Unjudged, Zero: true}
}

// Wald is the textbook interval of the quadratic's optimum, N* ± t SE with SE by
// the delta method. It is always finite, also where the data set no limit, and
// is given for comparison only. Other forms are refused; a curve through every
// observation has none and is Unjudged.
func (f Fit) Wald(p Prices, level float64) (Set, error) {
	if err := f.askable(p, level); err != nil {
		return Set{}, err
	}
	if f.Curve.Model != Quadratic {
		return Set{}, refuse(BadCurve, "the Wald interval is given for the quadratic alone")
	}
	if f.Exact {
		return unjudged(level), nil
	}
	q := f.para
	z := (p.Ratio()*f.trial.span - q.d1) / q.d2
	half := tQuantile(level, f.DF) * q.standardError(f.trial, z)
	at := q.rate(f.trial, z)
	span := Span{Low: unit.KgNPerHa(at - half), High: unit.KgNPerHa(at + half)}
	s := Set{Method: "Wald", Level: level, Shape: Interval, Line: []Span{span}}
	s.onlyRates(span)
	s.Notes = append(s.Notes, "a Wald interval is symmetric and always finite, also where the trial sets no limit; the set by Fieller does not mislead")
	s.finish(f)
	return s, nil
}

// StandardError is that of the quadratic's optimum by the delta method.
func (f Fit) StandardError(p Prices) (unit.NRate, error) {
	s, err := f.Wald(p, 0.5)
	if err != nil {
		return 0, err
	}
	if s.Shape == Unjudged {
		return 0, refuse(BadObservation, "the curve goes through every observation: there is no scatter, and its optimum has no standard error")
	}
	return unit.NRate(float64(s.Line[0].High-s.Line[0].Low) / 2 / tQuantile(0.5, f.DF)), nil
}

// tQuantile is the two-sided quantile of Student's t.
func tQuantile(level float64, df int) float64 {
	return distuv.StudentsT{Sigma: 1, Nu: float64(df)}.Quantile(0.5 + level/2)
}

// fieller solves (d1 - r + d2 z)² <= t² s² (1/S1 + z²/S2) for z, in which the two
// coefficients are uncorrelated: a z² + 2 b z + c <= 0.
// Source: Fieller 1954, J. R. Stat. Soc. B 16:175-185 (from memory); Bachmaier
// 2009, Stat. Papers 50:649-660 for the response curve.
func (f Fit) fieller(p Prices, level float64) Set {
	q, t := f.para, f.trial
	tq := tQuantile(level, f.DF)
	k := tq * tq * f.Sigma * f.Sigma
	d := q.d1 - p.Ratio()*t.span
	a, b, c := q.d2*q.d2-k/q.s2, d*q.d2, d*d-k/q.s1
	disc := b*b - a*c
	s := Set{Method: "Fieller", Level: level}
	at := func(z float64) unit.NRate { return unit.KgNPerHa(q.rate(t, z)) }
	switch {
	case math.Abs(a) <= q.d2*q.d2*alike && b == 0:
		s.Shape, s.Line = WholeLine, []Span{{NoLow: true, NoHigh: true}}
	case math.Abs(a) <= q.d2*q.d2*alike:
		edge := Span{Low: at(-c / (2 * b)), NoHigh: true}
		if b > 0 {
			edge = Span{High: edge.Low, NoLow: true}
		}
		s.Shape, s.Line = HalfLine, []Span{edge}
	case a > 0:
		z1, z2 := quadraticRoots(a, b, c, disc)
		s.Shape, s.Line = Interval, []Span{{Low: at(z1), High: at(z2)}}
	case disc <= 0:
		s.Shape, s.Line = WholeLine, []Span{{NoLow: true, NoHigh: true}}
	default:
		z1, z2 := quadraticRoots(a, b, c, disc)
		s.Shape = Complement
		s.Line = []Span{{High: at(z1), NoLow: true}, {Low: at(z2), NoHigh: true}}
	}
	s.onlyRates(s.part(at(-d / q.d2)))
	return s
}

// part is the stretch of the line with the estimate. The other of a complement
// stands for curves that bend upward: the statistic is largest between the two,
// where the bend of the best curve with that turning point is zero.
func (s Set) part(estimate unit.NRate) Span {
	if len(s.Line) == 2 && estimate >= s.Line[1].Low {
		return s.Line[1]
	}
	return s.Line[0]
}

// quadraticRoots solves a z² + 2 b z + c = 0 with its discriminant b² - ac, rising.
func quadraticRoots(a, b, c, disc float64) (z1, z2 float64) {
	q := -(b + math.Copysign(math.Sqrt(max(disc, 0)), b))
	if q == 0 {
		return 0, 0
	}
	return min(q/a, c/q), max(q/a, c/q)
}
