package cover

import (
	"math"

	"github.com/paulmach/orb"
)

// grid is the cutting of the plane into square blocks.
type grid struct {
	origin     orb.Point
	side       float64
	cols, rows int
}

const (
	minSideM  = 2.0
	maxSideM  = 64.0
	maxBlocks = 1 << 22
	// marginM is added around everything that is binned: a block that rounding
	// left out of an edge's list would lose a winding, one too many costs nothing.
	marginM = 1e-9
)

// newGrid covers everything in the input with blocks about twice as wide as the
// root of the mean swath, so that a block sees few swaths and a swath few blocks.
func newGrid(in Input) (grid, bool) {
	b, area, any := extent(in)
	if !any {
		return grid{}, false
	}
	side := maxSideM
	if len(in.Swaths) > 0 {
		side = 2.2 * math.Sqrt(area/float64(len(in.Swaths)))
	}
	side = min(max(side, minSideM), maxSideM)
	w, h := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	for (w/side+2)*(h/side+2) > maxBlocks {
		side *= 2
	}
	// The first wall stands a fraction of a block outside, so that edges on a
	// round coordinate seldom coincide with walls.
	o := orb.Point{b.Min[0] - 0.381966*side, b.Min[1] - 0.381966*side}
	return grid{
		origin: o, side: side,
		cols: int((b.Max[0]-o[0])/side) + 1,
		rows: int((b.Max[1]-o[1])/side) + 1,
	}, true
}

// extent returns the bounds of the input and about the sum of its swaths' areas.
func extent(in Input) (b orb.Bound, swathM2 float64, any bool) {
	join := func(o orb.Bound) {
		if !any {
			b, any = o, true
			return
		}
		b = b.Union(o)
	}
	for i := range in.Swaths {
		join(in.Swaths[i].bound())
		if q := &in.Swaths[i].Quad; in.Swaths[i].Shape == nil {
			swathM2 += math.Abs(triangle(q[0], q[1], q[2]) + triangle(q[0], q[2], q[3]))
		} else {
			swathM2 += in.Swaths[i].Area()
		}
	}
	for _, l := range in.Layers {
		for _, mp := range l {
			if len(mp) > 0 {
				join(mp.Bound())
			}
		}
	}
	return b, swathM2, any
}

// col and row return the block that holds a coordinate.
func (g *grid) col(x float64) int { return min(max(int((x-g.origin[0])/g.side), 0), g.cols-1) }
func (g *grid) row(y float64) int { return min(max(int((y-g.origin[1])/g.side), 0), g.rows-1) }

// x and y return the coordinate of a wall or a line between blocks.
func (g *grid) x(col int) float64 { return g.origin[0] + float64(col)*g.side }
func (g *grid) y(row int) float64 { return g.origin[1] + float64(row)*g.side }

func (g *grid) box(row, col int) box {
	return box{x0: g.x(col), y0: g.y(row), x1: g.x(col + 1), y1: g.y(row + 1)}
}

// bins lists for each block what may touch it, by counting sort.
type bins struct {
	start []int32 // block -> first entry
	items []int32
}

func (b *bins) of(block int) []int32 { return b.items[b.start[block]:b.start[block+1]] }

// binner fills bins in two passes over the same calls of add.
type binner struct {
	bins
	filling bool
}

func newBinner(blocks int) *binner { return &binner{bins: bins{start: make([]int32, blocks+1)}} }

func (b *binner) add(block int, item int32) {
	if !b.filling {
		b.start[block+1]++
		return
	}
	b.items[b.start[block]] = item
	b.start[block]++
}

// fill runs the walk twice: to count, then to place.
func (b *binner) fill(walk func(add func(block int, item int32))) bins {
	walk(b.add)
	for i := 1; i < len(b.start); i++ {
		b.start[i] += b.start[i-1]
	}
	b.items = make([]int32, b.start[len(b.start)-1])
	b.filling = true
	walk(b.add)
	copy(b.start[1:], b.start)
	b.start[0] = 0
	return b.bins
}

// binSwaths lists for each block the swaths whose box touches it, ascending.
func (g *grid) binSwaths(swaths []Swath) bins {
	return newBinner(g.rows * g.cols).fill(func(add func(int, int32)) {
		for i := range swaths {
			b := swaths[i].bound()
			c0, c1 := g.col(b.Min[0]-marginM), g.col(b.Max[0]+marginM)
			for r := g.row(b.Min[1] - marginM); r <= g.row(b.Max[1]+marginM); r++ {
				for c := c0; c <= c1; c++ {
					add(r*g.cols+c, int32(i))
				}
			}
		}
	})
}

// binEdges lists for each block the edges that pass through it.
func (g *grid) binEdges(edges []edge) bins {
	return newBinner(g.rows * g.cols).fill(func(add func(int, int32)) {
		for i := range edges {
			e := &edges[i]
			for r := g.row(e.y0 - marginM); r <= g.row(e.y1+marginM); r++ {
				xa, xb := e.at(g.y(r)), e.at(g.y(r+1))
				c1 := g.col(max(xa, xb) + marginM)
				for c := g.col(min(xa, xb) - marginM); c <= c1; c++ {
					add(r*g.cols+c, int32(i))
				}
			}
		}
	})
}

// binLines lists for each row the edges that pass its lower line.
func (g *grid) binLines(edges []edge) bins {
	return newBinner(g.rows).fill(func(add func(int, int32)) {
		for i := range edges {
			for r := g.row(edges[i].y0 - marginM); r <= g.row(edges[i].y1+marginM); r++ {
				if y := g.y(r); edges[i].y0 <= y && y < edges[i].y1 {
					add(r, int32(i))
				}
			}
		}
	})
}
