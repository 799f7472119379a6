package geo

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// borderEdge is an edge with what it bounds of two regions: of each 1 where the
// region's ground is left of it, -1 right of it, and 0 where it bounds none.
type borderEdge struct {
	segment
	net [2]int32
	// mayMeet tells that it is to be looked at for what it has in common with others.
	mayMeet bool
}

// twoOutlines are the edges of two regions over numbered points, each once.
type twoOutlines struct {
	points pointNumbers
	edges  [][2]int32
	net    [][2]int32 // of each edge, as in borderEdge
	meets  []bool     // of each edge, its mayMeet
	around [][2]int32 // edge, region -> 1 in the region that it does not bound
	tested int        // pairs of edges compared, for tests
}

// outlinesOf numbers edges. One that a region runs both ways bounds nothing of it.
func outlinesOf(edges []borderEdge) *twoOutlines {
	t := &twoOutlines{
		points: pointNumbersFor(len(edges)), edges: make([][2]int32, 0, len(edges)),
		net: make([][2]int32, 0, len(edges)), meets: make([]bool, 0, len(edges)),
	}
	known := make(map[[2]int32]int32, len(edges))
	var last orb.Point
	var lastNumber int32
	for k, e := range edges {
		from, way := lastNumber, int32(1)
		if k == 0 || e.a != last {
			from = t.points.of(e.a)
		}
		to := t.points.of(e.b)
		last, lastNumber = e.b, to
		if from == to {
			continue
		}
		if from > to {
			from, to, way = to, from, -1
		}
		i, there := known[[2]int32{from, to}]
		if !there {
			i = int32(len(t.edges))
			known[[2]int32{from, to}] = i
			t.edges = append(t.edges, [2]int32{from, to})
			t.net = append(t.net, [2]int32{})
			t.meets = append(t.meets, false)
		}
		t.meets[i] = t.meets[i] || e.mayMeet
		for set, n := range e.net {
			t.net[i][set] += way * n
		}
	}
	t.around = make([][2]int32, len(t.edges))
	return t
}

// pointNumbers gives each of many points a number, in the order in which they come.
type pointNumbers struct {
	known map[[2]uint64]int32 // by their bits, which are looked up in half the time
	list  []orb.Point
}

func pointNumbersFor(n int) pointNumbers {
	return pointNumbers{make(map[[2]uint64]int32, n), make([]orb.Point, 0, n)}
}

func (n *pointNumbers) of(q orb.Point) int32 {
	key := [2]uint64{math.Float64bits(q[0] + 0), math.Float64bits(q[1] + 0)} // -0 is 0
	i, ok := n.known[key]
	if !ok {
		i = int32(len(n.list))
		n.known[key] = i
		n.list = append(n.list, q)
	}
	return i
}

func (t *twoOutlines) segment(i int32) segment {
	return segment{t.points.list[t.edges[i][0]], t.points.list[t.edges[i][1]]}
}

// cross finds where edges of the two cross, by edge. What bounds both regions crosses
// neither.
func (t *twoOutlines) cross() map[int32][]orb.Point {
	cuts := map[int32][]orb.Point{}
	s := &slabs{sets: 2, meet: func(e, f segmentID) bool {
		if at, ok := properCrossing(t.segment(e.edge), t.segment(f.edge)); ok {
			cuts[e.edge] = append(cuts[e.edge], at)
			cuts[f.edge] = append(cuts[f.edge], at)
		}
		return true
	}}
	for i, net := range t.net {
		if !t.meets[i] {
			continue
		}
		e := t.segment(int32(i))
		for set := range int32(2) {
			if net[set] != 0 {
				s.add(segmentID{set, int32(i)}, e.a, e.b)
			}
		}
	}
	s.run()
	t.tested += s.tested
	return cuts
}

// place makes out what of the other region lies around each edge, where none crosses
// another.
func (t *twoOutlines) place(c *contest) {
	s := &slabs{sets: 2, edges: make([]slabEdge, 0, len(t.edges))}
	for i, net := range t.net {
		e := t.segment(int32(i))
		for set := range int32(2) {
			if net[set] > 0 {
				s.add(segmentID{set, int32(i)}, e.a, e.b)
			} else if net[set] < 0 {
				s.add(segmentID{set, int32(i)}, e.b, e.a)
			} else if net[1-set] != 0 && !t.goesOn(i) {
				c.ask(s, set, e, &t.around[i][set])
			}
		}
	}
	s.run()
	for i := range t.around {
		if t.goesOn(i) {
			t.around[i] = t.around[i-1]
		}
	}
}

// goesOn reports whether the same lies around an edge and the one before it: both
// begin or end in one point, bound the same region and meet nothing of the other.
func (t *twoOutlines) goesOn(i int) bool {
	if i == 0 || t.meets[i-1] || t.meets[i] {
		return false
	}
	e, f := t.edges[i-1], t.edges[i]
	same := (t.net[i-1][0] == 0) == (t.net[i][0] == 0) && (t.net[i-1][1] == 0) == (t.net[i][1] == 0)
	return same && (e[0] == f[0] || e[0] == f[1] || e[1] == f[0] || e[1] == f[1])
}

// cutAt parts edges at the points that belong on them.
func (t *twoOutlines) cutAt(cuts map[int32][]orb.Point) []borderEdge {
	out := make([]borderEdge, 0, len(t.edges)+len(cuts))
	for i, net := range t.net {
		e := t.segment(int32(i))
		on := cuts[int32(i)]
		slices.SortFunc(on, func(p, q orb.Point) int {
			return cmp.Compare(math.Hypot(p[0]-e.a[0], p[1]-e.a[1]), math.Hypot(q[0]-e.a[0], q[1]-e.a[1]))
		})
		for _, q := range on {
			out = append(out, borderEdge{segment{e.a, q}, net, t.meets[i]})
			e.a = q
		}
		out = append(out, borderEdge{e, net, t.meets[i]})
	}
	return out
}

// outline is what the rule keeps; ok is false where it does not close.
func (t *twoOutlines) outline(c *contest, keep rule) (o *outlineEdges, ok bool) {
	if t == nil {
		return nil, false
	}
	o = &outlineEdges{}
	for i, e := range t.edges {
		var left, right [2]bool
		for set, net := range t.net[i] {
			in := t.around[i][set]
			if in < 0 || in > 1 || net < -1 || net > 1 {
				return nil, false
			}
			left[set], right[set] = in+max(net, 0) > 0, in+max(-net, 0) > 0
		}
		switch in, out := keep(left[0], left[1]), keep(right[0], right[1]); {
		case in && !out:
			o.edges = append(o.edges, e)
		case out && !in:
			o.edges = append(o.edges, [2]int32{e[1], e[0]})
		}
	}
	c.eachFar(keep, func(e segment) {
		o.edges = append(o.edges, [2]int32{t.points.of(e.a), t.points.of(e.b)})
	})
	o.points = t.points.list
	return o, o.join()
}

// properCrossing is where two edges cross inside both: to the last bit the same,
// whichever way they run and comes first.
func properCrossing(e, f segment) (at orb.Point, ok bool) {
	e, f = e.forth(), f.forth()
	if comparePoints(e.a, f.a) > 0 {
		e, f = f, e
	}
	d1, d2 := turnOf(e, f.a), turnOf(e, f.b)
	d3, d4 := turnOf(f, e.a), turnOf(f, e.b)
	if !(d1*d2 < 0 && d3*d4 < 0) {
		return at, false
	}
	return e.at(d3 / (d3 - d4)), true
}
