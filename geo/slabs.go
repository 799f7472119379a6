package geo

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// slabs finds which edges meet, and what lies west of a place, in time that grows
// with n log² n and the number of meetings, however long the edges are and
// however close they run: boxes of long edges side by side meet each other by the
// million, where the edges do not meet at all.
//
// The plane is cut into horizontal slabs, and each slab in two at the middle one
// of the ends in it. An edge that passes a slab from its floor to its top is dealt
// with there and goes no deeper, so that it is dealt with in about 2 log n slabs.
// Such edges of one set do not cross each other, so they have an order from west to
// east that holds at every height, and what meets another edge of the slab lies
// between the places of that edge's ends in this order: two searches find it.
//
// Heights are measured along an odd direction, since a thousand tips of a comb that
// is set out square would all lie at one height. Edges of one set may share ends.
// Where they cross each other, pairs may be missing, though never all of them.
type slabs struct {
	edges  []slabEdge
	places []slabPlace
	sets   int                       // 1: a set is held against itself; 2: against the other
	meet   func(e, f segmentID) bool // false ends the search; nil: only places are asked about
	ended  bool
	tested int // pairs handed to meet, for tests
}

// segmentID names an edge: its set, 0 or 1, and its number in it.
type segmentID struct{ set, edge int32 }

// slabEdge is an edge in the tilted frame, its lower end first.
type slabEdge struct {
	segmentID
	u0, v0, u1, v1 float64
	turn           int32 // what a walk from west to east across it adds to the winding
}

// slabPlace asks for the winding of a set just west of a place.
type slabPlace struct {
	set     int32
	u, v    float64
	winding *int32
}

// slabTolerance is how far in metres from an edge a place counts as on it: the
// rounding of where an edge is at a height. What is on an edge is not east of it.
const slabTolerance = 1e-9

// tilted gives the place in the frame of the odd direction.
func tilted(q orb.Point) (u, v float64) {
	return q[0]*oddX + q[1]*oddY, q[1]*oddX - q[0]*oddY
}

// up tells whether an edge rises in that frame, with its left side to the west.
func up(e segment) bool {
	_, v0 := tilted(e.a)
	_, v1 := tilted(e.b)
	return v0 <= v1
}

// add adds an edge; those of a set are numbered as its caller likes.
func (s *slabs) add(id segmentID, a, b orb.Point) {
	s.edges = append(s.edges, newSlabEdge(id, a, b))
}

func newSlabEdge(id segmentID, a, b orb.Point) slabEdge {
	e := slabEdge{segmentID: id, turn: -1}
	e.u0, e.v0 = tilted(a)
	e.u1, e.v1 = tilted(b)
	if !up(segment{a, b}) {
		e.u0, e.v0, e.u1, e.v1, e.turn = e.u1, e.v1, e.u0, e.v0, 1
	}
	return e
}

// ask has the winding of a set just west of a place added to winding.
func (s *slabs) ask(set int32, q orb.Point, winding *int32) {
	u, v := tilted(q)
	s.places = append(s.places, slabPlace{set, u, v, winding})
}

// run looks for all pairs and answers what was asked.
func (s *slabs) run() {
	all := make([]int32, len(s.edges))
	ends := make([]float64, 0, 2*len(s.edges))
	for i := range s.edges {
		all[i] = int32(i)
		ends = append(ends, s.edges[i].v0, s.edges[i].v1)
	}
	slices.Sort(ends)
	slices.SortFunc(s.places, func(p, q slabPlace) int { return cmp.Compare(p.v, q.v) })
	s.slab(all, ends, s.places, math.Inf(-1), math.Inf(1))
}

// at is how far east the edge is at a height.
func (e *slabEdge) at(v float64) float64 {
	switch {
	case v <= e.v0:
		return e.u0
	case v >= e.v1:
		return e.u1
	}
	return e.u0 + (v-e.v0)/(e.v1-e.v0)*(e.u1-e.u0)
}

// within is how far east the ends of the edge are that are left between two heights.
func (e *slabEdge) within(lo, hi float64) (lower, upper float64) {
	if e.v0 == e.v1 {
		return e.u0, e.u1
	}
	return e.at(lo), e.at(hi)
}

// west tells whether the edge passes the height of a place west of it.
func (e *slabEdge) west(p *slabPlace) bool {
	return e.set == p.set && e.v0 <= p.v && p.v < e.v1 && e.at(p.v) < p.u-slabTolerance
}

// fewEnds is how many ends a slab may have that is not cut further.
const fewEnds = 8

// slab deals with what lies between two heights: the edges that do, the ends between
// and the places from the lower height to below the upper one, both in order.
func (s *slabs) slab(edges []int32, ends []float64, places []slabPlace, lo, hi float64) {
	if s.ended || len(edges) == 0 || s.meet == nil && len(places) == 0 {
		return
	}
	var through [2]layer
	rest := make([]int32, 0, len(edges))
	for _, i := range edges {
		if e := &s.edges[i]; e.v0 <= lo && e.v1 >= hi {
			through[e.set].edges = append(through[e.set].edges, e)
		} else {
			rest = append(rest, i)
		}
	}
	for set := range s.sets {
		through[set].sort(lo, hi)
		through[set].count(places, int32(set))
		for _, i := range rest {
			s.across(&through[set], &s.edges[i], lo, hi)
		}
	}
	if s.sets == 1 {
		s.beside(&through[0], lo, hi)
	}
	for _, e := range through[1].edges {
		s.across(&through[0], e, lo, hi)
	}
	if len(ends) <= fewEnds {
		s.few(rest, places, lo, hi)
		return
	}
	mid := ends[len(ends)/2]
	below, _ := slices.BinarySearch(ends, mid)
	above := below
	for above < len(ends) && ends[above] == mid {
		above++
	}
	cut, _ := slices.BinarySearchFunc(places, mid, func(p slabPlace, v float64) int { return cmp.Compare(p.v, v) })
	s.slab(s.between(rest, lo, mid), ends[:below], places[:cut], lo, mid)
	s.slab(s.between(rest, mid, hi), ends[above:], places[cut:], mid, hi)
}

// between returns the edges with a part between two heights; a level edge at the
// height of a cut belongs below.
func (s *slabs) between(edges []int32, lo, hi float64) []int32 {
	in := make([]int32, 0, len(edges)/2+8)
	for _, i := range edges {
		if e := &s.edges[i]; e.v1 > lo && (e.v0 < hi || e.v0 == hi && e.v1 == hi) {
			in = append(in, i)
		}
	}
	return in
}

// few compares all edges of a slab with few ends, by their extent from west to east.
func (s *slabs) few(edges []int32, places []slabPlace, lo, hi float64) {
	type extent struct {
		*slabEdge
		from, to float64
	}
	all := make([]extent, len(edges))
	for i, k := range edges {
		e := &s.edges[k]
		a, b := e.within(lo, hi)
		all[i] = extent{e, min(a, b) - slabTolerance, max(a, b) + slabTolerance}
	}
	slices.SortFunc(all, func(a, b extent) int { return cmp.Compare(a.from, b.from) })
	for i, e := range all {
		for _, f := range all[i+1:] {
			if f.from > e.to {
				break
			}
			s.pair(e.slabEdge, f.slabEdge)
		}
	}
	for i := range places {
		for _, k := range edges {
			if e := &s.edges[k]; e.west(&places[i]) {
				*places[i].winding += e.turn
			}
		}
	}
}

// pair hands on two edges that may meet.
func (s *slabs) pair(e, f *slabEdge) {
	if s.ended || s.meet == nil || s.sets == 2 && e.set == f.set {
		return
	}
	if e.set > f.set {
		e, f = f, e
	}
	s.tested++
	s.ended = !s.meet(e.segmentID, f.segmentID)
}
