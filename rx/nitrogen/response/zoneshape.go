package response

import (
	"math"
	"slices"
)

// onOneScale gathers the observations of each zone with rates on one scale, so that a join
// means the same in all. Yields are less the mean of their zone.
func onOneScale(zones [][]Observation, o Options) []*trial {
	low, high := math.Inf(1), math.Inf(-1)
	for _, obs := range zones {
		for _, ob := range obs {
			low, high = min(low, ob.Rate.KgNPerHa()), max(high, ob.Rate.KgNPerHa())
		}
	}
	out := make([]*trial, len(zones))
	for i, obs := range zones {
		sorted := slices.Clone(obs)
		slices.SortFunc(sorted, func(a, b Observation) int {
			if a.Rate != b.Rate {
				return sign(float64(a.Rate - b.Rate))
			}
			return sign(float64(a.Yield - b.Yield))
		})
		out[i] = &trial{obs: len(obs), units: o.Units, lowest: low, span: high - low}
		out[i].gather(sorted)
	}
	return out
}

// oneShape is the residual sum of squares of one shape of response for all zones, each with
// a yield level of its own: yield = level of the zone + shape(rate). The zones are those of
// onOneScale.
// Source: analysis of covariance with equal slopes, in any text on regression.
func oneShape(m Model, zones []*trial) float64 {
	if m == Quadratic {
		return oneParabola(zones)
	}
	s := bestShared(m, zones)
	g := func(u float64) float64 {
		switch below := max(s.p-u, 0); {
		case s.beyond && m == LinearPlateau:
			return u
		case s.beyond:
			return u - s.p*u*u/2
		case m == QuadraticPlateau:
			return -below * below
		default:
			return -below
		}
	}
	a, _, yy := sums(zones, g, nil)
	return leastSquares(zones, g, nil, yy[0]/a[0], 0)
}

// shared is a join for all zones.
type shared struct {
	p      float64
	beyond bool
}

// bestShared is the join of the least sum of squares. The sums of a zone change at its rates
// alone, so that those of all are carried from one to the next.
func bestShared(m Model, zones []*trial) shared {
	type place struct {
		u       float64
		zone, i int
	}
	var places []place
	for z, t := range zones {
		for i, u := range t.u {
			places = append(places, place{u, z, i})
		}
	}
	slices.SortStableFunc(places, func(a, b place) int { return sign(a.u - b.u) })
	carried := make([]moments, len(zones))
	of := make([]stretch, len(zones)) // what each adds to all
	var all, last stretch
	var best shared
	gain := 0.0
	take := func(s stretch) {
		if p, g := s.best(); g > gain*(1+alike) {
			best, gain = shared{p, s.beyond}, g
		}
	}
	for k, at := range places {
		t := zones[at.zone]
		carried[at.zone].add(at.u, t.w[at.i], t.y[at.i])
		s := stretch{}
		if m == QuadraticPlateau {
			s.t, s.s = carried[at.zone].bent(float64(t.obs))
		} else {
			s.t, s.s = carried[at.zone].straight(float64(t.obs))
		}
		all.t = all.t.plus(-1, of[at.zone].t).plus(1, s.t)
		all.s = all.s.plus(-1, of[at.zone].s).plus(1, s.s)
		of[at.zone] = s
		if k+1 < len(places) && places[k+1].u > at.u {
			all.lo, all.hi = at.u, places[k+1].u
			take(all)
		}
	}
	last = stretch{lo: 0, hi: 1, beyond: true}
	for _, t := range zones {
		list := stretches(t, m)
		s := list[len(list)-1]
		last.t, last.s = last.t.plus(1, s.t), last.s.plus(1, s.s)
	}
	take(last)
	return best
}

// sums are those of squares and products of one or two shapes about their means in each
// zone, and of their products with the yields.
func sums(zones []*trial, g, h func(float64) float64) (squares, products, yields [2]float64) {
	for _, t := range zones {
		mg, mh := zoneMean(t, g), zoneMean(t, h)
		for i, u := range t.u {
			a, b := less(g, u, mg), less(h, u, mh)
			squares[0] += t.w[i] * a * a
			squares[1] += t.w[i] * b * b
			products[0] += t.w[i] * a * b
			yields[0] += t.w[i] * t.y[i] * a
			yields[1] += t.w[i] * t.y[i] * b
		}
	}
	return squares, products, yields
}

// zoneMean is the mean of a shape over the plots of a zone; 0 for none.
func zoneMean(t *trial, g func(float64) float64) float64 {
	sum := 0.0
	for i, u := range t.u {
		sum += t.w[i] * less(g, u, 0) / float64(t.obs)
	}
	return sum
}

func less(g func(float64) float64, u, mean float64) float64 {
	if g == nil {
		return 0
	}
	return g(u) - mean
}

// leastSquares is the residual sum of squares of k g + l h and a level for each zone.
func leastSquares(zones []*trial, g, h func(float64) float64, k, l float64) float64 {
	sse := 0.0
	for _, t := range zones {
		mg, mh := zoneMean(t, g), zoneMean(t, h)
		sse += t.residual(func(u float64) float64 { return k*less(g, u, mg) + l*less(h, u, mh) })
	}
	return sse
}

// oneParabola is oneShape of the quadratic: straight and bent part made orthogonal, so that
// nothing cancels.
func oneParabola(zones []*trial) float64 {
	line := func(u float64) float64 { return u - 0.5 }
	square := func(u float64) float64 { return (u - 0.5) * (u - 0.5) }
	sq, cross, _ := sums(zones, line, square)
	skew := cross[0] / sq[0]
	bend := func(u float64) float64 { return square(u) - skew*line(u) }
	sq, _, yy := sums(zones, line, bend)
	return leastSquares(zones, line, bend, yy[0]/sq[0], yy[1]/sq[1])
}
