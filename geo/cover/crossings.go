package cover

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Ends that move to the grid can make sides cross, touch or run on one another by
// a step. partCrossings finds such pairs and gives both sides a node there, until
// there are none: each round moves sides by less than a step, so a few suffice.
// Where after maxRounds some are left the outline keeps them; that has not been
// seen.

const maxRounds = 8

// edgeOnGrid is a side of a loop.
type edgeOnGrid struct {
	a, b   int32
	pa, pb step
	lo, hi int64 // along the axis of the search
	side   int32 // its number among the sides of all loops
}

// pairOnGrid are two sides that meet elsewhere than in a node they share.
type pairOnGrid struct{ e, f int32 }

func (t *tracer) partCrossings() {
	for range maxRounds {
		edges := t.edges()
		pairs := meetings(edges, false)
		if len(pairs) == 0 {
			return
		}
		t.split(edges, pairs)
		t.findLoops()
	}
}

// edges are the sides of all loops, by their lower end along the axis on which
// the patch is longer.
func (t *tracer) edges() []edgeOnGrid {
	var n int
	for _, l := range t.loops {
		n += len(l)
	}
	edges := make([]edgeOnGrid, 0, n)
	lo, hi := step{math.MaxInt64, math.MaxInt64}, step{math.MinInt64, math.MinInt64}
	for _, l := range t.loops {
		for i, a := range l {
			b := l[(i+1)%len(l)]
			e := edgeOnGrid{a: a, b: b, pa: t.nodes[a].at, pb: t.nodes[b].at, side: int32(len(edges))}
			edges = append(edges, e)
			lo = step{min(lo.x, e.pa.x), min(lo.y, e.pa.y)}
			hi = step{max(hi.x, e.pa.x), max(hi.y, e.pa.y)}
		}
	}
	byX := hi.x-lo.x > hi.y-lo.y
	for i := range edges {
		e := &edges[i]
		if byX {
			e.lo, e.hi = min(e.pa.x, e.pb.x), max(e.pa.x, e.pb.x)
		} else {
			e.lo, e.hi = min(e.pa.y, e.pb.y), max(e.pa.y, e.pb.y)
		}
	}
	slices.SortFunc(edges, func(p, q edgeOnGrid) int {
		if p.lo != q.lo {
			return cmp.Compare(p.lo, q.lo)
		}
		if p.a != q.a {
			return cmp.Compare(p.a, q.a)
		}
		return cmp.Compare(p.b, q.b)
	})
	return edges
}

// meetings finds all pairs of sides that meet where they should not, and where
// asked for those that are one side twice: thinning makes such, and findLoops has
// none.
func meetings(edges []edgeOnGrid, twins bool) []pairOnGrid {
	var pairs []pairOnGrid
	var active []int32
	for i := range edges {
		e := &edges[i]
		kept := active[:0]
		for _, j := range active {
			f := &edges[j]
			if f.hi < e.lo {
				continue
			}
			kept = append(kept, j)
			if meet(e, f) || twins && twin(e, f) {
				pairs = append(pairs, pairOnGrid{j, int32(i)})
			}
		}
		active = append(kept, int32(i))
	}
	return pairs
}

func twin(e, f *edgeOnGrid) bool { return e.a == f.a && e.b == f.b || e.a == f.b && e.b == f.a }

// meet tells whether two sides have a point in common besides a node they share.
func meet(e, f *edgeOnGrid) bool {
	if max(e.pa.x, e.pb.x) < min(f.pa.x, f.pb.x) || max(f.pa.x, f.pb.x) < min(e.pa.x, e.pb.x) ||
		max(e.pa.y, e.pb.y) < min(f.pa.y, f.pb.y) || max(f.pa.y, f.pb.y) < min(e.pa.y, e.pb.y) {
		return false
	}
	if e.a == f.a || e.a == f.b || e.b == f.a || e.b == f.b {
		return onSide(e, f.pa) || onSide(e, f.pb) || onSide(f, e.pa) || onSide(f, e.pb)
	}
	return sign(turnOf(e.pa, e.pb, f.pa))*sign(turnOf(e.pa, e.pb, f.pb)) <= 0 &&
		sign(turnOf(f.pa, f.pb, e.pa))*sign(turnOf(f.pa, f.pb, e.pb)) <= 0
}

// turnOf is positive where c lies left of the way from a to b.
func turnOf(a, b, c step) int64 { return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x) }

func sign(v int64) int { return cmp.Compare(v, 0) }

// onSide tells whether a place lies on a side, its ends left out.
func onSide(e *edgeOnGrid, p step) bool {
	if p == e.pa || p == e.pb || turnOf(e.pa, e.pb, p) != 0 {
		return false
	}
	along := (p.x-e.pa.x)*(e.pb.x-e.pa.x) + (p.y-e.pa.y)*(e.pb.y-e.pa.y)
	return along > 0 && along < (e.pb.x-e.pa.x)*(e.pb.x-e.pa.x)+(e.pb.y-e.pa.y)*(e.pb.y-e.pa.y)
}

// split gives the sides of each pair a node where they meet and makes links of
// all sides anew.
func (t *tracer) split(edges []edgeOnGrid, pairs []pairOnGrid) {
	at := make(map[int32][]int32) // side -> nodes on it
	for _, p := range pairs {
		e, f := &edges[p.e], &edges[p.f]
		any := false
		for _, end := range []struct {
			side  int32
			of    *edgeOnGrid
			node  int32
			place step
		}{{p.e, e, f.a, f.pa}, {p.e, e, f.b, f.pb}, {p.f, f, e.a, e.pa}, {p.f, f, e.b, e.pb}} {
			if onSide(end.of, end.place) {
				at[end.side] = append(at[end.side], end.node)
				any = true
			}
		}
		if any {
			continue
		}
		n := t.nodeAt(t.crossingOf(e, f))
		if n != e.a && n != e.b {
			at[p.e] = append(at[p.e], n)
		}
		if n != f.a && n != f.b {
			at[p.f] = append(at[p.f], n)
		}
	}
	t.given = t.given[:0]
	for i := range edges {
		e := &edges[i]
		on := at[int32(i)]
		slices.SortFunc(on, func(p, q int32) int { return cmp.Compare(t.along(e, p), t.along(e, q)) })
		last := e.a
		for _, n := range on {
			t.addLink(last, n)
			last = n
		}
		t.addLink(last, e.b)
	}
}

// along is how far along a side a node lies.
func (t *tracer) along(e *edgeOnGrid, n int32) int64 {
	p := t.nodes[n].at
	return (p.x-e.pa.x)*(e.pb.x-e.pa.x) + (p.y-e.pa.y)*(e.pb.y-e.pa.y)
}

// crossingOf is the step nearest to where two sides cross, and about the place.
func (t *tracer) crossingOf(e, f *edgeOnGrid) (step, orb.Point) {
	p, q := turnOf(f.pa, f.pb, e.pa), turnOf(f.pa, f.pb, e.pb)
	s := float64(p) / (float64(p) - float64(q))
	a, b := t.nodes[e.a].exact, t.nodes[e.b].exact
	return step{
		e.pa.x + int64(math.Round(s*float64(e.pb.x-e.pa.x))),
		e.pa.y + int64(math.Round(s*float64(e.pb.y-e.pa.y))),
	}, orb.Point{a[0] + s*(b[0]-a[0]), a[1] + s*(b[1]-a[1])}
}
