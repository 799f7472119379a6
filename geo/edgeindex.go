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
	// chains tells of each box of a level whether each of its edges begins where the
	// one before it ends.
	chains [][]bool
}

// index returns the tree of the region's edges; the region is not empty.
func (g *ground) index() *edgeIndex {
	g.edges.once.Do(func() { g.edges.build(g.polys) })
	return &g.edges
}

func (x *edgeIndex) build(mp orb.MultiPolygon) {
	x.edges = make([]segment, 0, vertices(mp))
	for _, p := range mp {
		for _, r := range p {
			for k := 0; k+1 < len(r); k++ {
				x.edges = append(x.edges, segment{r[k], r[k+1]})
			}
		}
	}
	x.grow()
}

// grow builds the tree over the edges.
func (x *edgeIndex) grow() {
	x.boxTree = newBoxTree(len(x.edges), func(i int) orb.Bound { return x.edges[i].bound() })
	for level, boxes := range x.levels {
		chains := make([]bool, len(boxes))
		for i := range chains {
			chains[i] = x.isChain(x.within(level, i))
		}
		x.chains = append(x.chains, chains)
	}
}

// within is which edges a box of a level holds: those from one number to below another.
func (x *edgeIndex) within(level, i int) (from, to int) {
	span := fan
	for range level {
		span *= fan
	}
	return i * span, min((i+1)*span, x.n)
}

// isChain reports whether edges run on from one another; longer chains are looked at
// once for each level of the tree.
func (x *edgeIndex) isChain(from, to int) bool {
	for k := from + 1; k < to; k++ {
		if x.edges[k].a != x.edges[k-1].b {
			return false
		}
	}
	return true
}

// visit calls f with every edge whose boxes all satisfy want.
func (x *edgeIndex) visit(want func(orb.Bound) bool, f func(segment)) {
	x.boxTree.visit(want, func(i int) { f(x.edges[i]) })
}

// meets reports whether the box of an edge meets a box.
func (x *edgeIndex) meets(box orb.Bound) (met bool) {
	x.visit(
		func(near orb.Bound) bool { return !met && near.Intersects(box) },
		func(s segment) { met = met || s.bound().Intersects(box) },
	)
	return met
}

// contains reports whether q lies in an odd number of rings; on an edge the answer is
// either.
func (x *edgeIndex) contains(q orb.Point) bool {
	return x.n > 0 && x.passedOddly(len(x.levels)-1, 0, q)
}

// passedOddly reports whether a ray from q to the east meets an odd number of a box's
// edges. Of a chain that lies east of q its ends tell, so that a ray through ten
// thousand teeth looks at none of them.
func (x *edgeIndex) passedOddly(level, i int, q orb.Point) (odd bool) {
	b := x.levels[level][i]
	if q[1] < b.Min[1] || b.Max[1] < q[1] || b.Max[0] < q[0] {
		return false
	}
	if q[0] < b.Min[0] && x.chains[level][i] {
		from, to := x.within(level, i)
		return (x.edges[from].a[1] > q[1]) != (x.edges[to-1].b[1] > q[1])
	}
	if level == 0 {
		for _, e := range x.edges[i*fan : min((i+1)*fan, x.n)] {
			odd = odd != e.rightOf(q)
		}
		return odd
	}
	for c := i * fan; c < min((i+1)*fan, len(x.levels[level-1])); c++ {
		odd = odd != x.passedOddly(level-1, c, q)
	}
	return odd
}

// nearest returns the distance from q to the nearest edge, if that is below
// best, else best.
func (x *edgeIndex) nearest(q orb.Point, best float64) float64 {
	return x.nearestBelow(len(x.levels)-1, 0, q, best)
}

func (x *edgeIndex) nearestBelow(level, i int, q orb.Point, best float64) float64 {
	if level == 0 {
		for _, e := range x.edges[i*fan : min((i+1)*fan, x.n)] {
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
