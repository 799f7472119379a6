package geo

import "github.com/paulmach/orb"

// combineAbove is the number of vertices of a region above which it may be combined
// here and not by the overlay library, and crowd how many others the box of an edge
// must meet in it on average. The library tests all edges whose boxes meet: n² pairs
// where n long teeth stand side by side, but a handful an edge of a plain outline,
// which it combines three times as fast as this.
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
// itself among them, on average. Of many edges it looks at some thousands, here and
// there.
func (x *edgeIndex) isCrowded() bool {
	const some = 4096
	step := len(x.edges)/some | 1 // odd, for teeth come in pairs of edges
	left := crowd * (len(x.edges) + step - 1) / step
	for i := 0; i < len(x.edges) && left >= 0; i += step {
		box := x.edges[i].bound()
		x.visit(
			func(near orb.Bound) bool { return left >= 0 && near.Intersects(box) },
			func(s segment) {
				if s.bound().Intersects(box) {
					left--
				}
			})
	}
	return left < 0
}

// rule tells what ground of two regions is in the result.
type rule func(inA, inB bool) bool

func inBoth(a, b bool) bool   { return a && b }
func inEither(a, b bool) bool { return a || b }
func inFirst(a, b bool) bool  { return a && !b }

// combine puts two regions together in time in proportion to n log² n of the edges
// near both and the number of crossings, if the rule takes nothing of what lies far
// from the other region; what it takes there is copied. Both are cut where they cross
// until all edges meet in shared vertices alone. Then each edge has one kind of ground
// on either side, known from the regions that it bounds and, for the other region,
// from the edges west of its middle; an edge is kept where the rule takes one side and
// not the other.
//
// Vertices move by less than noiseM where the inputs nearly meet, as they do before
// any overlay, and a crossing is rounded to float64: an area is off by at most
// noiseM times the length of the edges that nearly meet, and by rounding where none
// do. Results of the same two regions share all vertices along common edges.
//
// ok is false where the result would not be valid, or cutting finds no end.
func combine(a, b Region, keep rule) (r Region, ok bool) {
	return contestOf(a, b).combine(keep)
}

func (c *contest) combine(keep rule) (r Region, ok bool) {
	p, err := commonPlane(c.regions[0], c.regions[1])
	if err != nil || !c.clear {
		return Region{}, false
	}
	o, ok := c.cut().outline(c, keep)
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

// cut returns the edges of two regions near both, with a vertex wherever they cross;
// nil where some still have none.
func (c *contest) cut() *twoOutlines {
	edges := c.near
	for range maxCuts {
		t := outlinesOf(nodedEdges(edges, c.shared))
		cuts := t.meet(c)
		if len(cuts) == 0 {
			return t
		}
		edges = t.cutAt(cuts)
	}
	return nil
}
