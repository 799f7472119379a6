package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// contest is two regions that are put together, and the edges of both that come near
// the box in which they can meet: a zone of a field has little to do with most of the
// field's boundary. The edges stay whole, so that what comes of them is the same to
// the last bit as if all were looked at.
type contest struct {
	regions [2]Region
	shared  orb.Bound // the box in which they can meet
	box     orb.Bound // the same: what is asked about lies in it
	wide    orb.Bound // a little more: an edge is near that meets it
	near    []borderEdge
	west    [2]westward
	clear   bool // west is known
}

// widerM is how much wider the box of near edges is than that in which two regions can
// meet, in metres: far above the noise.
const widerM = 1e-6

func contestOf(a, b Region) *contest { return contestIn(a, b, sharedBox(a, b)) }

func contestIn(a, b Region, box orb.Bound) *contest {
	c := &contest{regions: [2]Region{a, b}, shared: sharedBox(a, b), box: box, wide: box.Pad(widerM), clear: true}
	for set, r := range c.regions {
		other, bounds := c.regions[1-set], [2]int32{}
		bounds[set] = 1
		before := len(c.near)
		if !r.IsEmpty() {
			r.ground.index().visit(c.wide.Intersects, func(e segment) {
				if c.isNear(e) {
					c.near = append(c.near, borderEdge{e, bounds, mayMeet(e, other)})
				}
			})
		}
		var ok bool
		c.west[set], ok = c.westOf(r, c.near[before:])
		c.clear = c.clear && ok
	}
	return c
}

// sharedBox is the box in which two regions can meet, as common has it.
func sharedBox(a, b Region) orb.Bound {
	if a.IsEmpty() || b.IsEmpty() {
		return orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	}
	return common(a.ground.bound, b.ground.bound)
}

// common is what two boxes have in common and the noise around it; its least is above
// its most where that is nothing.
func common(p, q orb.Bound) orb.Bound {
	return orb.Bound{
		Min: orb.Point{math.Max(p.Min[0], q.Min[0]), math.Max(p.Min[1], q.Min[1])},
		Max: orb.Point{math.Min(p.Max[0], q.Max[0]), math.Min(p.Max[1], q.Max[1])},
	}.Pad(2 * noiseM)
}

func (c *contest) isNear(e segment) bool {
	_, _, ok := partIn(e, c.wide)
	return ok
}

// mayMeet reports whether an edge may meet one of a region: their boxes do, or nearly.
// Of a field's edges in the box of a zone, few come near the zone's.
func mayMeet(e segment, r Region) bool {
	return !r.IsEmpty() && r.ground.index().meets(e.bound().Pad(widerM))
}

// isLocal reports whether few of the edges are near, or few there are at all: in both
// cases combining them here takes less time than by the library.
func (c *contest) isLocal() bool {
	const share, few = 4, 24
	all := 0
	for _, r := range c.regions {
		if !r.IsEmpty() {
			all += len(r.ground.index().edges)
		}
	}
	return share*len(c.near) < all || all <= few
}

// ask has the winding of a region added to winding, beside an edge that bounds the
// other alone: west of the middle of its part in the box. Outside the box it is 0.
func (c *contest) ask(s *slabs, set int32, e segment, winding *int32) {
	from, to, ok := partIn(e, c.box)
	if !ok {
		return
	}
	q := e.at((from + to) / 2)
	_, v := tilted(q)
	*winding = c.west[set].at(v)
	s.ask(set, q, winding)
}

// eachFar calls f with the edges that are not near, where the rule takes the ground
// beside them: it lies in one region and far from the other.
func (c *contest) eachFar(keep rule, f func(segment)) {
	for set, r := range c.regions {
		if r.IsEmpty() || !keep(set == 0, set == 1) {
			continue
		}
		for _, e := range r.ground.index().edges {
			if !c.isNear(e) {
				f(e)
			}
		}
	}
}

// partIn returns where an edge enters a box and where it leaves, as shares of its
// length.
func partIn(e segment, box orb.Bound) (from, to float64, ok bool) {
	from, to = 0, 1
	for axis := range 2 {
		at, d := e.a[axis], e.b[axis]-e.a[axis]
		lo, hi := box.Min[axis]-at, box.Max[axis]-at
		switch {
		case d > 0:
			from, to = math.Max(from, lo/d), math.Min(to, hi/d)
		case d < 0:
			from, to = math.Max(from, hi/d), math.Min(to, lo/d)
		case lo > 0 || hi < 0:
			return 0, 0, false
		}
	}
	return from, to, from <= to
}
