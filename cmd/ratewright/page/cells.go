package page

import (
	"math"
	"slices"
)

// Where zones are too many or too detailed for a picture, it shows what is at the
// middle of square cells instead, joined along rows and then down them.

// tooMuch tells whether zones would take more than they may. Patches are what a page
// after the pass is for: there zones have half.
func tooMuch(zones []drawn, d *drawing, patches bool) bool {
	primitives, bytes := d.primitives, d.bytes
	if patches {
		primitives, bytes = primitives/2, bytes/2
	}
	for _, z := range zones {
		s := step{rings: z.rings}
		p, b := s.sizes()
		primitives -= p
		bytes -= b - perStep
	}
	return primitives < 0 || bytes < 0
}

const (
	finestCell = 4.0 // units
	maxRuns    = 1200
	noZone     = -2
)

// cells draws what fills the ground at each cell, in the finest cells that make few enough
// rectangles, and notes how large they are.
func (sc *scene) cells(m Map, zones []drawn, d *drawing, scale float64) {
	steps := make([]int, len(m.Zones))
	for i, z := range m.Zones {
		steps[i] = m.fillOf(z)
	}
	for side := finestCell; ; side *= 1.5 {
		runs, n := joinedCells(sc.view, side, zones, steps, m.fills())
		if n > maxRuns && side < sc.view.w() {
			continue
		}
		for i, rings := range runs {
			if len(rings) > 0 && d.room(rings) {
				st := m.filled(rings, i-1)
				st.stroke, st.width = st.fill, 0.4 // no edges between cells
				sc.steps = append(sc.steps, st)
			}
		}
		sc.cellM = side / scale
		return
	}
}

// joinedCells returns rectangles filled in one way, by way from -1 on.
func joinedCells(view rect, side float64, zones []drawn, steps []int, ways int) (runs [][]line, n int) {
	runs = make([][]line, ways+1)
	cols, rows := int(math.Ceil(view.w()/side)), int(math.Ceil(view.h()/side))
	grid := make([]int, cols*rows)
	for i := range grid {
		grid[i] = noZone
	}
	for _, z := range zones {
		b, _ := around(z.rings)
		first := max(0, int(math.Ceil((b.y0-view.y0)/side-0.5)))
		for r := first; r < rows; r++ {
			y := view.y0 + (float64(r)+0.5)*side
			if y > b.y1 {
				break
			}
			// Between every other crossing of the row with the outline is the zone.
			xs := crossings(z.rings, y)
			for k := 0; k+1 < len(xs); k += 2 {
				c := max(0, int(math.Ceil((xs[k]-view.x0)/side-0.5)))
				for ; c < cols && view.x0+(float64(c)+0.5)*side < xs[k+1]; c++ {
					if grid[r*cols+c] == noZone {
						grid[r*cols+c] = steps[z.of]
					}
				}
			}
		}
	}
	taken := make([]bool, len(grid))
	for r := range rows {
		for c := 0; c < cols; c++ {
			i := r*cols + c
			s := grid[i]
			if s == noZone || taken[i] {
				continue
			}
			w, h := 1, 1
			for c+w < cols && grid[i+w] == s && !taken[i+w] {
				w++
			}
			same := func(row int) bool {
				for k := range w {
					if j := row*cols + c + k; grid[j] != s || taken[j] {
						return false
					}
				}
				return true
			}
			for r+h < rows && same(r+h) {
				h++
			}
			for y := range h {
				for x := range w {
					taken[i+y*cols+x] = true
				}
			}
			x0, y0 := view.x0+float64(c)*side, view.y0+float64(r)*side
			box := rect{tenth(x0), tenth(y0), tenth(x0 + float64(w)*side), tenth(y0 + float64(h)*side)}
			runs[s+1] = append(runs[s+1], box.corners())
			n++
		}
	}
	return runs, n
}

// crossings returns where a row meets an outline, from left to right.
func crossings(rings []line, y float64) (xs []float64) {
	for _, l := range rings {
		p := l[len(l)-1]
		for _, q := range l {
			if (p[1] > y) != (q[1] > y) {
				xs = append(xs, p[0]+(y-p[1])/(q[1]-p[1])*(q[0]-p[0]))
			}
			p = q
		}
	}
	slices.Sort(xs)
	return xs
}

// stepInk names the ink of a step of the ramp, or of ground without a rate.
func stepInk(step int) string {
	if step < 0 {
		return "ground"
	}
	return "r" + digit(step)
}
