package cover

import (
	"math"
	"slices"

	"ratewright/geo/parallel"

	"github.com/paulmach/orb"
)

// Options are a sweep's settings.
type Options struct {
	// Patches asks for the outlines of the kinds that judges mark.
	Patches bool
	// MinPatchM2 is the area below which a patch is summed, not outlined.
	MinPatchM2 float64
	// Grid is where vertices of outlines lie; nil is a grid of 0.01 mm in the plane.
	Grid Grid
	// SimplifyM is how far outlines may lie from where they are, to have fewer
	// vertices; the sums stay exact. Where an outline would come to cross itself or its
	// holes, or would lose its form, it lies nearer.
	SimplifyM float64
	// Workers is how many rows are worked on at a time; 0 is one per processor.
	Workers int
}

// Result is what a sweep found.
type Result struct {
	// Judges are the judges of the rows of blocks, from south to north.
	Judges []Judge
	// Patches are the outlined patches; Small sums those below MinPatchM2 by kind.
	Patches []Patch
	Small   map[int]SmallPatches
}

// Sweep hands every face of the input to judges, one of its own for each row of
// blocks. Ground that no swath and no polygon touches is passed over.
func Sweep(in Input, newJudge func() Judge, o Options) Result {
	sw := sweep{in: &in, base: newBase(in.Layers), options: o, newJudge: newJudge, plain: make([]bool, len(in.Swaths))}
	g, any := sw.newGrid()
	if !any {
		return Result{}
	}
	sw.grid = g
	sw.swaths = g.binSwaths(&in, o.Workers)
	sw.edges = g.binEdges(sw.base.edges)
	sw.lines = g.binLines(sw.base.edges)
	sw.rows = make([]rowResult, g.rows)
	sw.run()
	// What was swept is not needed for the patches; let it go before they grow.
	sw.in, sw.plain, sw.base, sw.swaths, sw.edges, sw.lines = nil, nil, base{}, bins{}, bins{}, bins{}

	res := Result{Judges: make([]Judge, 0, g.rows)}
	for _, r := range sw.rows {
		if r.judge != nil {
			res.Judges = append(res.Judges, r.judge)
		}
	}
	if o.Patches {
		res.Patches, res.Small = joinRows(sw.rows, o)
	}
	return res
}

// sweep is one call of Sweep.
type sweep struct {
	in                   *Input
	grid                 grid
	base                 base
	plain                []bool // swaths that are convex and not folded
	swaths, edges, lines bins
	options              Options
	newJudge             func() Judge
	rows                 []rowResult
}

// rowResult is what one row of blocks gave.
type rowResult struct {
	judge   Judge
	patches *rowPatches
}

// run works through the rows on several processors.
func (sw *sweep) run() {
	parallel.EachBy(len(sw.rows), sw.options.Workers, func() func(int) {
		s := &sweeper{sw: sw}
		s.over.s = s
		if sw.options.Patches {
			s.rec = newRecorder(sw.options)
		}
		return func(r int) { sw.row(s, r) }
	})
}

// row judges one row of blocks from west to east.
func (sw *sweep) row(s *sweeper, r int) {
	g := &sw.grid
	line := sw.lineCrossings(r)
	if len(line) == 0 && sw.rowIsEmpty(r) {
		return
	}
	s.judge = sw.newJudge()
	if s.rec != nil {
		s.rec.reset()
	}
	var corner []winding
	for c := range g.cols {
		b := g.box(r, c)
		for len(line) > 0 && line[0].x <= b.x0 {
			corner = addWinding(corner, line[0].winding)
			line = line[1:]
		}
		block := r*g.cols + c
		swaths, edges := sw.swaths.of(block), sw.edges.of(block)
		if len(swaths) == 0 && len(edges) == 0 && len(corner) == 0 {
			if s.rec != nil {
				s.rec.emptyBlock(b.x1)
			}
			continue
		}
		s.block(b, swaths, edges, corner)
	}
	sw.rows[r].judge = s.judge
	if s.rec != nil {
		s.rec.emptyBlock(g.x(g.cols))
		sw.rows[r].patches = s.rec.close(sw.options.MinPatchM2)
	}
}

func (sw *sweep) rowIsEmpty(r int) bool {
	first, last := r*sw.grid.cols, (r+1)*sw.grid.cols
	return sw.swaths.start[first] == sw.swaths.start[last] && sw.edges.start[first] == sw.edges.start[last]
}

// lineCrossing is where a layer's edge passes the lower line of a row.
type lineCrossing struct {
	x float64
	winding
}

// lineCrossings returns the crossings of a row's lower line from west to east.
func (sw *sweep) lineCrossings(r int) []lineCrossing {
	items := sw.lines.of(r)
	out := make([]lineCrossing, 0, len(items))
	for _, i := range items {
		e := &sw.base.edges[i]
		out = append(out, lineCrossing{e.at(sw.grid.y(r)), winding{e.owner, e.w}})
	}
	slices.SortFunc(out, func(a, b lineCrossing) int { return compare(a.x, b.x) })
	return out
}

// addWinding adds to the windings at a corner and keeps only those not zero.
func addWinding(ws []winding, add winding) []winding {
	for i := range ws {
		if ws[i].owner == add.owner {
			if ws[i].w += add.w; ws[i].w == 0 {
				ws = slices.Delete(ws, i, i+1)
			}
			return ws
		}
	}
	return append(ws, add)
}

// ShapeArea is the area in square metres that a swath of such a shape covers. Like
// QuadArea it does not use the sweep.
func ShapeArea(p orb.Polygon) float64 {
	var a float64
	for _, r := range p {
		a += ringArea(r)
	}
	return math.Abs(a)
}

// QuadArea is the area in square metres that a quad covers: where two opposite
// sides cross, the sum of the two triangles; otherwise the size of its signed area.
func QuadArea(q *[4]orb.Point) float64 {
	if t := triangles(q); min(t[0], t[1], t[2], t[3]) >= 0 {
		return t[0] + t[2]
	}
	for i := range 2 {
		a, b, c, d := q[i], q[i+1], q[i+2], q[(i+3)&3]
		if x, ok := crossing(a, b, c, d); ok {
			// Sides ab and cd cross in x: lobes x-b-c and x-d-a.
			return math.Abs(triangle(x, b, c)) + math.Abs(triangle(x, d, a))
		}
	}
	return math.Abs(triangle(q[0], q[1], q[2]) + triangle(q[0], q[2], q[3]))
}

// triangles are the signed areas of the triangles at the corners 1, 2, 3 and 0 of
// a quad. The first and the third make up the quad.
func triangles(q *[4]orb.Point) [4]float64 {
	return [4]float64{
		triangle(q[0], q[1], q[2]), triangle(q[1], q[2], q[3]), triangle(q[2], q[3], q[0]), triangle(q[3], q[0], q[1]),
	}
}

// triangle is the signed area of a triangle, counter-clockwise positive.
func triangle(a, b, c orb.Point) float64 {
	return ((b[0]-a[0])*(c[1]-a[1]) - (c[0]-a[0])*(b[1]-a[1])) / 2
}

// crossing returns the inner crossing point of segments ab and cd.
func crossing(a, b, c, d orb.Point) (orb.Point, bool) {
	sc, sd := triangle(a, b, c), triangle(a, b, d)
	sa, sb := triangle(c, d, a), triangle(c, d, b)
	if sc*sd >= 0 || sa*sb >= 0 {
		return orb.Point{}, false
	}
	t := sa / (sa - sb)
	return orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}, true
}

// ringArea is the signed area of a ring, closed or not.
func ringArea(r orb.Ring) float64 {
	if len(r) == 0 {
		return 0
	}
	var a float64
	o := r[0]
	for i := 1; i+1 < len(r); i++ {
		a += triangle(o, r[i], r[i+1])
	}
	return a
}
