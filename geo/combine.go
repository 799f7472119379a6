package geo

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// combineAbove is the number of vertices of a region above which it may be combined
// here and not by the overlay library, and crowd how many others the box of an edge
// must meet in it on average. The library tests all edges whose boxes meet: n² pairs
// where n long teeth stand side by side, but a handful an edge of a plain outline,
// which it combines five times as fast as this.
const (
	combineAbove = 2000
	crowd        = 32
)

// isCrowded reports whether a region is large and the boxes of its edges meet many others.
func (r Region) isCrowded() bool {
	if r.IsEmpty() || vertices(r.ground.polys) <= combineAbove {
		return false
	}
	r.ground.crowded.Do(func() { r.ground.isCrowded = r.ground.index().isCrowded() })
	return r.ground.isCrowded
}

// isCrowded reports whether the box of an edge meets those of more than crowd edges,
// itself among them, on average.
func (x *edgeIndex) isCrowded() bool {
	left := crowd * len(x.edges)
	for _, e := range x.edges {
		box := e.bound()
		x.visit(
			func(near orb.Bound) bool { return left >= 0 && near.Intersects(box) },
			func(s segment) {
				if s.bound().Intersects(box) {
					left--
				}
			})
		if left < 0 {
			return true
		}
	}
	return false
}

// rule tells what ground of two regions is in the result.
type rule func(inA, inB bool) bool

func inBoth(a, b bool) bool   { return a && b }
func inEither(a, b bool) bool { return a || b }
func inFirst(a, b bool) bool  { return a && !b }

// combine puts two regions together in time in proportion to n log² n and the
// number of crossings. Both are cut where they cross until all edges meet in shared
// vertices alone. Then each edge has one kind of ground on either side, known from
// the regions that it bounds and, for the other region, from the edges west of its
// middle; an edge is kept where the rule takes one side and not the other.
//
// Vertices move by less than noiseM where the inputs nearly meet, as they do before
// any overlay, and a crossing is rounded to float64: an area is off by at most
// noiseM times the length of the edges that nearly meet, and by rounding where none
// do. Results of the same two regions share all vertices along common edges.
//
// ok is false where the result would not be valid, or cutting finds no end.
func combine(a, b Region, keep rule) (r Region, ok bool) {
	p, err := commonPlane(a, b)
	if err != nil {
		return Region{}, false
	}
	o, ok := bothCut(a, b).outline(keep)
	if !ok {
		return Region{}, false
	}
	mp, ok := nest(o.rings())
	if !ok {
		return Region{}, false
	}
	r = newRegion(p, mp)
	return r, isValid(r.Polygons())
}

// maxCuts bounds how often regions are cut: the second time finds what the rounding
// of the first made cross, which is next to never anything.
const maxCuts = 4

// bothCut returns the edges of two regions that have a vertex wherever they cross;
// nil where some still do not.
func bothCut(a, b Region) *twoOutlines {
	parts := []orb.MultiPolygon{a.Polygons(), b.Polygons()}
	for range maxCuts {
		parts = noded(parts)
		t := outlinesOf(parts)
		cuts := t.meet()
		if len(cuts) == 0 {
			return t
		}
		for i := range parts {
			parts[i] = cutAt(parts[i], cuts)
		}
	}
	return nil
}

// cutAt gives edges the vertices that belong on them.
func cutAt(mp orb.MultiPolygon, cuts map[segment][]orb.Point) orb.MultiPolygon {
	out := make(orb.MultiPolygon, len(mp))
	for i, poly := range mp {
		for _, ring := range poly {
			with := append(make(orb.Ring, 0, len(ring)), ring[0])
			for k, q := range ring[1:] {
				from := ring[k]
				on := slices.Clone(cuts[segment{from, q}])
				on = append(on, cuts[segment{q, from}]...)
				slices.SortFunc(on, func(p, q orb.Point) int {
					return cmp.Compare(math.Hypot(p[0]-from[0], p[1]-from[1]), math.Hypot(q[0]-from[0], q[1]-from[1]))
				})
				with = append(append(with, on...), q)
			}
			out[i] = append(out[i], with)
		}
	}
	return out
}

// twoOutlines are the edges of two regions over numbered points, each once.
type twoOutlines struct {
	points []orb.Point
	edges  [][2]int32
	net    [][2]int32 // edge, region -> 1 where the region's ground is left of the edge, -1 right of it; 0 where it bounds none
	around [][2]int32 // edge, region -> 1 in the region that it does not bound
	tested int        // pairs of edges compared, for tests
}

// outlinesOf numbers the edges of two parts. One that a part runs both ways bounds
// nothing of it.
func outlinesOf(parts []orb.MultiPolygon) *twoOutlines {
	t := &twoOutlines{}
	points := numbers[orb.Point]{}
	edges := numbers[[2]int32]{}
	for set, mp := range parts {
		for _, poly := range mp {
			for _, ring := range poly {
				from := points.of(ring[0])
				for _, q := range ring[1:] {
					to := points.of(q)
					i, way := edges.of([2]int32{min(from, to), max(from, to)}), int32(1)
					if from > to {
						way = -1
					}
					if int(i) == len(t.net) {
						t.net = append(t.net, [2]int32{})
					}
					t.net[i][set] += way
					from = to
				}
			}
		}
	}
	t.points, t.edges = points.list, edges.list
	return t
}

// numbers gives each of many things a number, in the order in which they come.
type numbers[T comparable] struct {
	known map[T]int32
	list  []T
}

func (n *numbers[T]) of(t T) int32 {
	i, ok := n.known[t]
	if !ok {
		if n.known == nil {
			n.known = map[T]int32{}
		}
		i = int32(len(n.list))
		n.known[t] = i
		n.list = append(n.list, t)
	}
	return i
}

func (t *twoOutlines) segment(i int32) segment {
	return segment{t.points[t.edges[i][0]], t.points[t.edges[i][1]]}
}

// meet finds where edges of the two cross, by edge, and what lies around each. What
// bounds both regions crosses neither.
func (t *twoOutlines) meet() map[segment][]orb.Point {
	cuts := map[segment][]orb.Point{}
	s := &slabs{sets: 2, meet: func(e, f segmentID) bool {
		a, b := t.segment(e.edge), t.segment(f.edge)
		if at, ok := properCrossing(a, b); ok {
			cuts[a] = append(cuts[a], at)
			cuts[b] = append(cuts[b], at)
		}
		return true
	}}
	t.around = make([][2]int32, len(t.edges))
	for i, net := range t.net {
		e := t.segment(int32(i))
		for set := range int32(2) {
			if net[set] > 0 {
				s.add(segmentID{set, int32(i)}, e.a, e.b)
			} else if net[set] < 0 {
				s.add(segmentID{set, int32(i)}, e.b, e.a)
			} else if net[1-set] != 0 {
				s.ask(set, e.middle(), &t.around[i][set])
			}
		}
	}
	s.run()
	t.tested += s.tested
	return cuts
}

// outline is what the rule keeps; ok is false where it does not close.
func (t *twoOutlines) outline(keep rule) (o *outlineEdges, ok bool) {
	if t == nil {
		return nil, false
	}
	o = &outlineEdges{points: t.points, out: make([][]int32, len(t.points))}
	open := make([]int32, len(t.points)) // point -> edges that come less those that go
	for i, e := range t.edges {
		var left, right [2]bool
		for set, net := range t.net[i] {
			in := t.around[i][set]
			if in < 0 || in > 1 || net < -1 || net > 1 {
				return nil, false
			}
			left[set], right[set] = in+max(net, 0) > 0, in+max(-net, 0) > 0
		}
		in, out := keep(left[0], left[1]), keep(right[0], right[1])
		if in == out {
			continue
		}
		if out {
			e[0], e[1] = e[1], e[0]
		}
		o.out[e[0]] = append(o.out[e[0]], int32(len(o.edges)))
		o.edges = append(o.edges, e)
		open[e[0]]--
		open[e[1]]++
	}
	o.taken = make([]bool, len(o.edges))
	return o, !slices.ContainsFunc(open, func(n int32) bool { return n != 0 })
}

// properCrossing is where two edges cross inside both.
func properCrossing(e, f segment) (at orb.Point, ok bool) {
	d1, d2 := turnOf(e, f.a), turnOf(e, f.b)
	d3, d4 := turnOf(f, e.a), turnOf(f, e.b)
	if !(d1*d2 < 0 && d3*d4 < 0) {
		return at, false
	}
	t := d3 / (d3 - d4)
	return orb.Point{e.a[0] + t*(e.b[0]-e.a[0]), e.a[1] + t*(e.b[1]-e.a[1])}, true
}
