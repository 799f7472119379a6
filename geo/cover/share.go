package cover

import (
	"cmp"
	"math"
	"slices"

	"ratewright/geo/parallel"

	"github.com/paulmach/orb"
)

// Patches are outlined each by itself, so where two meet beside a third, those
// that turn there have a corner and the one that goes straight on has none. Before
// outlines are drawn, every side that passes a corner of any outline is given it.
// Two that border then have the same corners there, and each side of one is a side
// of the other, reversed.

// meetM is how near a side passes a corner that it is given, in metres: more than
// ends move when they are put on the grid, one on either side, less than anything
// that is drawn.
const meetM = 2e-5

// maxBends is how often the parts of a side that has been bent are looked at anew.
const maxBends = 3

// corner is a vertex of an outline, on the grid and where it was found.
type corner struct {
	at    step
	exact orb.Point
}

// sharer gives outlines each other's corners.
type sharer struct {
	all     tracer      // its nodes are the corners of all outlines
	loops   [][][]int32 // of each patch, in those nodes
	numbers []int32     // the memory of loops
	fresh   int         // the first node that outlines have not been asked about
	near    cornerGrid  // of the nodes from fresh on
}

// draw makes the polygons of patches of their loops. Where sides come to cross on
// the grid there are new corners, which others are given in turn.
func draw(patches []Patch, o Options) {
	s := sharer{all: newTracer(o), loops: make([][][]int32, len(patches))}
	total := 0
	for i := range patches {
		for _, l := range patches[i].loops {
			total += len(l)
		}
	}
	s.all.begin(total)
	s.all.nodes, s.numbers = slices.Grow(s.all.nodes, total), make([]int32, 0, total)
	for i := range patches {
		s.gather(i, &patches[i])
	}
	for round := 0; round < maxRounds && s.fresh < len(s.all.nodes); round++ {
		s.near = newCornerGrid(s.all.nodes, s.fresh)
		s.fresh = len(s.all.nodes)
		parallel.EachBy(len(patches), o.Workers, func() func(int) {
			w := sideGiver{sharer: &s, t: newTracer(o), local: make([]int32, len(s.all.nodes))}
			return func(i int) { w.draw(i, &patches[i], round == 0) }
		})
		for i := range patches {
			if patches[i].loops != nil {
				s.gather(i, &patches[i])
			}
		}
	}
}

// gather numbers the corners of a patch and lets its loops go.
func (s *sharer) gather(i int, p *Patch) {
	s.loops[i] = make([][]int32, len(p.loops))
	for j, l := range p.loops {
		first := len(s.numbers)
		for _, c := range l {
			s.numbers = append(s.numbers, s.all.nodeAt(c.at, c.exact))
		}
		s.loops[i][j] = s.numbers[first:len(s.numbers):len(s.numbers)]
	}
	p.loops = nil
}

// sideGiver works on one patch after another.
type sideGiver struct {
	*sharer
	t      tracer
	local  []int32 // corner -> its node in t + 1
	global []int32 // the reverse
	passed []int32 // a stack: corners that sides pass
}

// draw traces a patch with all corners that its sides pass. Where it was parted at
// new ones, which have no numbers yet, it has loops again. A patch that passes none
// is as it was drawn before.
func (w *sideGiver) draw(i int, p *Patch, first bool) {
	for _, n := range w.global {
		w.local[n] = 0
	}
	w.global = w.global[:0]
	t := &w.t
	t.begin(0)
	total := 0
	for _, l := range w.loops[i] {
		total += len(l)
		last := l[len(l)-1]
		for _, at := range l {
			w.addSide(last, at, maxBends)
			last = at
		}
	}
	if total == 0 || !first && len(t.given) == total {
		return
	}
	t.findLoops()
	t.partCrossings()
	p.Polygons = t.polygons()
	if len(t.nodes) > len(w.global) {
		p.loops = t.corners()
		return
	}
	w.loops[i] = w.loops[i][:0]
	for _, l := range t.loops {
		for k, n := range l {
			l[k] = w.global[n]
		}
		w.loops[i] = append(w.loops[i], l)
	}
}

// addSide gives the tracer the side from one corner to another by way of those it
// passes. Bent at them it may come to pass others.
func (w *sideGiver) addSide(from, to int32, rounds int) {
	if from == to {
		return
	}
	base := len(w.passed)
	if rounds > 0 {
		w.findPassed(from, to)
	}
	end := len(w.passed)
	if end == base {
		w.t.addLink(w.node(from), w.node(to))
		return
	}
	last := from
	for i := base; i < end; i++ {
		w.addSide(last, w.passed[i], rounds-1)
		last = w.passed[i]
	}
	w.addSide(last, to, rounds-1)
	w.passed = w.passed[:base]
}

// node is the number of a corner in the tracer.
func (w *sideGiver) node(n int32) int32 {
	if w.local[n] == 0 {
		w.global = append(w.global, n)
		w.local[n] = w.t.newNode(w.all.nodes[n].at, w.all.nodes[n].exact) + 1
	}
	return w.local[n] - 1
}

// findPassed pushes the corners that a side passes, in its order. A side is looked
// at in one direction whichever way it runs, so that its two owners find the same.
func (w *sideGiver) findPassed(from, to int32) {
	base := len(w.passed)
	low, high := min(from, to), max(from, to)
	a, b := w.all.nodes[low].exact, w.all.nodes[high].exact
	dx, dy := b[0]-a[0], b[1]-a[1]
	length := math.Hypot(dx, dy)
	along := func(p orb.Point) float64 { return (dx*(p[0]-a[0]) + dy*(p[1]-a[1])) / length }
	w.near.near(a, b, meetM, func(n int32, p orb.Point) {
		off := math.Abs(dx*(p[1]-a[1])-dy*(p[0]-a[0])) / length
		if off > meetM || n == low || n == high {
			return
		}
		if s := along(p); s > 0 && off <= min(s, length-s) {
			w.passed = append(w.passed, n)
		}
	})
	found := w.passed[base:]
	slices.SortFunc(found, func(p, q int32) int {
		return cmp.Or(cmp.Compare(along(w.all.nodes[p].exact), along(w.all.nodes[q].exact)), cmp.Compare(p, q))
	})
	if from > to {
		slices.Reverse(found)
	}
}
