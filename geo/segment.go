package geo

import (
	"cmp"
	"math"

	"github.com/paulmach/orb"
)

// segment is an edge in metres.
type segment struct{ a, b orb.Point }

func (s segment) bound() orb.Bound {
	return orb.Bound{
		Min: orb.Point{min(s.a[0], s.b[0]), min(s.a[1], s.b[1])},
		Max: orb.Point{max(s.a[0], s.b[0]), max(s.a[1], s.b[1])},
	}
}

// rightOf reports whether a ray from q to the east meets the segment.
func (s segment) rightOf(q orb.Point) bool {
	if (s.a[1] > q[1]) == (s.b[1] > q[1]) {
		return false
	}
	return q[0] < s.a[0]+(q[1]-s.a[1])/(s.b[1]-s.a[1])*(s.b[0]-s.a[0])
}

// distance is the distance of q from the segment.
func (s segment) distance(q orb.Point) float64 {
	dx, dy := s.b[0]-s.a[0], s.b[1]-s.a[1]
	t := 0.0
	if l2 := dx*dx + dy*dy; l2 > 0 {
		t = math.Min(math.Max(((q[0]-s.a[0])*dx+(q[1]-s.a[1])*dy)/l2, 0), 1)
	}
	return math.Hypot(s.a[0]+t*dx-q[0], s.a[1]+t*dy-q[1])
}

// turnOf is twice the area of the triangle from the segment to q, positive where q
// lies left of it.
func turnOf(s segment, q orb.Point) float64 {
	return (s.b[0]-s.a[0])*(q[1]-s.a[1]) - (s.b[1]-s.a[1])*(q[0]-s.a[0])
}

func (s segment) middle() orb.Point {
	return orb.Point{(s.a[0] + s.b[0]) / 2, (s.a[1] + s.b[1]) / 2}
}

// forth is the segment from the end that comes first to the other.
func (s segment) forth() segment {
	if comparePoints(s.a, s.b) > 0 {
		return segment{s.b, s.a}
	}
	return s
}

func comparePoints(p, q orb.Point) int {
	return cmp.Or(cmp.Compare(p[0], q[0]), cmp.Compare(p[1], q[1]))
}

// at is the place at a share of the way from a to b.
func (s segment) at(share float64) orb.Point {
	return orb.Point{s.a[0] + share*(s.b[0]-s.a[0]), s.a[1] + share*(s.b[1]-s.a[1])}
}

func (s segment) length() float64 { return math.Hypot(s.b[0]-s.a[0], s.b[1]-s.a[1]) }
