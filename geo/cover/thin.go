package cover

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Outlines are thinned by the rule of Douglas and Peucker (1973): a chord stands
// for a path of nodes that lie no farther from it than the tolerance. That rule
// knows nothing of what lies beside the path, so a chord is kept only where it has
// no other loop between itself and its path and meets no other side; else its path
// is thinned again by half of how far the chord lies off, until it holds. What is
// in nobody's way is thinned by the whole tolerance all the same, which is why
// outlines do not grow with it.

// chord is a side of a thinned loop, from one place in the loop to another.
type chord struct{ loop, from, to int32 }

// thinLoop is a loop and what is kept of it.
type thinLoop struct {
	nodes []int32 // closed: the first node comes again as the last
	keep  []bool
	area  float64 // of the whole loop, as loopRing has it
}

// anchor is a node that its loop keeps whatever the tolerance.
type anchor struct {
	at   step
	loop int32
}

// thinner thins the loops of one patch; its slices are reused.
type thinner struct {
	loops   []thinLoop
	anchors []anchor // by x
	chords  []chord  // of all loops in turn, as edges has their sides
	done    []bool   // chord -> thinned anew in this round
	todo    []chord  // of dp
	held    bool     // something could not be thinned by the whole tolerance
}

// thin thins the loops and tells whether sides still meet, which can then only be
// rounding to the grid.
func (t *tracer) thin() (meeting bool) {
	h := &t.thinner
	h.loops, h.anchors, h.held = h.loops[:0], h.anchors[:0], false
	for _, loop := range t.loops {
		h.loops = append(h.loops, t.anchored(loop))
		far := h.loops[len(h.loops)-1]
		for i, k := range far.keep[:len(loop)] {
			if k && len(t.loops) > 1 {
				h.anchors = append(h.anchors, anchor{t.nodes[far.nodes[i]].at, int32(len(h.loops) - 1)})
			}
		}
	}
	slices.SortFunc(h.anchors, func(a, b anchor) int { return cmp.Compare(a.at.x, b.at.x) })
	for i := range h.loops {
		t.thinLoop(int32(i))
	}
	for {
		t.takeThinned()
		edges := t.edges()
		pairs := meetings(edges, true)
		if !t.thinAnew(edges, pairs) {
			return len(pairs) > 0
		}
		h.held = true
	}
}

// anchored is a loop that begins at its lowest node, whatever patch it is of, so
// that outlines of the same ground stay the same. It keeps that node, the one
// farthest from it, and those where it touches other loops.
func (t *tracer) anchored(loop []int32) thinLoop {
	low := 0
	for i, n := range loop {
		p, q := t.nodes[n].at, t.nodes[loop[low]].at
		if p.x < q.x || p.x == q.x && p.y < q.y {
			low = i
		}
	}
	l := thinLoop{nodes: make([]int32, 0, len(loop)+1), keep: make([]bool, len(loop)+1)}
	l.nodes = append(append(append(l.nodes, loop[low:]...), loop[:low]...), loop[low])
	far, farAt := -1.0, 0
	for i, n := range l.nodes {
		l.keep[i] = t.nodes[n].degree > 2
		if d := dist2(t.nodes[n].exact, t.nodes[l.nodes[0]].exact); d > far {
			far, farAt = d, i
		}
	}
	l.keep[0], l.keep[farAt], l.keep[len(loop)] = true, true, true
	l.area, _ = t.areaOf(loop)
	return l
}

// thinLoop thins a loop for the first time. One that is narrower than the
// tolerance would vanish, so it is thinned by half its own width.
func (t *tracer) thinLoop(i int32) {
	l := &t.thinner.loops[i]
	width := 0.0
	for c := range l.chords(i) {
		off, _ := t.off(c)
		width = max(width, off)
	}
	by := t.simplify
	if width/2 < by {
		by, t.thinner.held = width/2, true
	}
	for _, c := range slices.Collect(l.chords(i)) {
		t.dp(c, by)
	}
}

// chords are the sides of what is kept of loop i.
func (l *thinLoop) chords(i int32) func(func(chord) bool) {
	return func(yield func(chord) bool) {
		from := 0
		for to := 1; to < len(l.keep); to++ {
			if l.keep[to] {
				if !yield(chord{i, int32(from), int32(to)}) {
					return
				}
				from = to
			}
		}
	}
}

// off is how far the path of a chord lies from it, and where most.
func (t *tracer) off(c chord) (float64, int32) {
	nodes := t.thinner.loops[c.loop].nodes
	a, b := t.nodes[nodes[c.from]].exact, t.nodes[nodes[c.to]].exact
	best, at := -1.0, c.from+1
	for i := c.from + 1; i < c.to; i++ {
		if d := segmentDist2(a, b, t.nodes[nodes[i]].exact); d > best {
			best, at = d, i
		}
	}
	return math.Sqrt(max(best, 0)), at
}

// dp keeps what it must of a chord's path, so that chords lie within a distance of
// it and no other loop lies between.
func (t *tracer) dp(c chord, by float64) {
	h := &t.thinner
	h.todo = append(h.todo[:0], c)
	for len(h.todo) > 0 {
		c := h.todo[len(h.todo)-1]
		h.todo = h.todo[:len(h.todo)-1]
		if c.to-c.from < 2 {
			continue
		}
		off, at := t.off(c)
		if off <= by {
			if !t.between(c) {
				continue
			}
			h.held = true
		}
		h.loops[c.loop].keep[at] = true
		h.todo = append(h.todo, chord{c.loop, at, c.to}, chord{c.loop, c.from, at})
	}
}

// between tells whether another loop lies between a chord and its path: where
// nothing crosses, one node of it tells.
func (t *tracer) between(c chord) bool {
	anchors := t.thinner.anchors
	if len(anchors) == 0 {
		return false
	}
	path := t.thinner.loops[c.loop].nodes[c.from : c.to+1]
	lo := t.nodes[path[0]].at
	hi := lo
	for _, n := range path {
		p := t.nodes[n].at
		lo = step{min(lo.x, p.x), min(lo.y, p.y)}
		hi = step{max(hi.x, p.x), max(hi.y, p.y)}
	}
	i, _ := slices.BinarySearchFunc(anchors, lo.x, func(a anchor, x int64) int { return cmp.Compare(a.at.x, x) })
	for ; i < len(anchors) && anchors[i].at.x <= hi.x; i++ {
		a := anchors[i]
		if a.loop == c.loop || a.at.y < lo.y || a.at.y > hi.y {
			continue
		}
		// Loops that touch share a node, which lies in neither.
		if a.at != t.nodes[path[0]].at && a.at != t.nodes[path[len(path)-1]].at && t.around(path, a.at) {
			return true
		}
	}
	return false
}

// around tells by even-odd counting whether a place lies within a closed path.
func (t *tracer) around(path []int32, at step) bool {
	r := loopRing{places: make([]step, len(path))}
	for i, n := range path {
		r.places[i] = t.nodes[n].at
	}
	return r.around(float64(at.x), float64(at.y))
}

// takeThinned makes what is kept the loops and lists its chords.
func (t *tracer) takeThinned() {
	h := &t.thinner
	h.chords = h.chords[:0]
	for i := range h.loops {
		l := &h.loops[i]
		t.loops[i] = t.loops[i][:0]
		for c := range l.chords(int32(i)) {
			h.chords = append(h.chords, c)
			t.loops[i] = append(t.loops[i], l.nodes[c.from])
		}
	}
}

// thinAnew thins by less what is in the way of others and what has been turned
// over, and tells whether there was any. Of two chords that meet the one that lies
// farther off is more likely to be at fault.
func (t *tracer) thinAnew(edges []edgeOnGrid, pairs []pairOnGrid) bool {
	h := &t.thinner
	h.done = slices.Grow(h.done[:0], len(h.chords))[:len(h.chords)]
	clear(h.done)
	for i, loop := range t.loops {
		if area, length := t.areaOf(loop); area*sgn(h.loops[i].area) <= length/2 {
			for n, c := range h.chords {
				if c.loop == int32(i) {
					t.halve(int32(n))
				}
			}
		}
	}
	for _, p := range pairs {
		a, b := edges[p.e].side, edges[p.f].side
		if h.done[a] || h.done[b] {
			continue
		}
		offA, _ := t.off(h.chords[a])
		offB, _ := t.off(h.chords[b])
		if offB > offA {
			a, b = b, a
		}
		if !t.halve(a) {
			t.halve(b)
		}
	}
	return slices.Contains(h.done, true)
}

// halve thins a chord's path by half of how far the chord lies off it.
func (t *tracer) halve(n int32) bool {
	h := &t.thinner
	c := h.chords[n]
	if c.to-c.from < 2 {
		return false
	}
	off, at := t.off(c)
	h.loops[c.loop].keep[at] = true // also where rounding has off/2 no smaller than off
	t.dp(chord{c.loop, c.from, at}, off/2)
	t.dp(chord{c.loop, at, c.to}, off/2)
	h.done[n] = true
	return true
}

// areaOf is the signed area and the length of a loop, in steps.
func (t *tracer) areaOf(loop []int32) (area, length float64) {
	o := t.nodes[loop[0]].at
	for i, n := range loop {
		a, b := t.nodes[n].at, t.nodes[loop[(i+1)%len(loop)]].at
		area += (float64(a.x-o.x)*float64(b.y-o.y) - float64(b.x-o.x)*float64(a.y-o.y)) / 2
		length += math.Hypot(float64(b.x-a.x), float64(b.y-a.y))
	}
	return area, length
}

func sgn(v float64) float64 { return math.Copysign(1, v) }

// segmentDist2 is the square of the distance of p from the side ab.
func segmentDist2(a, b, p orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	s := 0.0
	if length := dx*dx + dy*dy; length > 0 {
		s = min(max(((p[0]-a[0])*dx+(p[1]-a[1])*dy)/length, 0), 1)
	}
	return dist2(orb.Point{a[0] + s*dx, a[1] + s*dy}, p)
}
