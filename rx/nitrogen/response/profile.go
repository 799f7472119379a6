package response

import (
	"math"
	"slices"

	"ratewright/geo/unit"
)

// profiler finds the optima of all curves with a join that the data accept:
// those with total - 2kT + k²S <= most. For a join, that is a range of k. The
// optimum of a quadratic-plateau moves steadily with both, so that joins without
// a gap give optima without a gap; that of a linear-plateau is the join, or none.
type profiler struct {
	excess float64 // total - most: above zero where a level line is not accepted
	ratio  float64 // of prices, per unit of u
	zero   float64 // no nitrogen, in u
	spans  []reach
	none   bool // no nitrogen is among the optima
}

// reach is a stretch of optima in u; those below zero nitrogen stand for none.
type reach struct{ lo, hi float64 }

// profile is the profile-likelihood set of the optimum of a form with a join.
func (f Fit) profile(p Prices, level float64) Set {
	t := f.trial
	tq := tQuantile(level, f.DF)
	most := f.SSE * (1 + tq*tq/float64(f.DF))
	pr := &profiler{excess: t.total - most, ratio: p.Ratio() * t.span, zero: -t.lowest / t.span}
	list := stretches(t, f.Curve.Model)
	if pr.excess <= 0 {
		pr.add(reach{math.Inf(-1), 0}) // a level line may have its join anywhere below the lowest rate
	}
	u := f.optimum(p)
	pr.add(reach{u, u}) // the estimate is in the set, however narrow that is
	if f.Curve.Model == LinearPlateau {
		for _, s := range list {
			pr.linear(s)
		}
	} else {
		pr.bent(list)
	}
	return pr.set(t, level)
}

// optimum is that of the fitted curve in u.
func (f Fit) optimum(p Prices) float64 {
	u := (f.Curve.B - p.Ratio()) / (-2 * f.Curve.C)
	if f.Curve.Model == LinearPlateau {
		u = f.Curve.Join.KgNPerHa()
	}
	if f.Curve.B <= p.Ratio() {
		u = 0
	}
	return (u - f.trial.lowest) / f.trial.span
}

// add cuts a stretch of optima at no nitrogen.
func (pr *profiler) add(r reach) {
	pr.none = pr.none || r.lo < pr.zero || r.hi <= pr.zero
	pr.spans = append(pr.spans, reach{max(r.lo, pr.zero), max(r.hi, pr.zero)})
}

// bent goes through the joins of a quadratic-plateau, from the lowest to those
// beyond the highest rate, and gathers what is accepted without a gap.
func (pr *profiler) bent(list []stretch) {
	none := reach{math.Inf(1), math.Inf(-1)}
	open := none
	flush := func() {
		if open.lo <= open.hi {
			pr.add(open)
		}
		open = none
	}
	for _, s := range list {
		for _, c := range pr.parts(s) {
			if !c.accepted {
				flush()
				continue
			}
			r := pr.optima(s, c)
			open = reach{min(open.lo, r.lo), max(open.hi, r.hi)}
		}
	}
	flush()
}

// part is a piece of a stretch in which all joins are accepted, or none.
type part struct {
	lo, hi   float64
	accepted bool
}

// parts cuts a stretch where acceptance changes, in order of rising joins.
func (pr *profiler) parts(s stretch) []part {
	edge := s.t.times(s.t).plus(-pr.excess, s.s)
	var out []part
	for _, c := range cutAt(s.lo, s.hi, edge.roots(s.lo, s.hi), s.t.roots(s.lo, s.hi)) {
		out = append(out, part{c.lo, c.hi, pr.accepts(s, c.lo+(c.hi-c.lo)/2)})
	}
	if s.beyond {
		slices.Reverse(out) // p falls as the join rises
	}
	return out
}

// cutAt cuts lo to hi at places within.
func cutAt(lo, hi float64, places ...[]float64) (out []reach) {
	cuts := append(slices.Concat(places...), lo, hi)
	slices.Sort(cuts)
	for i := 1; i < len(cuts); i++ {
		if cuts[i-1] < cuts[i] {
			out = append(out, reach{cuts[i-1], cuts[i]})
		}
	}
	return out
}

// accepts tells whether any k above zero is accepted at a place of the join.
func (pr *profiler) accepts(s stretch, p float64) bool {
	t, d := s.t.at(p), s.s.at(p)
	if pr.excess <= 0 {
		return d > 0
	}
	return d > 0 && t > 0 && t*t >= pr.excess*d
}

// bounds is the range of k of zero or more that is accepted at a place where
// some is.
func (pr *profiler) bounds(s stretch, p float64) (lo, hi float64) {
	t, d := s.t.at(p), s.s.at(p)
	root := math.Sqrt(max(0, t*t-pr.excess*d))
	if t <= 0 { // and a level line is accepted
		return 0, -pr.excess / (root - t)
	}
	return max(0, pr.excess/(t+root)), (t + root) / d
}

// optima are those of an accepted part of a quadratic-plateau.
func (pr *profiler) optima(s stretch, c part) reach {
	low := func(p float64) float64 { lo, _ := pr.bounds(s, p); return pr.optimum(s, p, lo) }
	high := func(p float64) float64 { _, hi := pr.bounds(s, p); return -pr.optimum(s, p, hi) }
	r := reach{lowest(low, c.lo, c.hi), -lowest(high, c.lo, c.hi)}
	if s.lo == 0 && c.lo == 0 && !s.beyond { // joins down to the lowest rate: the optimum is there in the end
		r = reach{min(r.lo, 0), max(r.hi, 0)}
	}
	return r
}

// optimum is where the slope of a quadratic-plateau has fallen to the ratio; NaN
// where the join does not say.
func (pr *profiler) optimum(s stretch, p, k float64) float64 {
	switch {
	case s.s.at(p) <= 0:
		return math.NaN()
	case !s.beyond:
		return p - pr.ratio/(2*k)
	case p > 0:
		return (1 - pr.ratio/k) / p
	}
	return math.Inf(sign(k - pr.ratio)) // a straight line that pays, or does not
}

// lowest is the least value of a smooth function on a part: the best of evenly
// spaced places, made exact between its neighbours by golden section.
func lowest(value func(float64) float64, lo, hi float64) float64 {
	const places, steps = 12, 48
	const golden = 0.6180339887498949
	least := math.Inf(1)
	f := func(x float64) float64 {
		v := value(x)
		if math.IsNaN(v) {
			return math.Inf(1)
		}
		least = min(least, v)
		return v
	}
	at := func(i int) float64 { return lo + (hi-lo)*float64(i)/places }
	best, bestValue := 0, math.Inf(1)
	for i := range places + 1 {
		if v := f(at(i)); v < bestValue {
			best, bestValue = i, v
		}
	}
	if math.IsInf(least, 0) {
		return least
	}
	a, b := at(max(best-1, 0)), at(min(best+1, places))
	x, y := b-golden*(b-a), a+golden*(b-a)
	fx, fy := f(x), f(y)
	for range steps {
		if fx <= fy {
			b, y, fy = y, x, fx
			x = b - golden*(b-a)
			fx = f(x)
		} else {
			a, x, fx = x, y, fy
			y = a + golden*(b-a)
			fy = f(y)
		}
	}
	return least
}

// linear adds the joins of a linear-plateau whose slope may pay, and no
// nitrogen where it may not. A slope above the ratio r is accepted where the
// largest is, and that one is above r where r itself is accepted, or where r is
// below the best slope T/S.
func (pr *profiler) linear(s stretch) {
	edge := s.t.times(s.t).plus(-pr.excess, s.s)
	paying := poly{pr.excess}.plus(-2*pr.ratio, s.t).plus(pr.ratio*pr.ratio, s.s)
	even := s.t.plus(-pr.ratio, s.s)
	for _, c := range cutAt(s.lo, s.hi, edge.roots(s.lo, s.hi), s.t.roots(s.lo, s.hi), paying.roots(s.lo, s.hi), even.roots(s.lo, s.hi)) {
		mid := c.lo + (c.hi-c.lo)/2
		if !pr.accepts(s, mid) {
			continue
		}
		lo, hi := pr.bounds(s, mid)
		if lo <= pr.ratio {
			pr.add(reach{pr.zero, pr.zero})
		}
		switch {
		case hi <= pr.ratio:
		case s.beyond:
			pr.add(reach{1, math.Inf(1)})
		default:
			pr.add(c)
		}
	}
}

// set joins the stretches of optima that touch.
func (pr *profiler) set(t *trial, level float64) Set {
	s := Set{Method: "profile likelihood", Level: level, Shape: Interval, Zero: pr.none}
	slices.SortFunc(pr.spans, func(a, b reach) int { return sign(a.lo - b.lo) })
	var merged []reach
	for _, r := range pr.spans {
		if n := len(merged); n > 0 && r.lo <= merged[n-1].hi {
			merged[n-1].hi = max(merged[n-1].hi, r.hi)
			continue
		}
		merged = append(merged, r)
	}
	for _, r := range merged {
		span := Span{Low: rateAt(t, r.lo), NoHigh: math.IsInf(r.hi, 1)}
		if r.lo <= pr.zero {
			span.Low = 0
		}
		if !span.NoHigh {
			span.High = max(unit.NRate(0), rateAt(t, r.hi))
		}
		s.Spans = append(s.Spans, span)
	}
	switch n := len(s.Spans); {
	case n > 1:
		s.Shape = Several
	case n == 1 && s.all():
		s.Shape = WholeLine
	case n == 1 && s.Spans[0].NoHigh:
		s.Shape = HalfLine
	}
	return s
}
