package rx

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// contourOf joins the rings of a polygon to directed edges over nodes, its ground
// on their left. An edge run both ways, where two rings have come to share it or a
// strip has folded together, bounds nothing and leaves.
func contourOf(rings [][]int) [][2]int {
	var edges [][2]int
	for _, ring := range rings {
		for i, u := range ring {
			if v := ring[(i+1)%len(ring)]; u != v {
				edges = append(edges, [2]int{u, v})
			}
		}
	}
	return withoutPairs(edges)
}

// withoutPairs leaves out edges that are run both ways.
func withoutPairs(edges [][2]int) [][2]int {
	count := map[[2]int]int{}
	for _, e := range edges {
		count[e]++
	}
	var kept [][2]int
	for _, e := range edges {
		if count[e] > count[[2]int{e[1], e[0]}] {
			count[e]--
			kept = append(kept, e)
		}
	}
	return kept
}

// contour is directed edges to walk along.
type contour struct {
	nodes *nodes
	out   map[int][]int // edges by where they begin, in the order of the rings
}

// loops walks along the edges, keeping the same ground on the left, and cuts
// each walk into loops that visit no node twice.
func (n *nodes) loops(edges [][2]int) [][]int {
	o := &contour{nodes: n, out: map[int][]int{}}
	for _, e := range edges {
		o.out[e[0]] = append(o.out[e[0]], e[1])
	}
	var loops [][]int
	for _, start := range edges {
		if !o.has(start) {
			continue
		}
		var walk []int
		for e := start; ; {
			walk = append(walk, e[0])
			e = [2]int{e[1], o.leftmost(e)}
			o.take(e)
			if e == start {
				break
			}
		}
		loops = append(loops, simpleLoops(walk)...)
	}
	return loops
}

func (o *contour) has(e [2]int) bool {
	for _, v := range o.out[e[0]] {
		if v == e[1] {
			return true
		}
	}
	return false
}

func (o *contour) take(e [2]int) {
	ends := o.out[e[0]]
	for i, v := range ends {
		if v == e[1] {
			o.out[e[0]] = append(ends[:i:i], ends[i+1:]...)
			return
		}
	}
}

// leftmost is where the next edge of the same ground ends: of the edges that go
// on from e, the one that turns most to the left. As many edges leave a node as
// come to it, so there is one.
func (o *contour) leftmost(e [2]int) int {
	at := o.nodes.at
	back := direction(at[e[1]], at[e[0]])
	best, least := -1, math.Inf(1)
	for _, v := range o.out[e[1]] {
		turn := math.Mod(back-direction(at[e[1]], at[v])+4*math.Pi, 2*math.Pi)
		if turn < least {
			best, least = v, turn
		}
	}
	return best
}

func direction(from, to orb.Point) float64 { return math.Atan2(to[1]-from[1], to[0]-from[0]) }

// simpleLoops cuts a closed walk over nodes, the last not repeated, into loops
// that visit no node twice. Steps out and straight back (a strip folded
// together) come out as loops of two nodes and are left out.
func simpleLoops(walk []int) [][]int {
	var loops [][]int
	var path []int
	at := map[int]int{}
	for _, v := range walk {
		start, seen := at[v]
		if !seen {
			at[v] = len(path)
			path = append(path, v)
			continue
		}
		if len(path)-start > 2 {
			loops = append(loops, append([]int(nil), path[start:]...))
		}
		for _, w := range path[start+1:] {
			delete(at, w)
		}
		path = path[:start+1]
	}
	if len(path) > 2 {
		loops = append(loops, path)
	}
	return loops
}

// assemble makes polygons of loops: those that turn left are outer rings, the
// others are holes of the smallest outer ring around them.
func (n *nodes) assemble(loops [][]int) []orb.Polygon {
	var out []orb.Polygon
	var holes []orb.Ring
	for _, l := range loops {
		ring := n.closed(l)
		switch ring.Orientation() {
		case orb.CCW:
			out = append(out, orb.Polygon{ring})
		case orb.CW:
			holes = append(holes, ring)
		}
	}
	for _, h := range holes {
		if i := smallestAround(out, h); i >= 0 {
			out[i] = append(out[i], h)
		}
	}
	return out
}

func (n *nodes) closed(loop []int) orb.Ring {
	ring := make(orb.Ring, 0, len(loop)+1)
	for _, v := range loop {
		ring = append(ring, n.at[v])
	}
	return append(ring, ring[0])
}

// smallestAround returns the smallest outer ring that holds a hole. The test
// point is in the middle of an edge: vertices may be shared with the ring.
func smallestAround(polygons []orb.Polygon, hole orb.Ring) int {
	best := -1
	mid := orb.Point{(hole[0][0] + hole[1][0]) / 2, (hole[0][1] + hole[1][1]) / 2}
	for i, p := range polygons {
		if !planar.RingContains(p[0], mid) {
			continue
		}
		if best < 0 || planar.Area(orb.Polygon{p[0]}) < planar.Area(orb.Polygon{polygons[best][0]}) {
			best = i
		}
	}
	return best
}
