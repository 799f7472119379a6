package geo

import (
	"math"
	"sync"

	"github.com/paulmach/orb"
)

// edgeIndex is a tree of boxes over the edges of a region, built at the first
// question. Edges stay in the order of their rings, where neighbours lie close
// together, so no sorting is needed.
type edgeIndex struct {
	once  sync.Once
	edges []segment
	boxTree
}

// index returns the tree of the region's edges; the region is not empty.
func (g *ground) index() *edgeIndex {
	g.edges.once.Do(func() { g.edges.build(g.polys) })
	return &g.edges
}

func (x *edgeIndex) build(mp orb.MultiPolygon) {
	for _, p := range mp {
		for _, r := range p {
			for k := 0; k+1 < len(r); k++ {
				x.edges = append(x.edges, segment{r[k], r[k+1]})
			}
		}
	}
	x.boxTree = newBoxTree(len(x.edges), func(i int) orb.Bound { return x.edges[i].bound() })
}

// visit calls f with every edge whose boxes all satisfy want.
func (x *edgeIndex) visit(want func(orb.Bound) bool, f func(segment)) {
	x.boxTree.visit(want, func(i int) { f(x.edges[i]) })
}

// contains reports whether q lies in an odd number of rings; on an edge the answer is
// either.
func (x *edgeIndex) contains(q orb.Point) (in bool) {
	x.visit(
		func(b orb.Bound) bool { return b.Min[1] <= q[1] && q[1] <= b.Max[1] && q[0] <= b.Max[0] },
		func(s segment) {
			if s.rightOf(q) {
				in = !in
			}
		})
	return in
}

// nearest returns the distance from q to the nearest edge, if that is below
// best, else best.
func (x *edgeIndex) nearest(q orb.Point, best float64) float64 {
	return x.nearestBelow(len(x.levels)-1, 0, q, best)
}

func (x *edgeIndex) nearestBelow(level, i int, q orb.Point, best float64) float64 {
	if level == 0 {
		for _, e := range x.edges[i*fan : min((i+1)*fan, len(x.edges))] {
			best = math.Min(best, e.distance(q))
		}
		return best
	}
	// The nearest children come first, so that the others are cut off.
	var kids [fan]int
	var far [fan]float64
	n := 0
	for c := i * fan; c < min((i+1)*fan, len(x.levels[level-1])); c++ {
		d := boxDistance(x.levels[level-1][c], q)
		k := n
		for ; k > 0 && far[k-1] > d; k-- {
			kids[k], far[k] = kids[k-1], far[k-1]
		}
		kids[k], far[k] = c, d
		n++
	}
	for k := 0; k < n && far[k] < best; k++ {
		best = x.nearestBelow(level-1, kids[k], q, best)
	}
	return best
}

// boxDistance is the distance from q to the box, 0 inside.
func boxDistance(b orb.Bound, q orb.Point) float64 {
	dx := math.Max(0, math.Max(b.Min[0]-q[0], q[0]-b.Max[0]))
	dy := math.Max(0, math.Max(b.Min[1]-q[1], q[1]-b.Max[1]))
	return math.Hypot(dx, dy)
}
