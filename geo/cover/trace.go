package cover

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// straightM is how far a vertex may lie off the line between its neighbours and
// be left out, in metres.
const straightM = 1e-8

// gridM is the grid on which the vertices of outlines lie, in metres: coarser
// than the tenth decimal of a degree, so that vertices stay apart when written.
const gridM = 2e-5

// tracer turns the directed segments of a patch into polygons. Points are put on
// the grid first, and segments that cancel there are dropped, so that parts
// thinner than the grid vanish instead of folding over. Nodes are numbers; the
// slices are reused from patch to patch.
type tracer struct {
	table []int32 // hash of a place -> node+1
	nodes []node
	links []link
	given []link  // links in the order of the segments
	first []int32 // node -> its first way out in links; the ways of a node stand together
	taken []bool
	place []int32 // node -> place in the stack of splitLoops, -1 when not on it
	stack []int32
	chain []int32
}

// node is a vertex on the grid with the first exact point that fell on it.
type node struct {
	at, exact orb.Point
	degree    int32
}

// link is a directed segment between nodes.
type link struct{ a, b int32 }

// trace returns the polygons outlined by the segments: shells counter-clockwise,
// holes clockwise, every ring simple.
func (t *tracer) trace(segments []segment) orb.MultiPolygon {
	t.number(segments)
	t.index()
	t.cancel()
	var shells orb.MultiPolygon
	var holes []orb.Ring
	for i := range t.links {
		if t.taken[i] {
			continue
		}
		t.splitLoops(t.follow(int32(i)), func(loop []int32) {
			r := t.ring(loop)
			if len(r) < 4 {
				return
			}
			if a := ringArea(r); a > 0 {
				shells = append(shells, orb.Polygon{r})
			} else if a < 0 {
				holes = append(holes, r)
			}
		})
	}
	for _, h := range holes {
		if i := shellOf(shells, h); i >= 0 {
			shells[i] = append(shells[i], h)
		}
	}
	return shells
}

// number makes nodes of the segments' ends.
func (t *tracer) number(segments []segment) {
	size := 16
	for size < 4*len(segments) {
		size *= 2
	}
	if cap(t.table) < size {
		t.table = make([]int32, size)
	}
	t.table = t.table[:size]
	clear(t.table)
	t.nodes, t.given = t.nodes[:0], t.given[:0]
	for i := range segments {
		l := link{t.node(segments[i].a), t.node(segments[i].b)}
		if l.a != l.b {
			t.given = append(t.given, l)
		}
	}
}

// node returns the number of the node at a point.
func (t *tracer) node(p orb.Point) int32 {
	x, y := math.Round(p[0]/gridM), math.Round(p[1]/gridM)
	at := orb.Point{x * gridM, y * gridM}
	mask := uint64(len(t.table) - 1)
	h := (uint64(int64(x))*0x9e3779b97f4a7c15 ^ uint64(int64(y))*0xc2b2ae3d27d4eb4f)
	for h ^= h >> 29; ; h++ {
		n := t.table[h&mask]
		if n == 0 {
			t.nodes = append(t.nodes, node{at: at, exact: p})
			t.table[h&mask] = int32(len(t.nodes))
			return int32(len(t.nodes) - 1)
		}
		if t.nodes[n-1].at == at {
			return n - 1
		}
	}
}

// index sorts the links by the node they leave.
func (t *tracer) index() {
	t.first = slices.Grow(t.first[:0], len(t.nodes)+1)[:len(t.nodes)+1]
	clear(t.first)
	for _, l := range t.given {
		t.first[l.a]++
	}
	var at int32
	for n := range t.first {
		at, t.first[n] = at+t.first[n], at
	}
	t.links = slices.Grow(t.links[:0], len(t.given))[:len(t.given)]
	for _, l := range t.given {
		t.links[t.first[l.a]] = l
		t.first[l.a]++
	}
	copy(t.first[1:], t.first)
	t.first[0] = 0
}

// cancel takes out pairs of links that run to and fro and counts the ends that
// are left at each node.
func (t *tracer) cancel() {
	t.taken = slices.Grow(t.taken[:0], len(t.links))[:len(t.links)]
	clear(t.taken)
	for i, l := range t.links {
		for j := t.first[l.b]; j < t.first[l.b+1] && !t.taken[i]; j++ {
			if !t.taken[j] && t.links[j].b == l.a {
				t.taken[i], t.taken[j] = true, true
			}
		}
		if !t.taken[i] {
			t.nodes[l.a].degree++
			t.nodes[l.b].degree++
		}
	}
	t.place = slices.Grow(t.place[:0], len(t.nodes))[:len(t.nodes)]
	for n := range t.place {
		t.place[n] = -1
	}
}

// follow walks a closed chain from a link and takes its links.
func (t *tracer) follow(l int32) []int32 {
	start := t.links[l].a
	t.chain = append(t.chain[:0], start)
	for {
		t.taken[l] = true
		at := t.links[l].b
		t.chain = append(t.chain, at)
		if at == start {
			return t.chain
		}
		if l = t.turn(t.links[l].a, at); l < 0 {
			return nil // cannot happen on a closed chain
		}
	}
}

// turn chooses the way out of a node that keeps the patch's own wedge on the
// left: the first one clockwise from the way back.
func (t *tracer) turn(from, at int32) int32 {
	best, bestTurn := int32(-1), math.Inf(1)
	lo, hi := t.first[at], t.first[at+1]
	if hi-lo == 1 && !t.taken[lo] {
		return lo
	}
	p, q := t.nodes[at].at, t.nodes[from].at
	back := math.Atan2(q[1]-p[1], q[0]-p[0])
	for l := lo; l < hi; l++ {
		if t.taken[l] {
			continue
		}
		w := t.nodes[t.links[l].b].at
		turn := math.Mod(back-math.Atan2(w[1]-p[1], w[0]-p[0])+4*math.Pi, 2*math.Pi)
		if turn == 0 {
			turn = 2 * math.Pi
		}
		if turn < bestTurn {
			best, bestTurn = l, turn
		}
	}
	return best
}

// splitLoops parts a closed chain wherever it passes a node twice.
func (t *tracer) splitLoops(chain []int32, loop func([]int32)) {
	t.stack = t.stack[:0]
	for _, n := range chain {
		i := t.place[n]
		if i < 0 {
			t.place[n] = int32(len(t.stack))
			t.stack = append(t.stack, n)
			continue
		}
		loop(t.stack[i:])
		for _, m := range t.stack[i+1:] {
			t.place[m] = -1
		}
		t.stack = t.stack[:i+1]
	}
	for _, m := range t.stack {
		t.place[m] = -1
	}
}

// ring closes a loop of nodes and leaves out those that lie on the line between
// their neighbours and where no other outline ends.
func (t *tracer) ring(loop []int32) orb.Ring {
	if len(loop) < 3 {
		return nil
	}
	kept := make(orb.Ring, 0, len(loop)+1)
	last := loop[len(loop)-1]
	for i, n := range loop {
		next := loop[(i+1)%len(loop)]
		if t.nodes[n].degree == 2 && straight(t.nodes[last].exact, t.nodes[n].exact, t.nodes[next].exact) {
			continue
		}
		kept = append(kept, t.nodes[n].at)
		last = n
	}
	if len(kept) < 3 {
		return nil
	}
	return append(kept, kept[0])
}

// straight tells whether b lies on the way from a to c.
func straight(a, b, c orb.Point) bool {
	dx, dy := c[0]-a[0], c[1]-a[1]
	ex, ey := b[0]-a[0], b[1]-a[1]
	along := ex*dx + ey*dy
	length := dx*dx + dy*dy
	if along <= 0 || along >= length {
		return false
	}
	off := dx*ey - dy*ex
	return off*off <= straightM*straightM*length
}

// shellOf finds the smallest shell around a hole.
func shellOf(shells orb.MultiPolygon, hole orb.Ring) int {
	if len(shells) == 1 {
		return 0
	}
	best, bestArea := -1, math.Inf(1)
	for i, s := range shells {
		if a := ringArea(s[0]); a < bestArea && a > -ringArea(hole) && holds(s[0], hole) {
			best, bestArea = i, a
		}
	}
	return best
}

// holds tells whether a hole lies in a shell it may touch: most of its sides'
// middles do.
func holds(shell, hole orb.Ring) bool {
	in := 0
	for i := 1; i < len(hole); i++ {
		m := orb.Point{(hole[i][0] + hole[i-1][0]) / 2, (hole[i][1] + hole[i-1][1]) / 2}
		if inside(shell, m) {
			in++
		}
	}
	return 2*in > len(hole)-1
}

// inside tells by even-odd counting whether a point lies in a ring.
func inside(r orb.Ring, p orb.Point) bool {
	in := false
	for i := 1; i < len(r); i++ {
		a, b := r[i-1], r[i]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])*(b[0]-a[0])/(b[1]-a[1]) {
			in = !in
		}
	}
	return in
}
