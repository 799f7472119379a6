package cover

import (
	"math/bits"
	"slices"

	"github.com/paulmach/orb"
)

// A patch is built from the trapezoids of its kind. In each strip the gaps of a
// kind that lie side by side are one run; a run that keeps its two sides from
// strip to strip grows into one trapezoid. The outline of a set of trapezoids is
// the sum of their directed outlines: a side is part of it as it stands, for the
// neighbour across it is not of the kind; where trapezoids meet on a level line
// or on the wall between two blocks, the stretches they share cancel and make
// them one patch, and what remains is outline. Every end of a stretch is a
// number that both neighbours computed alike, so the outline closes exactly.

const (
	maxKinds = 16
	// slitM is the width below which a run is no patch and a slit between two
	// runs does not part them, in metres.
	slitM = 1e-6
)

// Patch is a connected area of one kind.
type Patch struct {
	Kind int
	// Polygons is the outline, its vertices points of the grid: shells
	// counter-clockwise. More than one polygon only where parts meet in a point or a
	// neck thinner than a step.
	Polygons orb.MultiPolygon
	// AreaM2 and Amounts are the exact sums over the patch's faces.
	AreaM2  float64
	Amounts [2]float64
	// Label is the label that holds the largest part of the patch.
	Label int32
	// Held tells that the outline was thinned by less than Options.SimplifyM in some
	// place, for it would have crossed or lost its form.
	Held bool

	loops [][]corner // the outline until it is drawn
}

// SmallPatches sums patches below the smallest area that is outlined.
type SmallPatches struct {
	Count   int
	AreaM2  float64
	Amounts [2]float64
}

// trap is one trapezoid of a patch, or all of a patch's that lie in one row.
type trap struct {
	kind    int32
	share   int32 // its last entry in shares, -1 before the first
	areaM2  float64
	amounts [2]float64
}

func (t *trap) add(o *trap) {
	t.areaM2 += o.areaM2
	for i := range t.amounts {
		t.amounts[i] += o.amounts[i]
	}
}

// share is how much of a trapezoid lies in one label.
type share struct {
	trap, label int32
	areaM2      float64
}

// run is a trapezoid still growing.
type run struct {
	left, right int32
	trap        int32
	below       int32 // the open run that it continues, -1 where it is new
	xtl, xtr    float64
	yt          float64
	// Where its sides began: at its bottom, or below where they go on from other runs.
	leftFrom, rightFrom orb.Point
	// A run above has the side, or the whole of it.
	leftWent, rightWent, grown bool
}

// span is a stretch of a trapezoid's level side or wall.
type span struct {
	a, b float64
	trap int32
}

// segment is a directed part of an outline, the patch on its left.
type segment struct {
	a, b orb.Point
	trap int32
}

// recorder collects the trapezoids of one row of blocks. Its slices are reused
// from row to row.
type recorder struct {
	traps    []trap
	shares   []share
	links    [][2]int32 // trapezoids found to be of one patch
	segments [maxKinds][]segment
	// Stretches on the row's lower and upper lines, joined with the rows' own
	// when all rows are done.
	bottomY, topY float64
	bottoms, tops [maxKinds][]span
	slivers       [maxKinds]SmallPatches

	open          [maxKinds][]run
	openKinds     uint32
	fresh, ended  []span
	runs          []run
	west          float64 // x of the current block's left wall
	atWest        [maxKinds][]span
	atEast        [maxKinds][]span
	fromWest      [maxKinds][]span // what reached this wall from the block before
	joins         spanJoiner
	strideStarted bool

	// Of close.
	tracer      tracer
	parent      []int32
	number      []int32 // trapezoid -> part, or whole patch; see dropped
	wholes      []int32
	wholeShares []share
	ends        []int
	sorted      []segment
}

func newRecorder(o Options) *recorder { return &recorder{tracer: newTracer(o)} }

// reset empties the recorder for the next row.
func (r *recorder) reset() {
	r.traps, r.shares, r.links = r.traps[:0], r.shares[:0], r.links[:0]
	for k := range r.segments {
		r.segments[k], r.bottoms[k], r.tops[k] = r.segments[k][:0], r.bottoms[k][:0], r.tops[k][:0]
		r.fromWest[k] = r.fromWest[k][:0]
	}
	r.slivers = [maxKinds]SmallPatches{}
}

// strip takes the marked gaps of one strip.
func (r *recorder) strip(y0, y1 float64, b *box, gaps []gap) {
	var kinds uint32
	for i := range gaps {
		kinds |= gaps[i].verdict.Kinds
	}
	if !r.strideStarted {
		r.strideStarted, r.west, r.bottomY, r.topY = true, b.x0, b.y0, b.y1
	}
	for rest := kinds | r.openKinds; rest != 0; rest &= rest - 1 {
		k := bits.TrailingZeros32(rest)
		r.formRuns(k, y0, y1, gaps)
		r.matchRuns(k, y0, b)
		if len(r.open[k]) > 0 {
			r.openKinds |= 1 << k
		} else {
			r.openKinds &^= 1 << k
		}
	}
}

// formRuns joins the gaps of a kind that lie side by side.
func (r *recorder) formRuns(k int, y0, y1 float64, gaps []gap) {
	r.runs = r.runs[:0]
	for i := 0; i < len(gaps); {
		if gaps[i].verdict.Kinds>>k&1 == 0 {
			i++
			continue
		}
		first := i
		last := i
		for i++; i < len(gaps); i++ {
			if gaps[i].verdict.Kinds>>k&1 == 0 {
				continue
			}
			if gaps[i].xbl-gaps[last].xbr > slitM || gaps[i].xtl-gaps[last].xtr > slitM {
				break
			}
			last = i
		}
		r.addRun(k, y0, y1, gaps[first:last+1])
	}
}

// addRun opens a run over neighbouring gaps, or sums it away where it is too
// narrow to have an outline.
func (r *recorder) addRun(k int, y0, y1 float64, gaps []gap) {
	a, z := &gaps[0], &gaps[len(gaps)-1]
	n := run{
		left: a.left, right: z.right, xtl: a.xtl, xtr: z.xtr, yt: y1,
		leftFrom: orb.Point{a.xbl, y0}, rightFrom: orb.Point{z.xbr, y0},
	}
	if max(z.xbr-a.xbl, z.xtr-a.xtl) < slitM {
		for i := range gaps {
			if gaps[i].verdict.Kinds>>k&1 != 0 {
				s := &r.slivers[k]
				s.AreaM2 += gaps[i].areaM2
				for j := range s.Amounts {
					s.Amounts[j] += gaps[i].areaM2 * gaps[i].verdict.Amounts[j]
				}
			}
		}
		return
	}
	n.below = r.continues(k, &n)
	if n.below >= 0 {
		n.trap = r.open[k][n.below].trap
	} else {
		n.trap = int32(len(r.traps))
		r.traps = append(r.traps, trap{kind: int32(k), share: -1})
	}
	for i := range gaps {
		if gaps[i].verdict.Kinds>>k&1 != 0 {
			r.sum(n.trap, &gaps[i])
		}
	}
	r.runs = append(r.runs, n)
}

// continues is the open run that a run continues, or -1. Both lie left to right.
func (r *recorder) continues(k int, n *run) int32 {
	open := r.open[k]
	for i := range open {
		if open[i].left == n.left && open[i].right == n.right {
			return int32(i)
		}
	}
	return -1
}

// sum adds a gap to its trapezoid.
func (r *recorder) sum(t int32, g *gap) {
	tr := &r.traps[t]
	tr.areaM2 += g.areaM2
	for j := range tr.amounts {
		tr.amounts[j] += g.areaM2 * g.verdict.Amounts[j]
	}
	if tr.share < 0 || r.shares[tr.share].label != g.verdict.Label {
		tr.share = int32(len(r.shares))
		r.shares = append(r.shares, share{trap: t, label: g.verdict.Label})
	}
	r.shares[tr.share].areaM2 += g.areaM2
}

// matchRuns lets the open runs grow into the strip above y, or ends them.
func (r *recorder) matchRuns(k int, y float64, b *box) {
	r.fresh, r.ended = r.fresh[:0], r.ended[:0]
	open := r.open[k]
	for i := range r.runs {
		n := &r.runs[i]
		if n.below < 0 {
			r.fresh = append(r.fresh, span{n.leftFrom[0], n.rightFrom[0], n.trap})
			continue
		}
		o := &open[n.below]
		n.leftFrom, n.rightFrom, o.grown = o.leftFrom, o.rightFrom, true
		r.restSides(k, o, n)
	}
	for i := range open {
		if o := &open[i]; !o.grown {
			r.ended = append(r.ended, span{o.xtl, o.xtr, o.trap})
		}
	}
	if y == b.y0 {
		r.bottoms[k] = append(r.bottoms[k], r.fresh...)
	} else {
		links := len(r.links)
		r.joinLevel(k, y, r.fresh, r.ended)
		r.goOn(k, r.links[links:])
	}
	for i := range open {
		if !open[i].grown {
			r.sides(k, &open[i])
		}
	}
	r.open[k], r.runs = r.runs, open
}

// goOn lets new runs take over the sides of runs below that end where only their
// other side changes: most sides of an outline go by the ends of many trapezoids.
// The two must be of one patch. That they meet does not make them so: strips can be
// so thin that what lies side by side in them laps, and only one of two that lap can
// join what lies below. So links tells which joined on the level, each a run above
// and one below.
func (r *recorder) goOn(k int, links [][2]int32) {
	for i := range r.runs {
		n := &r.runs[i]
		if n.below >= 0 {
			continue
		}
		for j := range r.open[k] {
			o := &r.open[k][j]
			left := o.left == n.left && near(o.leftFrom, n.xtl, n.yt)
			right := o.right == n.right && near(o.rightFrom, n.xtr, n.yt)
			if !left && !right || !slices.Contains(links, [2]int32{n.trap, o.trap}) {
				continue
			}
			if left {
				n.leftFrom, o.leftWent = o.leftFrom, true
			}
			if right {
				n.rightFrom, o.rightWent = o.rightFrom, true
			}
		}
	}
}

// restSides lets the sides of a run that goes on from another begin anew before they
// become too long.
func (r *recorder) restSides(k int, o, n *run) {
	if n.left != wallSide && !near(n.leftFrom, n.xtl, n.yt) {
		at := orb.Point{o.xtl, o.yt}
		r.add(k, at, n.leftFrom, n.trap)
		n.leftFrom = at
	}
	if n.right != wallSide && !near(n.rightFrom, n.xtr, n.yt) {
		at := orb.Point{o.xtr, o.yt}
		r.add(k, n.rightFrom, at, n.trap)
		n.rightFrom = at
	}
}

// near tells whether a side may run from a place to another.
func near(from orb.Point, x, y float64) bool {
	return dist2(from, orb.Point{x, y}) < longestSideM*longestSideM
}

// sides gives the left and right sides of an ended run to the outline or to the
// walls.
func (r *recorder) sides(k int, o *run) {
	switch {
	case o.leftWent:
	case o.left == wallSide:
		r.atWest[k] = append(r.atWest[k], span{o.leftFrom[1], o.yt, o.trap})
	default:
		r.add(k, orb.Point{o.xtl, o.yt}, o.leftFrom, o.trap)
	}
	switch {
	case o.rightWent:
	case o.right == wallSide:
		r.atEast[k] = append(r.atEast[k], span{o.rightFrom[1], o.yt, o.trap})
	default:
		r.add(k, o.rightFrom, orb.Point{o.xtr, o.yt}, o.trap)
	}
}

func (r *recorder) add(k int, a, b orb.Point, trap int32) {
	if a != b {
		r.segments[k] = append(r.segments[k], segment{a, b, trap})
	}
}

// endBlock closes what is open at the block's upper line and joins the wall to
// the block before.
func (r *recorder) endBlock() {
	for k := range r.open {
		for i := range r.open[k] {
			o := &r.open[k][i]
			r.tops[k] = append(r.tops[k], span{o.xtl, o.xtr, o.trap})
			r.sides(k, o)
		}
		r.open[k] = r.open[k][:0]
	}
	r.openKinds = 0
	r.joinWest()
	r.strideStarted = false
}

// joinWest joins what reached the block's left wall from both sides.
func (r *recorder) joinWest() {
	for k := range r.atWest {
		if len(r.atWest[k])+len(r.fromWest[k]) > 0 {
			r.joinUpright(k, r.west, r.fromWest[k], r.atWest[k])
		}
		r.fromWest[k], r.atEast[k] = r.atEast[k], r.fromWest[k][:0]
		r.atWest[k] = r.atWest[k][:0]
	}
}

// emptyBlock notes that nothing lies right of the wall at x.
func (r *recorder) emptyBlock(x float64) {
	r.west = x
	r.joinWest()
}

// joinLevel joins trapezoids above a level line (fresh) with those below it.
func (r *recorder) joinLevel(k int, y float64, above, below []span) {
	r.joins.join(above, below, func(a, b float64, t int32) {
		r.add(k, orb.Point{a, y}, orb.Point{b, y}, t)
	}, r.link)
}

// joinUpright joins trapezoids west of a wall with those east of it.
func (r *recorder) joinUpright(k int, x float64, west, east []span) {
	r.joins.join(west, east, func(a, b float64, t int32) {
		r.add(k, orb.Point{x, a}, orb.Point{x, b}, t)
	}, r.link)
}

func (r *recorder) link(a, b int32) { r.links = append(r.links, [2]int32{a, b}) }
