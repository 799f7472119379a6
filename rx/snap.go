package rx

import (
	"math"
	"sort"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"ratewright/geo"
	"ratewright/geo/unit"
)

// snapTolerance is how near two vertices, or a vertex and an edge, are taken as
// one, in metres. It is far above the rounding of overlay (1e-9 m) and far
// below the centimetre that a rate map must keep.
const snapTolerance = 0.001

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
// tolerance become one; where a vertex lies on an edge of any ring, that
// edge gets it too. So two polygons with a common border have the same points
// in the same places along it, and rounding these can open no gap.
//
// Parts narrower than the tolerance fold together and vanish; a polygon pinched
// to a point there comes back as two, and two holes with less than it between
// them become one.
func snap(polygons []orb.Polygon, tolerance float64) snapResult {
	n := newNodes(tolerance)
	rings := make([][][]int, len(polygons))
	for i, poly := range polygons {
		for _, ring := range poly {
			rings[i] = append(rings[i], n.ring(ring))
		}
	}
	n.buildIndex()
	out := snapResult{make([][]orb.Polygon, len(polygons)), make([]unit.Area, len(polygons))}
	for i, poly := range polygons {
		noded := make([][]int, len(rings[i]))
		for k, r := range rings[i] {
			noded[k] = n.withAllPassedNodes(r)
		}
		out.polygons[i] = n.assemble(n.contourOf(noded).loops())
		if len(out.polygons[i]) == 0 {
			out.lost[i] = unit.SquareMetres(planar.Area(poly))
		}
	}
	return out
}

// nodes are the vertices of all rings in metres, and how near an edge passes
// one that lies on it.
type nodes struct {
	tolerance float64
	at        []orb.Point
	cells     map[[2]int64][]int
	index     *geo.PointIndex
}

func newNodes(tolerance float64) *nodes {
	return &nodes{tolerance: tolerance, cells: map[[2]int64][]int{}}
}

func (n *nodes) cellOf(p orb.Point) [2]int64 {
	return [2]int64{int64(math.Floor(p[0] / n.tolerance)), int64(math.Floor(p[1] / n.tolerance))}
}

// node returns the nearest node within the tolerance, or a new one.
func (n *nodes) node(p orb.Point) int {
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
	if best >= 0 {
		return best
	}
	n.at = append(n.at, p)
	n.cells[c] = append(n.cells[c], len(n.at)-1)
	return len(n.at) - 1
}

// ring returns the nodes of a closed ring, the last left out.
func (n *nodes) ring(r orb.Ring) []int {
	out := make([]int, 0, len(r))
	for _, p := range r[:len(r)-1] {
		out = append(out, n.node(p))
	}
	return out
}

// buildIndex is called once all nodes are there.
func (n *nodes) buildIndex() { n.index = geo.NewPointIndex(n.at) }

// withAllPassedNodes adds nodes until no edge passes another: an edge bends a
// little at each, which may bring it near the next. Three rounds suffice unless
// the outlines are finer than the tolerance throughout.
func (n *nodes) withAllPassedNodes(ring []int) []int {
	for range 3 {
		more := n.withPassedNodes(ring)
		if len(more) == len(ring) {
			break
		}
		ring = more
	}
	return ring
}

// withPassedNodes adds to every edge of a ring the nodes that lie on it.
func (n *nodes) withPassedNodes(ring []int) []int {
	out := make([]int, 0, len(ring))
	for i, u := range ring {
		out = append(out, u)
		out = append(out, n.passed(u, ring[(i+1)%len(ring)])...)
	}
	return out
}

// passed returns the nodes on the edge from u to v, in the order from u. The
// edge is looked at in one fixed direction so that both neighbours find the
// same nodes.
func (n *nodes) passed(u, v int) []int {
	if u == v {
		return nil
	}
	if u > v {
		back := n.passed(v, u)
		for i, j := 0, len(back)-1; i < j; i, j = i+1, j-1 {
			back[i], back[j] = back[j], back[i]
		}
		return back
	}
	a, b := n.at[u], n.at[v]
	type hit struct {
		node int
		t    float64
	}
	var hits []hit
	n.index.Along(a, b, n.tolerance, func(w int) {
		if w == u || w == v {
			return
		}
		if t, d := alongEdge(a, b, n.at[w]); t > 0 && t < 1 && d <= n.tolerance {
			hits = append(hits, hit{w, t})
		}
	})
	sort.Slice(hits, func(i, j int) bool {
		return hits[i].t < hits[j].t || hits[i].t == hits[j].t && hits[i].node < hits[j].node
	})
	out := make([]int, len(hits))
	for i, h := range hits {
		out[i] = h.node
	}
	return out
}

// alongEdge returns where on the line a-b the foot of p lies (0 at a, 1 at b)
// and how far p is from that line.
func alongEdge(a, b, p orb.Point) (t, distance float64) {
	dx, dy := b[0]-a[0], b[1]-a[1]
	px, py := p[0]-a[0], p[1]-a[1]
	l2 := dx*dx + dy*dy
	return (px*dx + py*dy) / l2, math.Abs(px*dy-py*dx) / math.Sqrt(l2)
}
