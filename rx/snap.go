package rx

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"ratewright/geo"
	"ratewright/geo/unit"
)

// snapTolerance is how near two vertices are taken as one, in metres. It is far
// above the rounding of overlay (1e-9 m) and far below the centimetre that a rate
// map must keep.
const snapTolerance = 0.0015

// passShare is the part of the tolerance within which a vertex lies on an edge.
// Below half of it, all edges that run between two vertices meet them in the same
// order. And it leaves vertices and edges farther apart than a check of the map
// asks for, once they are rounded to mapDigits.
const passShare = 0.45

// snapTolerances are tried in turn. Where several outlines run within a
// millimetre or two of each other, moving some vertices and not others may make
// an edge cross its neighbour; a little more tolerance takes them together.
var snapTolerances = []float64{snapTolerance, 1.4 * snapTolerance, 2 * snapTolerance}

// snapResult holds, for every polygon given to snap, what became of it.
type snapResult struct {
	polygons [][]orb.Polygon
	lost     []unit.Area // area of a polygon of which nothing was left
}

// snap makes neighbours share their vertices exactly. Vertices nearer than the
// tolerance become one, and an edge of any ring gets every vertex that lies on
// it. So two polygons with a common border have the same points in the same
// places along it, and rounding these can open no gap.
//
// Parts narrower than the tolerance fold together, or go to the neighbour they
// have the longest border with; a polygon pinched to a point comes back as two,
// and two holes with less than it between them become one.
//
// Where several outlines run 1 to 2 mm apart, a wedge or a triangle up to 2 mm wide, and
// as long as the edge beside it, may be left in no polygon or in two: in 1 of some 3,000
// random maps drawn like that.
func snap(plane geo.Plane, polygons []orb.Polygon, tolerance float64) snapResult {
	// First what overlay left: edges that run on each other to its rounding get the
	// same vertices, so that both sides of a border are moved as one.
	exact := nodesOf(polygons, overlayRounding)
	polygons = exact.drawn(exact.noded(polygons))

	n := nodesOf(polygons, tolerance)
	n.drawnInDegrees(plane)
	contours := make([][][2]int, len(polygons))
	for i, rings := range n.noded(polygons) {
		contours[i] = contourOf(rings)
	}
	n.giveStripsAway(contours)
	out := snapResult{make([][]orb.Polygon, len(polygons)), make([]unit.Area, len(polygons))}
	for i, poly := range polygons {
		out.polygons[i] = n.assemble(n.loops(contours[i]))
		if len(out.polygons[i]) == 0 {
			out.lost[i] = unit.SquareMetres(planar.Area(poly))
		}
	}
	return out
}

// overlayRounding is far above the rounding of overlay and far below what a map
// can write, in metres.
const overlayRounding = 1e-6

// nodes are the vertices of all rings in metres, and how near an edge passes
// one that lies on it.
type nodes struct {
	tolerance float64 // within which vertices are one
	reach     float64 // within which a vertex lies on an edge
	at        []orb.Point
	lonLat    []orb.Point // the same, where edges are also drawn straight in degrees
	plane     geo.Plane
	cells     map[[2]int64][]int
	index     *geo.PointIndex
	paths     map[[2]int][]int
}

// nodesOf makes nodes of the vertices of polygons.
func nodesOf(polygons []orb.Polygon, tolerance float64) *nodes {
	n := &nodes{
		tolerance: tolerance, reach: passShare * tolerance,
		cells: map[[2]int64][]int{}, paths: map[[2]int][]int{},
	}
	for _, poly := range polygons {
		for _, ring := range poly {
			n.take(ring)
		}
	}
	n.buildIndex()
	return n
}

// noded returns the rings of every polygon as nodes, with all that lie on their
// edges.
func (n *nodes) noded(polygons []orb.Polygon) [][][]int {
	out := make([][][]int, len(polygons))
	for i, poly := range polygons {
		for _, ring := range poly {
			out[i] = append(out[i], n.withAllPassedNodes(n.ring(ring), ring))
		}
	}
	return out
}

// drawn returns polygons of rings of nodes.
func (n *nodes) drawn(polygons [][][]int) []orb.Polygon {
	out := make([]orb.Polygon, len(polygons))
	for i, rings := range polygons {
		for _, ring := range rings {
			if len(ring) > 0 {
				out[i] = append(out[i], n.closed(ring))
			}
		}
	}
	return out
}

func (n *nodes) cellOf(p orb.Point) [2]int64 {
	return [2]int64{int64(math.Floor(p[0] / n.tolerance)), int64(math.Floor(p[1] / n.tolerance))}
}

// take makes a node of every vertex of a ring that is not near one already.
func (n *nodes) take(r orb.Ring) {
	for _, p := range r {
		if n.nearest(p) < 0 {
			n.at = append(n.at, p)
			n.cells[n.cellOf(p)] = append(n.cells[n.cellOf(p)], len(n.at)-1)
		}
	}
}

// nearest returns the nearest node within the tolerance, and -1 where there is none.
func (n *nodes) nearest(p orb.Point) int {
	c := n.cellOf(p)
	best, nearest := -1, n.tolerance
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			for _, i := range n.cells[[2]int64{c[0] + dx, c[1] + dy}] {
				if d := planar.Distance(p, n.at[i]); d <= nearest {
					best, nearest = i, d
				}
			}
		}
	}
	return best
}

// ring returns the nodes of a closed ring, the last left out. All nodes are there
// by then, so that a vertex of two rings gets the same one in both.
func (n *nodes) ring(r orb.Ring) []int {
	out := make([]int, 0, len(r))
	for _, p := range r[:len(r)-1] {
		out = append(out, n.nearest(p))
	}
	return out
}

// buildIndex is called once all nodes are there.
func (n *nodes) buildIndex() { n.index = geo.NewPointIndex(n.at) }

// drawnInDegrees says that a reader draws the edges straight in degrees of this
// plane.
func (n *nodes) drawnInDegrees(p geo.Plane) {
	n.plane = p
	n.lonLat = make([]orb.Point, len(n.at))
	for i, q := range n.at {
		n.lonLat[i] = orb.Point(p.Unproject(q))
	}
}

// withAllPassedNodes adds to every edge of a ring the nodes that lie on it, and
// to the edges that come of this again, until no edge passes another node: an edge
// bends a little at each, which may bring it near the next, and so on along a
// whole border. The ring as it was drawn tells what its edges have moved over.
func (n *nodes) withAllPassedNodes(ring []int, drawn orb.Ring) []int {
	out := make([]int, 0, len(ring))
	for i, u := range ring {
		v := ring[(i+1)%len(ring)]
		out = append(out, n.path(u, v, &[2]orb.Point{drawn[i], drawn[i+1]})...)
	}
	return out
}

// path is the way from u to v by all nodes on it, without v. It is the same one
// from v to u, so that neighbours agree. An edge that was drawn elsewhere goes by
// what it moved over too.
func (n *nodes) path(u, v int, drawn *[2]orb.Point) []int {
	if u == v {
		return nil
	}
	if u > v {
		if drawn != nil {
			drawn = &[2]orb.Point{drawn[1], drawn[0]}
		}
		back := slices.Clone(n.path(v, u, drawn)[1:])
		slices.Reverse(back)
		return append([]int{u}, back...)
	}
	if drawn != nil && drawn[0] == n.at[u] && drawn[1] == n.at[v] {
		drawn = nil
	}
	if known, ok := n.paths[[2]int{u, v}]; ok && drawn == nil {
		return known
	}
	var way []int
	from := u
	for _, w := range n.passed(u, v, drawn) {
		if n.between(u, w, v) {
			way = append(way, n.path(from, w, nil)...)
			from = w
		}
	}
	switch {
	case from != u:
		way = append(way, n.path(from, v, nil)...)
	case drawn != nil:
		return n.path(u, v, nil)
	default:
		way = []int{u}
	}
	if drawn == nil {
		n.paths[[2]int{u, v}] = way
	}
	return way
}

// between reports whether w is nearer to u and to v than these are to each other:
// the parts of an edge are shorter than it, so that ways come to an end.
func (n *nodes) between(u, w, v int) bool {
	length := planar.Distance(n.at[u], n.at[v])
	return planar.Distance(n.at[u], n.at[w]) < length && planar.Distance(n.at[w], n.at[v]) < length
}

// passed returns the nodes on the edge from u to v, in the order from u: those
// within reach of it as it is drawn in the plane or in degrees, or between the
// two, or between it and where it was drawn first.
func (n *nodes) passed(u, v int, drawn *[2]orb.Point) []int {
	a, b := n.at[u], n.at[v]
	sag, moved := n.sag(u, v), 0.0
	if drawn != nil {
		moved = max(planar.Distance(a, drawn[0]), planar.Distance(b, drawn[1]))
	}
	type hit struct {
		node int
		t    float64
	}
	var hits []hit
	n.index.Along(a, b, n.reach+math.Abs(sag)+moved, func(w int) {
		if w == u || w == v {
			return
		}
		t, left := alongEdge(a, b, n.at[w])
		bent := left - 4*t*(1-t)*sag
		least, most := min(left, bent), max(left, bent)
		if drawn != nil {
			_, first := alongEdge(drawn[0], drawn[1], n.at[w])
			least, most = min(least, first), max(most, first)
		}
		if t > 0 && t < 1 && least <= n.reach && most >= -n.reach {
			hits = append(hits, hit{w, t})
		}
	})
	slices.SortFunc(hits, func(a, b hit) int { return cmp.Or(cmp.Compare(a.t, b.t), cmp.Compare(a.node, b.node)) })
	out := make([]int, len(hits))
	for i, h := range hits {
		out[i] = h.node
	}
	return out
}

// sag is how far left of the edge from u to v, in metres and at its middle, lies
// what is straight in degrees: 5 cm on a mile along a parallel at 42 degrees, and
// a quarter of it on half a mile.
func (n *nodes) sag(u, v int) float64 {
	if n.lonLat == nil {
		return 0
	}
	p, q := n.lonLat[u], n.lonLat[v]
	middle := n.plane.Project(geo.LonLat{(p[0] + q[0]) / 2, (p[1] + q[1]) / 2})
	_, left := alongEdge(n.at[u], n.at[v], middle)
	return left
}

// alongEdge returns where on the line a-b the foot of p lies (0 at a, 1 at b)
// and how far left of that line p is.
func alongEdge(a, b, p orb.Point) (t, left float64) {
	dx, dy := b[0]-a[0], b[1]-a[1]
	px, py := p[0]-a[0], p[1]-a[1]
	l2 := dx*dx + dy*dy
	return (px*dx + py*dy) / l2, (py*dx - px*dy) / math.Sqrt(l2)
}
