package response

// alike is the share by which a gain must be larger to be more than rounding.
//
// Source: double precision, with room for sums over thousands of plots.
// Range: 1e-13 to 1e-11.
// Unit: share of the gain.
const alike = 1e-12

// straight is the share of the gain that a bend must add to be one.
//
// Source: double precision, with room for printed yields.
// Range: 1e-12 to 1e-9.
// Unit: share of the gain.
const straight = 1e-10

// bestJoin searches every stretch. Where two do alike, the lower join is taken;
// in the first stretch all joins do, for one rate alone lies below them.
func bestJoin(list []stretch) (which int, p, gain float64) {
	for i, s := range list {
		if x, g := s.best(); g > gain*(1+alike) {
			which, p, gain = i, x, g
		}
	}
	return which, p, gain
}

// joined is a fitted form with a join.
type joined struct {
	curve Curve
	join  float64 // in u
	sse   float64
}

// fitJoined finds the curve of the least sum of squares, and refuses what has no
// optimum.
func fitJoined(t *trial, m Model) (joined, *Refusal) {
	list := stretches(t, m)
	which, p, gain := bestJoin(list)
	if !(gain > 0) || t.tiny(gain) {
		return joined{sse: t.total}, unresponsive(t)
	}
	// A line that fits as well shows no plateau, wherever rounding puts the join.
	if line := list[len(list)-1].gain(0); gain <= line*(1+straight) {
		return joined{sse: t.total - gain}, noPlateau(t)
	}
	s := list[which]
	k := s.t.at(p) / s.s.at(p)
	if s.beyond {
		k, p = k*p/2, 1/p
	}
	out := joinedCurve(t, m, p, k)
	if !s.beyond && p <= t.levels[1] {
		return out, tooEarly(t)
	}
	return out, nil
}

// joinedCurve is the curve of a join and of its k, with its sum of squares.
func joinedCurve(t *trial, m Model, join, k float64) joined {
	g := func(u float64) float64 {
		below := max(join-u, 0)
		if m == QuadraticPlateau {
			return -below * below
		}
		return -below
	}
	mean := 0.0
	for i, u := range t.u {
		mean += t.w[i] * g(u) / float64(t.obs)
	}
	out := joined{join: join}
	out.sse = t.residual(func(u float64) float64 { return k * (g(u) - mean) })
	c := Curve{Model: m}
	top := t.mean - k*mean
	at := t.lowest + t.span*join
	if m == QuadraticPlateau {
		c.C = -k / (t.span * t.span)
		c.B = -2 * c.C * at
		c.A = top + c.C*at*at
	} else {
		c.B = k / t.span
		c.A = top - c.B*at
	}
	out.curve = c
	out.curve.Join = rateAt(t, join)
	return out
}
