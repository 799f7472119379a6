package cover

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// straightM is how far a vertex may lie off the line between its neighbours and
// be left out, in metres.
const straightM = 1e-8

// longestSideM is how far apart vertices on a line stay, in metres. A side that is
// straight in degrees sags in the plane by L² tan(latitude)/8R: at 60 degrees by
// 3e-6 m over 10 m, less than a step of the written grid, but by a centimetre over
// half a kilometre, which would take it across its neighbours.
const longestSideM = 10

// tracer turns the directed segments of a patch into polygons whose vertices lie
// on the grid, valid there. Segments that cancel on the grid are dropped, so that
// parts thinner than a step vanish; where sides come to cross because their ends
// have moved to the grid, the outline is parted there. Nodes are numbers; the
// slices are reused from patch to patch.
type tracer struct {
	grid     Grid
	simplify float64 // metres by which an outline may move

	table  []int32 // hash of a place -> node+1
	listed int     // nodes that the table has
	recent [recents]recentPoint
	begun  int
	nodes  []node
	given  []link // links as they come
	links  []link // the same by the node they leave
	first  []int32
	taken  []bool
	place  []int32 // node -> place in the stack of splitLoops, -1 when not on it
	stack  []int32
	chain  []int32
	loops  [][]int32
	line   []orb.Point // of chainFrom

	thinner thinner
}

func newTracer(o Options) tracer {
	t := tracer{grid: o.Grid, simplify: o.SimplifyM}
	if t.grid == nil {
		t.grid = metreGrid{}
	}
	return t
}

// link is a directed side between nodes.
type link struct{ a, b int32 }

// begin makes the tracer empty, with room for so many nodes.
func (t *tracer) begin(nodes int) {
	t.nodes, t.given = t.nodes[:0], t.given[:0]
	t.begun++
	t.grow(nodes)
}

// trace outlines a patch by what was added since begin. A thinned one is drawn at
// once: shells counter-clockwise, holes clockwise, every ring simple. Others have
// their corners yet to share with their neighbours: see draw.
func (t *tracer) trace(p *Patch) {
	t.findLoops()
	t.straighten()
	if t.simplify <= 0 {
		p.loops = t.corners()
		return
	}
	if t.thin() {
		t.partCrossings()
	}
	p.Polygons, p.Held = t.polygons(), t.thinner.held
}

// corners are the loops on their own.
func (t *tracer) corners() [][]corner {
	loops := make([][]corner, len(t.loops))
	for i, loop := range t.loops {
		loops[i] = make([]corner, len(loop))
		for k, n := range loop {
			loops[i][k] = corner{t.nodes[n].at, t.nodes[n].exact}
		}
	}
	return loops
}

// addSegments adds sides one by one.
func (t *tracer) addSegments(segments []segment) {
	for i := range segments {
		t.addLink(t.node(segments[i].a), t.node(segments[i].b))
	}
}

// addChain adds sides from point to point.
func (t *tracer) addChain(points []orb.Point) {
	last := t.node(points[0])
	for _, p := range points[1:] {
		n := t.node(p)
		t.addLink(last, n)
		last = n
	}
}

func (t *tracer) addLink(a, b int32) {
	if a != b {
		t.given = append(t.given, link{a, b})
	}
}

// findLoops makes simple loops of the given links.
func (t *tracer) findLoops() {
	t.index()
	t.cancel()
	t.loops = t.loops[:0]
	for i := range t.links {
		if !t.taken[i] {
			t.splitLoops(t.follow(int32(i)))
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
	for n := range t.nodes {
		t.nodes[n].degree = 0
	}
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
	back := t.direction(at, from)
	for l := lo; l < hi; l++ {
		if t.taken[l] {
			continue
		}
		turn := math.Mod(back-t.direction(at, t.links[l].b)+4*math.Pi, 2*math.Pi)
		if turn == 0 {
			turn = 2 * math.Pi
		}
		if turn < bestTurn {
			best, bestTurn = l, turn
		}
	}
	return best
}

// direction is the angle of the way from one node to another.
func (t *tracer) direction(from, to int32) float64 {
	a, b := t.nodes[from].at, t.nodes[to].at
	return math.Atan2(float64(b.y-a.y), float64(b.x-a.x))
}

// splitLoops parts a closed chain wherever it passes a node twice.
func (t *tracer) splitLoops(chain []int32) {
	t.stack = t.stack[:0]
	for _, n := range chain {
		i := t.place[n]
		if i < 0 {
			t.place[n] = int32(len(t.stack))
			t.stack = append(t.stack, n)
			continue
		}
		if loop := t.stack[i:]; len(loop) > 2 {
			t.loops = append(t.loops, slices.Clone(loop))
		}
		for _, m := range t.stack[i+1:] {
			t.place[m] = -1
		}
		t.stack = t.stack[:i+1]
	}
	for _, m := range t.stack {
		t.place[m] = -1
	}
}

// straighten leaves out nodes that lie on the line between their neighbours and
// where no other outline ends.
func (t *tracer) straighten() {
	kept := t.loops[:0]
	for _, loop := range t.loops {
		out := loop[:0:0]
		last := loop[len(loop)-1]
		for i, n := range loop {
			next := loop[(i+1)%len(loop)]
			if t.nodes[n].degree == 2 && t.straightOn(t.nodes[last].exact, t.nodes[n].exact, t.nodes[next].exact) {
				continue
			}
			out = append(out, n)
			last = n
		}
		if len(out) > 2 {
			kept = append(kept, out)
		}
	}
	t.loops = kept
}

// straightOn tells whether b may be left out between a and c.
func (t *tracer) straightOn(a, b, c orb.Point) bool {
	return isShort(a, c) && straight(a, b, c)
}

// isShort tells whether a side may run from a to b.
func isShort(a, b orb.Point) bool { return dist2(a, b) < longestSideM*longestSideM }

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
