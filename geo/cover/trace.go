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

// node is a vertex on the grid with the first exact point that fell on it.
type node struct {
	at     step
	exact  orb.Point
	degree int32
}

// step is a place on the grid.
type step struct{ x, y int64 }

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
	return dist2(a, c) < longestSideM*longestSideM && straight(a, b, c)
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
