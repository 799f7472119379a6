package cover

import (
	"math"

	"ratewright/geo/parallel"

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

// newGrid covers everything in the input with blocks about two and a half times as wide as the
// root of the ground of a mean swath, so that a block sees few swaths and a swath few blocks.
// It also finds the plain swaths.
func (sw *sweep) newGrid() (grid, bool) {
	b, area, any := sw.extent()
	if !any {
		return grid{}, false
	}
	side := maxSideM
	if n := len(sw.in.Swaths); n > 0 {
		side = 2.5 * math.Sqrt(area/float64(n))
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

// part is what one worker found of the extent.
type part struct {
	bound  orb.Bound
	areaM2 float64
	any    bool
}

func (p *part) join(o orb.Bound) {
	if !p.any {
		p.bound, p.any = o, true
		return
	}
	b := &p.bound
	b.Min = orb.Point{min(b.Min[0], o.Min[0]), min(b.Min[1], o.Min[1])}
	b.Max = orb.Point{max(b.Max[0], o.Max[0]), max(b.Max[1], o.Max[1])}
}

// extent returns the bounds of the input and about the ground that its swaths cover,
// and marks the plain swaths.
func (sw *sweep) extent() (orb.Bound, float64, bool) {
	swaths := sw.in.Swaths
	parts := make([]part, chunks)
	parallel.Each(chunks, sw.options.Workers, func(c int) {
		p := &parts[c]
		for i := len(swaths) * c / chunks; i < len(swaths)*(c+1)/chunks; i++ {
			s := &swaths[i]
			p.join(sw.in.bound(s))
			ground, plain := sw.in.measure(s)
			p.areaM2 += ground
			sw.plain[i] = plain
		}
	})
	var all part
	for _, p := range parts {
		if p.any {
			all.join(p.bound)
			all.areaM2 += p.areaM2
		}
	}
	for _, l := range sw.in.Layers {
		for _, mp := range l {
			if len(mp) > 0 {
				all.join(mp.Bound())
			}
		}
	}
	return all.bound, all.areaM2, all.any
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

// chunks is the number of parts that swaths are binned in. It does not depend on
// the number of workers, so neither does anything that is added up by part.
const chunks = 4

// fillBins sorts items into bins. walk adds the items of one chunk; it is called
// twice for each, to count and to place. Within a bin the items of a lower chunk
// come first.
func fillBins(blocks, workers int, walk func(chunk int, add func(block int, item int32))) bins {
	var at [chunks][]int32 // number of the chunk's items in each block, then where they go
	parallel.Each(chunks, workers, func(c int) {
		at[c] = make([]int32, blocks)
		walk(c, func(block int, _ int32) { at[c][block]++ })
	})
	b := bins{start: make([]int32, blocks+1)}
	var n int32
	for block := range blocks {
		b.start[block] = n
		for c := range chunks {
			at[c][block], n = n, n+at[c][block]
		}
	}
	b.start[blocks] = n
	b.items = make([]int32, n)
	parallel.Each(chunks, workers, func(c int) {
		walk(c, func(block int, item int32) {
			b.items[at[c][block]] = item
			at[c][block]++
		})
	})
	return b
}

// blockRange is the blocks that a box touches: rows and columns of them from the
// first on.
type blockRange struct{ first, rows, cols int32 }

func (g *grid) touched(b orb.Bound) blockRange {
	r, c := g.row(b.Min[1]-marginM), g.col(b.Min[0]-marginM)
	return blockRange{int32(r*g.cols + c), int32(g.row(b.Max[1]+marginM) - r + 1), int32(g.col(b.Max[0]+marginM) - c + 1)}
}

// binSwaths lists for each block the swaths whose box touches it, ascending.
func (g *grid) binSwaths(in *Input, workers int) bins {
	swaths := in.Swaths
	touched := make([]blockRange, len(swaths)) // by each, as the first walk finds it
	return fillBins(g.rows*g.cols, workers, func(chunk int, add func(int, int32)) {
		for i := len(swaths) * chunk / chunks; i < len(swaths)*(chunk+1)/chunks; i++ {
			if touched[i].rows == 0 {
				touched[i] = g.touched(in.bound(&swaths[i]))
			}
			t := touched[i]
			for r := range t.rows {
				for c := range t.cols {
					add(int(t.first+c)+int(r)*g.cols, int32(i))
				}
			}
		}
	})
}

// binEdges lists for each block the edges that pass through it.
func (g *grid) binEdges(edges []edge) bins {
	return fillBins(g.rows*g.cols, 1, func(chunk int, add func(int, int32)) {
		for i := len(edges) * chunk / chunks; i < len(edges)*(chunk+1)/chunks; i++ {
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
	return fillBins(g.rows, 1, func(chunk int, add func(int, int32)) {
		for i := len(edges) * chunk / chunks; i < len(edges)*(chunk+1)/chunks; i++ {
			e := &edges[i]
			for r := g.row(e.y0 - marginM); r <= g.row(e.y1+marginM); r++ {
				if y := g.y(r); e.y0 <= y && y < e.y1 {
					add(r, int32(i))
				}
			}
		}
	})
}
