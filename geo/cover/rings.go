package cover

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// loopRing is a loop with its measures in steps.
type loopRing struct {
	places []step
	lo, hi step
	area   float64 // signed, counter-clockwise positive
}

// polygons makes polygons of the loops. A loop that turns clockwise is a hole of
// the shell around it; where there is none it is a part that a crossing has turned
// over, and a shell. Loops thinner than a step are dropped, and so is what lies
// on ground that a shell has already.
func (t *tracer) polygons() orb.MultiPolygon {
	rings := make([]loopRing, 0, len(t.loops))
	for _, loop := range t.loops {
		if r := t.measure(loop); math.Abs(r.area) > r.length()/2 {
			rings = append(rings, r)
		}
	}
	if len(rings) == 1 && rings[0].area > 0 {
		return orb.MultiPolygon{{t.written(rings[0].places)}}
	}
	slices.SortStableFunc(rings, func(a, b loopRing) int { return cmp.Compare(math.Abs(b.area), math.Abs(a.area)) })
	shells := make([][]loopRing, 0, len(rings)) // shell, holes
	for _, r := range rings {
		i := innermost(shells, &r)
		switch {
		case i < 0:
			if r.area < 0 {
				slices.Reverse(r.places)
				r.area = -r.area
			}
			shells = append(shells, []loopRing{r})
		case r.area < 0 && !inHole(shells[i], &r):
			shells[i] = append(shells[i], r)
		case r.area > 0 && inHole(shells[i], &r):
			shells = append(shells, []loopRing{r})
		}
	}
	out := make(orb.MultiPolygon, len(shells))
	for i, s := range shells {
		for _, r := range s {
			out[i] = append(out[i], t.written(r.places))
		}
	}
	return out
}

// measure takes the places and the area of a loop.
func (t *tracer) measure(loop []int32) loopRing {
	r := loopRing{places: make([]step, len(loop))}
	o := t.nodes[loop[0]].at
	r.lo, r.hi = o, o
	for i, n := range loop {
		p := t.nodes[n].at
		r.places[i] = p
		r.lo = step{min(r.lo.x, p.x), min(r.lo.y, p.y)}
		r.hi = step{max(r.hi.x, p.x), max(r.hi.y, p.y)}
	}
	for i := 1; i+1 < len(r.places); i++ {
		a, b := r.places[i], r.places[i+1]
		r.area += (float64(a.x-o.x)*float64(b.y-o.y) - float64(b.x-o.x)*float64(a.y-o.y)) / 2
	}
	return r
}

func (r *loopRing) length() float64 {
	var sum float64
	for i, a := range r.places {
		b := r.places[(i+1)%len(r.places)]
		sum += math.Hypot(float64(b.x-a.x), float64(b.y-a.y))
	}
	return sum
}

// written is a ring of the outline, closed.
func (t *tracer) written(places []step) orb.Ring {
	r := make(orb.Ring, 0, len(places)+1)
	for _, p := range places {
		r = append(r, t.grid.Point(p.x, p.y))
	}
	return append(r, r[0])
}

// innermost is the smallest shell around a ring, or -1. Shells come in the order
// of their size.
func innermost(shells [][]loopRing, r *loopRing) int {
	for i := len(shells) - 1; i >= 0; i-- {
		if shells[i][0].holds(r) {
			return i
		}
	}
	return -1
}

func inHole(shell []loopRing, r *loopRing) bool {
	return slices.ContainsFunc(shell[1:], func(h loopRing) bool { return h.holds(r) })
}

// holds tells whether a ring lies within another that it may touch in vertices
// but neither crosses nor shares a side with: the middle of any side tells.
func (r *loopRing) holds(inner *loopRing) bool {
	if inner.lo.x < r.lo.x || inner.lo.y < r.lo.y || inner.hi.x > r.hi.x || inner.hi.y > r.hi.y {
		return false
	}
	a, b := inner.places[0], inner.places[1]
	return r.around(float64(a.x+b.x)/2, float64(a.y+b.y)/2)
}

// around tells by even-odd counting whether a place lies within the ring.
func (r *loopRing) around(x, y float64) bool {
	in := false
	for i, a := range r.places {
		b := r.places[(i+1)%len(r.places)]
		ax, ay, bx, by := float64(a.x), float64(a.y), float64(b.x), float64(b.y)
		if (ay > y) != (by > y) && x < ax+(y-ay)*(bx-ax)/(by-ay) {
			in = !in
		}
	}
	return in
}

func dist2(a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	return dx*dx + dy*dy
}
