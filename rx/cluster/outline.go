package cluster

import (
	"slices"

	"github.com/paulmach/orb"
)

// Outlines are the zones as polygons on the grid: the lower left corner of column 0, row 0
// lies at an origin, and cells are squares with a side, metres. Every patch of cells that
// hang together by their sides is one polygon; neighbours share their vertices, and areas
// are those of the cells. Rings may meet at a corner and no ring meets itself, as
// ISO 19125 (simple features) wants it.
func (r *Result) Outlines(origin orb.Point, side float64) []orb.MultiPolygon {
	out := make([]orb.MultiPolygon, r.Zones)
	at := r.places()
	place := func(c corner) orb.Point {
		return orb.Point{origin[0] + float64(c[0])*side, origin[1] + float64(c[1])*side}
	}
	for _, patch := range r.patches(at) {
		var polygon orb.Polygon
		for _, loop := range r.loops(at, patch) {
			ring := make(orb.Ring, 0, len(loop)+1)
			for _, c := range loop {
				ring = append(ring, place(c))
			}
			ring = append(ring, ring[0])
			if area(ring) > 0 { // the only one around cells; the others are holes
				polygon = slices.Insert(polygon, 0, ring)
			} else {
				polygon = append(polygon, ring)
			}
		}
		z := r.Labels[patch[0]]
		out[z] = append(out[z], polygon)
	}
	return out
}

type corner [2]int

// loops link the sides of a patch's cells beyond which its zone ends, each with the patch
// on its left.
func (r *Result) loops(at map[[2]int]int, patch []int) [][]corner {
	next := map[corner][]corner{}
	var starts []corner
	for _, i := range patch {
		c, w := r.Cells[i].Col, r.Cells[i].Row
		for _, s := range []struct {
			beyond   [2]int
			from, to corner
		}{
			{[2]int{c, w - 1}, corner{c, w}, corner{c + 1, w}},
			{[2]int{c + 1, w}, corner{c + 1, w}, corner{c + 1, w + 1}},
			{[2]int{c, w + 1}, corner{c + 1, w + 1}, corner{c, w + 1}},
			{[2]int{c - 1, w}, corner{c, w + 1}, corner{c, w}},
		} {
			if j, ok := at[s.beyond]; ok && r.Labels[j] == r.Labels[i] {
				continue
			}
			next[s.from] = append(next[s.from], s.to)
			starts = append(starts, s.from)
		}
	}
	var loops [][]corner
	for _, start := range starts {
		for len(next[start]) > 0 {
			loops = append(loops, walk(next, start)...)
		}
	}
	return loops
}

// walk follows sides from a corner back to it, turning left where two ways part. Where it
// comes to a corner again, what lies between is a loop of its own.
func walk(next map[corner][]corner, start corner) (loops [][]corner) {
	path := []corner{start}
	on := map[corner]int{start: 0} // place in the path
	for at := start; ; {
		ways := next[at]
		best := 0
		if len(path) > 1 {
			from := path[len(path)-2]
			for i := range ways {
				if turn(from, at, ways[i]) > turn(from, at, ways[best]) {
					best = i
				}
			}
		}
		to := ways[best]
		next[at] = slices.Delete(ways, best, best+1)
		at = to
		k, again := on[at]
		if !again {
			on[at] = len(path)
			path = append(path, at)
			continue
		}
		for _, c := range path[k+1:] {
			delete(on, c)
		}
		loops = append(loops, slices.Clone(path[k:]))
		path = path[:k+1]
		if k == 0 {
			return loops
		}
	}
}

// turn is above zero to the left, below zero to the right.
func turn(a, b, c corner) int {
	return (b[0]-a[0])*(c[1]-b[1]) - (b[1]-a[1])*(c[0]-b[0])
}

func area(r orb.Ring) float64 {
	a := 0.0
	for i := 1; i < len(r); i++ {
		a += (r[i-1][0]-r[0][0])*(r[i][1]-r[0][1]) - (r[i][0]-r[0][0])*(r[i-1][1]-r[0][1])
	}
	return a / 2
}
