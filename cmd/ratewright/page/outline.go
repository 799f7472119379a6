package page

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"ratewright/geo"
	"ratewright/geo/parallel"
)

// frame puts metres of the plane into the picture.
type frame struct {
	x0, y1 float64 // metres at the picture's left and top of the map
	left   float64 // units
	top    float64
	scale  float64 // units a metre
	thin   float64 // tolerance of outlines, units; the finest, where there are several
}

func (f frame) point(p orb.Point) orb.Point {
	return orb.Point{tenth(f.left + (p[0]-f.x0)*f.scale), tenth(f.top + (f.y1-p[1])*f.scale)}
}

// outline is a shape in the picture: of each polygon its rings, which can be thinned.
type outline [][]ranked

func (f frame) outline(mp orb.MultiPolygon) outline {
	o := make(outline, len(mp))
	for i, polygon := range mp {
		o[i] = make([]ranked, len(polygon))
		for k, ring := range polygon {
			o[i][k] = f.ring(ring)
		}
	}
	return o
}

func (f frame) outlines(n int, of func(i int) orb.MultiPolygon) []outline {
	all := make([]outline, n)
	parallel.Each(n, 0, func(i int) { all[i] = f.outline(of(i)) })
	return all
}

func (f frame) ring(ring orb.Ring) ranked {
	l := make(line, 0, len(ring))
	for _, v := range ring {
		if p := f.point(v); finite(p) && (len(l) == 0 || p != l[len(l)-1]) {
			l = append(l, p)
		}
	}
	if n := len(l); n > 1 && l[0] == l[n-1] {
		l = l[:n-1]
	}
	return rank(l, f.thin)
}

// polygons returns each polygon as rings in the picture, thinned; shells turn one
// way and holes the other, so that adding up windings leaves holes open.
func (f frame) polygons(mp orb.MultiPolygon) [][]line { return f.outline(mp).thinned(f.thin) }

func (o outline) thinned(tolerance float64) [][]line {
	var all [][]line
	for _, polygon := range o {
		var rings []line
		for i, ring := range polygon {
			l := ring.thinned(tolerance)
			a := signedArea(l)
			if i > 0 && (len(l) < 3 || math.Abs(a) < 0.3) {
				continue // a hole nobody would see
			}
			if len(l) == 0 {
				break
			}
			if (a < 0) != (i > 0) {
				slices.Reverse(l)
			}
			rings = append(rings, l)
		}
		if len(rings) > 0 {
			all = append(all, rings)
		}
	}
	return all
}

func finite(p orb.Point) bool {
	return !math.IsNaN(p[0]-p[0]) && !math.IsNaN(p[1]-p[1])
}

// signedArea returns the area of a ring, units squared: positive where the ring turns
// left in axes that point east and north.
func signedArea(l line) float64 {
	a := 0.0
	for i, p := range l {
		q := l[(i+1)%len(l)]
		a += p[0]*q[1] - q[0]*p[1]
	}
	return a / 2
}

// holds tells whether a box lies in a polygon whole.
func holds(rings []line, b rect) bool {
	if geo.Inside(orb.Point{(b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2}, rings) < 0 {
		return false
	}
	for _, l := range rings {
		p := l[len(l)-1]
		for _, q := range l {
			if crosses(p, q, b) {
				return false
			}
			p = q
		}
	}
	return true
}

// crosses tells whether a segment meets a box (Liang and Barsky 1984).
func crosses(p, q orb.Point, b rect) bool {
	lo, hi := 0.0, 1.0
	for _, c := range [4][2]float64{
		{p[0] - q[0], p[0] - b.x0},
		{q[0] - p[0], b.x1 - p[0]},
		{p[1] - q[1], p[1] - b.y0},
		{q[1] - p[1], b.y1 - p[1]},
	} {
		switch t := c[1] / c[0]; {
		case c[0] == 0 && c[1] < 0:
			return false
		case c[0] < 0:
			lo = max(lo, t)
		case c[0] > 0:
			hi = min(hi, t)
		}
	}
	return lo <= hi
}
