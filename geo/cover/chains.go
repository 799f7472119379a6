package cover

import "github.com/paulmach/orb"

// chains are open or closed pieces of outline that belong to parts of patches:
// runs of points, one after another, the patch on their left.
type chains struct {
	points []orb.Point
	ends   []int32 // where each chain ends in points
	parts  []int32 // whose it is
}

func (c *chains) add(part int32, points []orb.Point) {
	c.points = append(c.points, points...)
	c.ends = append(c.ends, int32(len(c.points)))
	c.parts = append(c.parts, part)
}

// of returns the points of a chain.
func (c *chains) of(i int) []orb.Point {
	from := int32(0)
	if i > 0 {
		from = c.ends[i-1]
	}
	return c.points[from:c.ends[i]]
}

// toChains joins the segments of a part into chains from where outlines meet or
// end to where they do so again, and leaves out the points between that lie on the
// line of their neighbours. Points for which fixed holds may still be met by
// outlines from elsewhere and stay.
func (t *tracer) toChains(segments []segment, fixed func(orb.Point) bool, emit func([]orb.Point)) {
	t.begin(2 * len(segments))
	t.addSegments(segments)
	t.index()
	t.cancel()
	through := func(n int32) bool { return t.nodes[n].degree == 2 && !fixed(t.nodes[n].exact) }
	for i := range t.links {
		if !t.taken[i] && !through(t.links[i].a) {
			emit(t.chainFrom(int32(i), through))
		}
	}
	for i := range t.links { // closed, with no end to begin at
		if !t.taken[i] {
			emit(t.chainFrom(int32(i), through))
		}
	}
}

// chainFrom takes links from one on as long as they lead through nodes.
func (t *tracer) chainFrom(l int32, through func(int32) bool) []orb.Point {
	start := t.links[l].a
	t.line = append(t.line[:0], t.nodes[start].exact)
	for l >= 0 {
		t.taken[l] = true
		n := t.links[l].b
		p := t.nodes[n].exact
		if k := len(t.line); k > 1 && t.straightOn(t.line[k-2], t.line[k-1], p) {
			t.line = t.line[:k-1]
		}
		t.line = append(t.line, p)
		if n == start || !through(n) {
			break
		}
		l = t.untaken(n)
	}
	return t.line
}

// untaken is a way out of a node that is left, or -1.
func (t *tracer) untaken(n int32) int32 {
	for l := t.first[n]; l < t.first[n+1]; l++ {
		if !t.taken[l] {
			return l
		}
	}
	return -1
}
