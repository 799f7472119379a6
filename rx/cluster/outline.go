package cluster

import (
	"slices"

	"github.com/paulmach/orb"
)

// Outlines are the zones as polygons on the grid: the lower left corner of column 0, row 0
// lies at an origin, and cells are squares with a side, metres. Neighbours share their
// vertices, and areas are those of the cells. Where two cells of a zone touch at a corner
// alone, two rings meet there.
func (r *Result) Outlines(origin orb.Point, side float64) []orb.MultiPolygon {
	out := make([]orb.MultiPolygon, r.Zones)
	for z := range out {
		out[z] = r.outline(z, origin, side)
	}
	return out
}

type corner [2]int

// outline links the sides of cells that have no cell of the zone beyond them, each with the
// zone on its left.
func (r *Result) outline(zone int, origin orb.Point, side float64) orb.MultiPolygon {
	in := map[[2]int]bool{}
	for i, c := range r.Cells {
		if r.Labels[i] == zone {
			in[[2]int{c.Col, c.Row}] = true
		}
	}
	next := map[corner][]corner{}
	var starts []corner
	add := func(a, b corner) {
		next[a] = append(next[a], b)
		starts = append(starts, a)
	}
	for i, cell := range r.Cells {
		if r.Labels[i] != zone {
			continue
		}
		c, w := cell.Col, cell.Row
		if !in[[2]int{c, w - 1}] {
			add(corner{c, w}, corner{c + 1, w})
		}
		if !in[[2]int{c + 1, w}] {
			add(corner{c + 1, w}, corner{c + 1, w + 1})
		}
		if !in[[2]int{c, w + 1}] {
			add(corner{c + 1, w + 1}, corner{c, w + 1})
		}
		if !in[[2]int{c - 1, w}] {
			add(corner{c, w + 1}, corner{c, w})
		}
	}
	var shells, holes []orb.Ring
	for _, start := range starts {
		for len(next[start]) > 0 {
			ring := walk(next, start, origin, side)
			if area(ring) > 0 {
				shells = append(shells, ring)
			} else {
				holes = append(holes, ring)
			}
		}
	}
	return nested(shells, holes, side)
}

// walk follows sides from a corner back to it, turning left where two ways part, so that
// rings which touch at a corner stay apart.
func walk(next map[corner][]corner, start corner, origin orb.Point, side float64) orb.Ring {
	place := func(c corner) orb.Point {
		return orb.Point{origin[0] + float64(c[0])*side, origin[1] + float64(c[1])*side}
	}
	ring := orb.Ring{place(start)}
	from, at := corner{}, start
	for first := true; first || at != start; first = false {
		ways := next[at]
		best := 0
		if !first {
			for i := range ways {
				if turn(from, at, ways[i]) > turn(from, at, ways[best]) {
					best = i
				}
			}
		}
		to := ways[best]
		next[at] = slices.Delete(ways, best, best+1)
		from, at = at, to
		ring = append(ring, place(at))
	}
	return ring
}

// turn is above zero to the left, below zero to the right.
func turn(a, b, c corner) int {
	return (b[0]-a[0])*(c[1]-b[1]) - (b[1]-a[1])*(c[0]-b[0])
}

func area(r orb.Ring) float64 {
	a := 0.0
	for i := 1; i < len(r); i++ {
		a += r[i-1][0]*r[i][1] - r[i][0]*r[i-1][1]
	}
	return a / 2
}

// nested gives each hole to the smallest shell around it.
func nested(shells, holes []orb.Ring, side float64) orb.MultiPolygon {
	out := make(orb.MultiPolygon, len(shells))
	for i, s := range shells {
		out[i] = orb.Polygon{s}
	}
	for _, h := range holes {
		// A place just within the hole's edge: right of its first side, for holes run
		// clockwise around what is not of the zone.
		m := orb.Point{(h[0][0] + h[1][0]) / 2, (h[0][1] + h[1][1]) / 2}
		dx, dy := h[1][0]-h[0][0], h[1][1]-h[0][1]
		p := orb.Point{m[0] + dy/2, m[1] - dx/2}
		best := -1
		for i, s := range shells {
			if inside(s, p) && (best < 0 || area(s) < area(shells[best])) {
				best = i
			}
		}
		if best >= 0 {
			out[best] = append(out[best], h)
		}
	}
	return out
}

func inside(r orb.Ring, p orb.Point) bool {
	in := false
	for i := 1; i < len(r); i++ {
		a, b := r[i-1], r[i]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < (b[0]-a[0])*(p[1]-a[1])/(b[1]-a[1])+a[0] {
			in = !in
		}
	}
	return in
}
