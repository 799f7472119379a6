package page

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"ratewright/geo"
)

// frame puts metres of the plane into the picture.
type frame struct {
	x0, y1 float64 // metres at the picture's left and top of the map
	left   float64 // units
	top    float64
	scale  float64 // units a metre
	thin   float64 // tolerance of outlines, units
}

func (f frame) point(p orb.Point) orb.Point {
	return orb.Point{tenth(f.left + (p[0]-f.x0)*f.scale), tenth(f.top + (f.y1-p[1])*f.scale)}
}

// polygons returns each polygon as rings in the picture, thinned; shells turn one
// way and holes the other, so that adding up windings leaves holes open.
func (f frame) polygons(mp orb.MultiPolygon) [][]line {
	var all [][]line
	for _, polygon := range mp {
		var rings []line
		for i, ring := range polygon {
			l := f.ring(ring)
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

func (f frame) ring(ring orb.Ring) line {
	l := make(line, 0, len(ring))
	for _, v := range ring {
		if p := f.point(v); finite(p) && (len(l) == 0 || p != l[len(l)-1]) {
			l = append(l, p)
		}
	}
	if n := len(l); n > 1 && l[0] == l[n-1] {
		l = l[:n-1]
	}
	return thinned(l, f.thin)
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

// thinned leaves vertices of a ring out that lie within a tolerance of the line
// without them (Douglas and Peucker 1973). At least a triangle stays of a ring that
// had one.
func thinned(l line, tolerance float64) line {
	if len(l) <= 4 {
		return l
	}
	// The ring is cut in two at its first vertex and the one farthest from it.
	far, best := 0, -1.0
	for i, p := range l {
		if d := distance2(p, l[0]); d > best {
			far, best = i, d
		}
	}
	keep := make([]bool, len(l)+1)
	closed := append(append(make(line, 0, len(l)+1), l...), l[0])
	keep[0], keep[far], keep[len(l)] = true, true, true
	stack := [][2]int{{0, far}, {far, len(l)}}
	for len(stack) > 0 {
		a, b := stack[len(stack)-1][0], stack[len(stack)-1][1]
		stack = stack[:len(stack)-1]
		at := farthest(closed[a:b+1], tolerance) + a
		if at > a {
			keep[at] = true
			stack = append(stack, [2]int{a, at}, [2]int{at, b})
		}
	}
	out := make(line, 0, 16)
	for i, p := range l {
		if keep[i] {
			out = append(out, p)
		}
	}
	if len(out) < 3 { // a sliver thinner than the tolerance keeps its length
		mid := far / 2
		if mid == 0 {
			mid = (far + len(l)) / 2
		}
		out = append(out, l[mid])
	}
	return out
}

// evenAbove is the number of vertices above which a stretch is parted near its
// middle where that serves as well.
const evenAbove = 1000

// farthest returns the number of the vertex that lies farthest from the line between
// the first and the last, 0 if none is off by more than a tolerance. Of a long
// stretch it is the middlemost of those about as far off: the teeth of a
// comb are all as long, and to part it at the first of them, and then again, takes
// time with their square.
func farthest(l line, tolerance float64) int {
	last := len(l) - 1
	away := awayFrom(l[0], l[last])
	at, worst := 0, tolerance*tolerance
	for i := 1; i < last; i++ {
		if d := away.distance2(l[i]); d > worst {
			at, worst = i, d
		}
	}
	if at == 0 || last <= evenAbove {
		return at
	}
	enough := max(0.98*worst, tolerance*tolerance)
	for off := 0; off < last/2; off++ {
		for _, i := range [2]int{last/2 - off, last/2 + off} {
			if i > 0 && i < last && away.distance2(l[i]) > enough {
				return i
			}
		}
	}
	return at
}

func distance2(p, q orb.Point) float64 {
	dx, dy := p[0]-q[0], p[1]-q[1]
	return dx*dx + dy*dy
}

// segment is a stretch from which many places are measured.
type segment struct {
	a          orb.Point
	dx, dy     float64
	perLength2 float64 // 1 over its length squared; 0 where it has none
}

func awayFrom(a, b orb.Point) segment {
	s := segment{a: a, dx: b[0] - a[0], dy: b[1] - a[1]}
	if l := s.dx*s.dx + s.dy*s.dy; l > 0 {
		s.perLength2 = 1 / l
	}
	return s
}

// distance2 is the square of the distance of p from the segment.
func (s *segment) distance2(p orb.Point) float64 {
	x, y := p[0]-s.a[0], p[1]-s.a[1]
	t := max(0, min(1, (x*s.dx+y*s.dy)*s.perLength2))
	x, y = x-t*s.dx, y-t*s.dy
	return x*x + y*y
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
