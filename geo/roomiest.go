package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// Roomiest returns a point well inside a polygon, about the farthest from its edge,
// and how far from it that is: negative where there is no inside. Rings need not
// repeat their first point, and their unit is anything flat. Squares are parted as
// long as one could hold a point farther inside by more than step, and as long as no
// more than most have been. The middle is taken where it is about as good.
func Roomiest(rings []orb.Ring, step float64, most int) (orb.Point, float64) {
	if len(rings) == 0 || len(rings[0]) == 0 {
		return orb.Point{}, -1
	}
	type square struct {
		c       orb.Point
		half, d float64
	}
	b := rings[0].Bound()
	w, h := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	side := max(min(w, h), max(w, h)/16, step/10)
	if !(side > 0) || math.IsInf(side, 0) {
		return b.Center(), -1
	}
	inside := depth(rings)
	var queue []square
	push := func(x, y, half float64) {
		c := orb.Point{x, y}
		queue = append(queue, square{c, half, inside(c)})
	}
	for x := b.Min[0]; x < b.Max[0]; x += side {
		for y := b.Min[1]; y < b.Max[1]; y += side {
			push(x+side/2, y+side/2, side/2)
		}
	}
	mid := middleOf(rings[0])
	best := square{c: mid, d: 1.15 * inside(mid)}
	push(mid[0], mid[1], 0)
	for tried := 0; len(queue) > 0 && tried < most; tried++ {
		top := 0
		for i, q := range queue { // few squares wait; a heap would not pay
			if q.d+q.half*math.Sqrt2 > queue[top].d+queue[top].half*math.Sqrt2 {
				top = i
			}
			if q.d > best.d {
				best = q
			}
		}
		q := queue[top]
		queue[top] = queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		if q.d+q.half*math.Sqrt2 <= best.d+step {
			break
		}
		h := q.half / 2
		push(q.c[0]-h, q.c[1]-h, h)
		push(q.c[0]+h, q.c[1]-h, h)
		push(q.c[0]-h, q.c[1]+h, h)
		push(q.c[0]+h, q.c[1]+h, h)
	}
	return best.c, inside(best.c)
}

// depth is Inside for many points of the same rings.
func depth(rings []orb.Ring) func(orb.Point) float64 {
	const few = 64 // edges, of which a tree of boxes would not pay
	var x edgeIndex
	for _, ring := range rings {
		for i, a := range ring {
			x.edges = append(x.edges, segment{a, ring[(i+1)%len(ring)]})
		}
	}
	if len(x.edges) <= few {
		return func(p orb.Point) float64 { return Inside(p, rings) }
	}
	x.grow()
	return func(p orb.Point) float64 {
		d := x.nearest(p, math.Inf(1))
		if !x.contains(p) {
			return -d
		}
		return d
	}
}

// Inside returns how far inside the ground of rings a point lies, what is in an odd
// number of them being ground: the distance to the nearest edge, negative outside.
func Inside(p orb.Point, rings []orb.Ring) float64 {
	inside, d := false, math.Inf(1)
	for _, ring := range rings {
		for i, a := range ring {
			edge := segment{a, ring[(i+1)%len(ring)]}
			if edge.rightOf(p) {
				inside = !inside
			}
			if near := d * (1 + 1e-9); beyond(p[0], edge.a[0], edge.b[0], near) || beyond(p[1], edge.a[1], edge.b[1], near) {
				continue // farther than the nearest so far: most edges of a patch of thousands
			}
			d = min(d, edge.distance(p))
		}
	}
	if !inside {
		return -d
	}
	return d
}

// beyond tells whether v lies farther than d from all between a and b.
func beyond(v, a, b, d float64) bool { return v-max(a, b) > d || min(a, b)-v > d }

// middleOf returns the centre of mass of a ring, or the middle of its bounds if it
// has no area.
func middleOf(l orb.Ring) (c orb.Point) {
	o, sum := l[0], 0.0
	for i, p := range l {
		q := l[(i+1)%len(l)]
		a := (p[0]-o[0])*(q[1]-o[1]) - (q[0]-o[0])*(p[1]-o[1])
		c[0] += a * (p[0] + q[0] - 2*o[0]) / 3
		c[1] += a * (p[1] + q[1] - 2*o[1]) / 3
		sum += a
	}
	b := l.Bound()
	if math.Abs(sum) < 1e-9*max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1])*max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]) {
		return b.Center()
	}
	return orb.Point{o[0] + c[0]/sum, o[1] + c[1]/sum}
}
