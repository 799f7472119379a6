package rx

import (
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

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
