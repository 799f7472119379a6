package cover

import (
	"math/bits"

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

	open         [maxKinds][]run
	openKinds    uint32
	fresh, ended []span
	runs         []run
	west         float64 // x of the current block's left wall
	atWest       [maxKinds][]span
	atEast       [maxKinds][]span
	fromWest     [maxKinds][]span // what reached this wall from the block before
	joins        spanJoiner
	blockStarted bool

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
	if !r.blockStarted {
		r.blockStarted, r.west, r.bottomY, r.topY = true, b.x0, b.y0, b.y1
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
	r.blockStarted = false
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
