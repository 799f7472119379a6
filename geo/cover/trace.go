package cover

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// straightM is how far a vertex may lie off the line between its neighbours and
// be left out, in metres.
const straightM = 1e-8

// tracer turns the directed segments of one patch into polygons.
type tracer struct {
	snap  func(orb.Point) orb.Point
	exact map[orb.Point]orb.Point // snapped -> first exact point
	out   map[orb.Point][]orb.Point
	deg   map[orb.Point]int
}

// trace returns the polygons outlined by the segments: shells counter-clockwise,
// holes clockwise, every ring simple. Points are put on the grid of snap first,
// and segments that cancel there are dropped, so that parts thinner than the
// grid vanish instead of folding over.
func trace(segments []segment, snap func(orb.Point) orb.Point) orb.MultiPolygon {
	t := tracer{
		snap:  snap,
		exact: make(map[orb.Point]orb.Point, len(segments)),
		out:   make(map[orb.Point][]orb.Point, len(segments)),
		deg:   make(map[orb.Point]int, len(segments)),
	}
	starts := t.load(segments)
	var loops []orb.Ring
	for _, p := range starts {
		for len(t.out[p]) > 0 {
			loops = append(loops, splitLoops(t.follow(p))...)
		}
	}
	return t.polygons(loops)
}

// load builds the graph and returns its nodes in a fixed order.
func (t *tracer) load(segments []segment) []orb.Point {
	type link struct{ a, b orb.Point }
	net := make(map[link]int, len(segments))
	var order []link
	for _, s := range segments {
		a, b := t.node(s.a), t.node(s.b)
		if a == b {
			continue
		}
		l, d := link{a, b}, 1
		if comparePoints(b, a) < 0 {
			l, d = link{b, a}, -1
		}
		if _, seen := net[l]; !seen {
			order = append(order, l)
		}
		net[l] += d
	}
	var starts []orb.Point
	for _, l := range order {
		n := net[l]
		a, b := l.a, l.b
		if n < 0 {
			n, a, b = -n, b, a
		}
		for range n {
			t.out[a] = append(t.out[a], b)
			t.deg[a]++
			t.deg[b]++
			starts = append(starts, a)
		}
	}
	slices.SortFunc(starts, comparePoints)
	return slices.Compact(starts)
}

func comparePoints(a, b orb.Point) int {
	return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
}

func (t *tracer) node(p orb.Point) orb.Point {
	s := t.snap(p)
	if _, ok := t.exact[s]; !ok {
		t.exact[s] = p
	}
	return s
}

// follow walks a closed chain from start and takes its segments out of the graph.
func (t *tracer) follow(start orb.Point) orb.Ring {
	ring := orb.Ring{start}
	at := t.take(start, 0)
	from := start
	for at != start && len(t.out[at]) > 0 {
		ring = append(ring, at)
		next := t.take(at, t.turn(from, at))
		from, at = at, next
	}
	return append(ring, start)
}

// take removes and returns the i-th way out of a node.
func (t *tracer) take(p orb.Point, i int) orb.Point {
	ways := t.out[p]
	q := ways[i]
	t.out[p] = append(ways[:i:i], ways[i+1:]...)
	return q
}

// turn chooses the way out of a node that keeps the patch's own wedge on the
// left: the first one clockwise from the way back.
func (t *tracer) turn(from, at orb.Point) int {
	ways := t.out[at]
	if len(ways) == 1 {
		return 0
	}
	back := math.Atan2(from[1]-at[1], from[0]-at[0])
	best, bestTurn := 0, math.Inf(1)
	for i, w := range ways {
		turn := math.Mod(back-math.Atan2(w[1]-at[1], w[0]-at[0])+4*math.Pi, 2*math.Pi)
		if turn == 0 {
			turn = 2 * math.Pi
		}
		if turn < bestTurn {
			best, bestTurn = i, turn
		}
	}
	return best
}

// splitLoops parts a closed chain wherever it passes a node twice.
func splitLoops(r orb.Ring) []orb.Ring {
	var loops []orb.Ring
	var stack orb.Ring
	place := make(map[orb.Point]int, len(r))
	for _, p := range r {
		if i, ok := place[p]; ok {
			loop := append(slices.Clone(stack[i:]), p)
			for _, q := range stack[i+1:] {
				delete(place, q)
			}
			stack = stack[:i+1]
			if len(loop) >= 4 {
				loops = append(loops, loop)
			}
			continue
		}
		place[p] = len(stack)
		stack = append(stack, p)
	}
	return loops
}

// polygons leaves out needless vertices and puts each hole into its shell.
func (t *tracer) polygons(loops []orb.Ring) orb.MultiPolygon {
	var shells orb.MultiPolygon
	var holes []orb.Ring
	for _, l := range loops {
		l = t.straighten(l)
		if len(l) < 4 {
			continue
		}
		if a := ringArea(l); a > 0 {
			shells = append(shells, orb.Polygon{l})
		} else if a < 0 {
			holes = append(holes, l)
		}
	}
	for _, h := range holes {
		if i := shellOf(shells, h); i >= 0 {
			shells[i] = append(shells[i], h)
		}
	}
	return shells
}

// straighten drops vertices that lie on the line between their neighbours and
// where no other outline ends.
func (t *tracer) straighten(r orb.Ring) orb.Ring {
	n := len(r) - 1
	keep := make(orb.Ring, 0, n+1)
	for i := range n {
		p := r[i]
		prev := r[(i+n-1)%n]
		if len(keep) > 0 {
			prev = keep[len(keep)-1]
		}
		if t.deg[p] == 2 && straight(t.exact[prev], t.exact[p], t.exact[r[(i+1)%n]]) {
			continue
		}
		keep = append(keep, p)
	}
	if len(keep) < 3 {
		return nil
	}
	return append(keep, keep[0])
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
	return math.Abs(dx*ey-dy*ex) <= straightM*math.Sqrt(length)
}

// shellOf finds the smallest shell around a hole.
func shellOf(shells orb.MultiPolygon, hole orb.Ring) int {
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
