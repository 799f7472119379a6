package geo

import "github.com/paulmach/orb"

// A region is crowded that has more than crowdedAbove vertices and in which the box of
// an edge meets those of more than crowd edges on average. The overlay library tests all edges
// whose boxes meet: n² pairs where n long teeth stand side by side, but a handful an
// edge of a plain outline, which it combines and checks faster than is done here.
const (
	crowdedAbove = 2000
	crowd        = 32
)

// isCrowded reports whether a region is large and the boxes of its edges meet many others.
func (r Region) isCrowded() bool {
	if r.IsEmpty() || vertices(r.ground.polys) <= crowdedAbove {
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
