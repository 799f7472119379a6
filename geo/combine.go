package geo

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
		cuts := t.cross()
		if len(cuts) == 0 {
			t.place(c)
			return t
		}
		edges = t.cutAt(cuts)
	}
	return nil
}
