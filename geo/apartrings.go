package geo

import "github.com/paulmach/orb"

// areApart reports whether polygons, whose edges the index holds, are valid for the
// plainest of reasons: no edges meet but those that follow each other in a ring, and
// across each ring lies ground on its left and none on its right. Holes that lie in any
// polygon lie in the one that has them. It compares edges whose boxes meet.
func (x *edgeIndex) areApart(mp orb.MultiPolygon) bool {
	joined := 0
	apart := newPairing(x, func(e, f segment) bool {
		if e.a == f.a || e.a == f.b || e.b == f.a || e.b == f.b {
			joined++
		}
		return apartOrJoined(e, f)
	}).all()
	// Each edge is joined to the one after it, and no more where no vertex is passed twice.
	return apart && joined == len(x.edges) && x.turnRight(mp)
}

// turnRight reports whether rings that do not meet have their ground on the left. An odd
// number of rings around a place is ground: from the outermost inwards none is then
// covered twice.
func (x *edgeIndex) turnRight(mp orb.MultiPolygon) bool {
	for _, poly := range mp {
		for i, ring := range poly {
			area := ringAreaM2(ring)
			if i > 0 {
				area = -area
			}
			if !(area > 0) { // not a number, too
				return false
			}
			e := longestEdge(ring)
			q := e.middle()
			due := e.b[1] < e.a[1] // east of the edge
			if (e.a[1] > q[1]) == (e.b[1] > q[1]) {
				due = e.b[0] > e.a[0] // above one that is level, or rounded so
			}
			if ground := x.contains(q) != e.rightOf(q); ground != due {
				return false
			}
		}
	}
	return true
}

func longestEdge(r orb.Ring) (long segment) {
	for k, q := range r[1:] {
		if e := (segment{r[k], q}); e.length() > long.length() {
			long = e
		}
	}
	return long
}

// pairing hands on pairs of edges whose boxes meet, each pair once.
type pairing struct {
	edges  []segment
	levels [][]orb.Bound                // the edges' own boxes, then those of the tree
	meet   func(e, f segment) (ok bool) // false ends it
}

func newPairing(x *edgeIndex, meet func(e, f segment) bool) *pairing {
	own := make([]orb.Bound, len(x.edges))
	for i, e := range x.edges {
		own[i] = e.bound()
	}
	return &pairing{x.edges, append([][]orb.Bound{own}, x.levels...), meet}
}

// all looks at all edges; ok is false where it was ended.
func (p *pairing) all() (ok bool) { return len(p.edges) == 0 || p.within(len(p.levels)-1, 0) }

// children are the boxes of the level below that a box holds.
func (p *pairing) children(level, i int) (from, to int) {
	return i * fan, min((i+1)*fan, len(p.levels[level-1]))
}

func (p *pairing) within(level, i int) bool {
	if level == 0 {
		return true
	}
	from, to := p.children(level, i)
	for c := from; c < to; c++ {
		if !p.within(level-1, c) {
			return false
		}
		for d := c + 1; d < to; d++ {
			if !p.between(level-1, c, d) {
				return false
			}
		}
	}
	return true
}

func (p *pairing) between(level, i, j int) bool {
	other := p.levels[level][j]
	if !p.levels[level][i].Intersects(other) {
		return true
	}
	if level == 0 {
		return p.meet(p.edges[i], p.edges[j])
	}
	from, to := p.children(level, i)
	first, last := p.children(level, j)
	for c := from; c < to; c++ {
		if !p.levels[level-1][c].Intersects(other) {
			continue
		}
		for d := first; d < last; d++ {
			if !p.between(level-1, c, d) {
				return false
			}
		}
	}
	return true
}
