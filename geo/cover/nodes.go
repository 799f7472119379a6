package cover

import (
	"math"

	"github.com/paulmach/orb"
)

// Grid is where the vertices of outlines lie: places that are counted in whole
// steps, such as the last decimal in which outlines are written. Steps of places
// in one input differ by less than 2^30.
type Grid interface {
	// Steps returns the step nearest to a point of the plane.
	Steps(m orb.Point) (x, y int64)
	// Point returns what a vertex at a step is in an outline.
	Point(x, y int64) orb.Point
}

// metreGrid is the grid of outlines in metres: steps of a hundredth of a
// millimetre.
type metreGrid struct{}

const metreSteps = 1e5

func (metreGrid) Steps(m orb.Point) (x, y int64) {
	return int64(math.Round(m[0] * metreSteps)), int64(math.Round(m[1] * metreSteps))
}

func (metreGrid) Point(x, y int64) orb.Point {
	return orb.Point{float64(x) / metreSteps, float64(y) / metreSteps}
}

// node is a vertex on the grid with the first exact point that fell on it.
type node struct {
	at     step
	exact  orb.Point
	degree int32
}

// step is a place on the grid.
type step struct{ x, y int64 }

// grow makes an empty table that holds so many nodes.
func (t *tracer) grow(nodes int) {
	size := 16
	for size < 2*nodes {
		size *= 2
	}
	if cap(t.table) < size {
		t.table = make([]int32, size)
	}
	t.table = t.table[:size]
	clear(t.table)
	for i := range t.nodes {
		t.table[t.slot(t.nodes[i].at)] = int32(i + 1)
	}
	t.listed = len(t.nodes)
}

// slot is where the table has the node at a place, or would have it.
func (t *tracer) slot(at step) uint64 {
	mask := uint64(len(t.table) - 1)
	h := uint64(at.x)*0x9e3779b97f4a7c15 ^ uint64(at.y)*0xc2b2ae3d27d4eb4f
	for h ^= h >> 29; ; h++ {
		if n := t.table[h&mask]; n == 0 || t.nodes[n-1].at == at {
			return h & mask
		}
	}
}

// recents is how many points of the plane are remembered with their nodes: most
// points end one side and begin another soon.
const recents = 256

// recentPoint is a point with its node, of what was begun at the time.
type recentPoint struct {
	p     orb.Point
	begun int
	node  int32
}

// node returns the number of the node nearest to a point of the plane.
func (t *tracer) node(p orb.Point) int32 {
	h := math.Float64bits(p[0])*0x9e3779b97f4a7c15 ^ math.Float64bits(p[1])*0xc2b2ae3d27d4eb4f
	r := &t.recent[h>>56]
	if r.begun != t.begun || r.p != p {
		x, y := t.grid.Steps(p)
		*r = recentPoint{p, t.begun, t.nodeAt(step{x, y}, p)}
	}
	return r.node
}

// nodeAt returns the number of the node at a place.
func (t *tracer) nodeAt(at step, exact orb.Point) int32 {
	if t.listed < len(t.nodes) {
		t.grow(2 * len(t.nodes))
	}
	s := t.slot(at)
	if t.table[s] == 0 {
		if 2*len(t.nodes) >= len(t.table) {
			t.grow(4 * len(t.nodes))
			s = t.slot(at)
		}
		t.table[s] = t.newNode(at, exact) + 1
		t.listed = len(t.nodes)
	}
	return t.table[s] - 1
}

// newNode adds a node at a place that has none. The table learns of it when it is
// asked for.
func (t *tracer) newNode(at step, exact orb.Point) int32 {
	t.nodes = append(t.nodes, node{at: at, exact: exact})
	return int32(len(t.nodes) - 1)
}
