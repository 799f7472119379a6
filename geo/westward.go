package geo

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// westward is what the edges of a region that are not near a box add to the winding of
// a place in it, by the place's height in the tilted frame. Edges that are not near
// lie west or east of the box at each height that it has. What those west of it add
// changes where they begin and end there, which is where near edges end and begin.
type westward struct {
	base int32
	ends []westEnd // from the lowest up
}

// westEnd is where the winding west of the box changes, and its sum up to there.
type westEnd struct {
	v   float64
	sum int32
}

func (w *westward) at(v float64) int32 {
	i, _ := slices.BinarySearchFunc(w.ends, v, func(e westEnd, v float64) int {
		if e.v <= v {
			return -1
		}
		return 1
	})
	if i == 0 {
		return w.base
	}
	return w.base + w.ends[i-1].sum
}

// westOf makes out what the edges of a region add to windings in the box that are not
// near it, by a place in the box and what near edges add there; ok is false where all
// places looked at lie so close to one that it is left open.
func (c *contest) westOf(r Region, near []borderEdge) (w westward, ok bool) {
	if isNothing(c.box) {
		return w, true
	}
	w.ends = c.westEnds(near)
	for _, share := range [][2]float64{{0.5, 0.5}, {0.29, 0.37}, {0.83, 0.61}, {0.11, 0.71}} {
		q := c.box.Min
		for axis := range q {
			q[axis] += share[axis] * (c.box.Max[axis] - q[axis])
		}
		if sum, clear := windingWest(near, q); clear {
			_, v := tilted(q)
			w.base = -sum - w.at(v)
			if r.Contains(q) {
				w.base++
			}
			return w, true
		}
	}
	return w, false
}

// isNothing reports whether a box's least is above its most.
func isNothing(b orb.Bound) bool { return b.Min[0] > b.Max[0] || b.Min[1] > b.Max[1] }

// westEnds gathers the ends of chains of near edges that lie west of the box.
func (c *contest) westEnds(near []borderEdge) []westEnd {
	var ends []westEnd
	end := func(q orb.Point, change int32) {
		u, v := tilted(q)
		mid, _ := tilted(c.wide.Center())
		reach := math.Abs(mid-u) + c.wide.Max[0] - c.wide.Min[0] + c.wide.Max[1] - c.wide.Min[1]
		if c.isNear(segment{q, orb.Point{q[0] + reach*oddX, q[1] + reach*oddY}}) {
			ends = append(ends, westEnd{v, change})
		}
	}
	for i, e := range near {
		if i == 0 || near[i-1].b != e.a {
			end(e.a, 1)
			if i > 0 {
				end(near[i-1].b, -1)
			}
		}
	}
	if len(near) > 0 {
		end(near[len(near)-1].b, -1)
	}
	slices.SortFunc(ends, func(a, b westEnd) int { return cmp.Compare(a.v, b.v) })
	for i := range ends[min(1, len(ends)):] {
		ends[i+1].sum += ends[i].sum
	}
	return ends
}

// windingWest is the winding of edges west of a place; clear is false where one lies
// too near to tell.
func windingWest(edges []borderEdge, q orb.Point) (sum int32, clear bool) {
	var place slabPlace
	place.u, place.v = tilted(q)
	for _, s := range edges {
		if s.distance(q) <= 2*slabTolerance {
			return 0, false
		}
		if e := newSlabEdge(segmentID{}, s.a, s.b); e.west(&place) {
			sum += e.turn
		}
	}
	return sum, true
}
