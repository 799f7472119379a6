package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// ringAreaM2 is the signed area of a closed ring, counter-clockwise positive,
// taken about its first point so that a far field loses no digits.
func ringAreaM2(r orb.Ring) float64 {
	if len(r) < 4 {
		return 0
	}
	x0, y0 := r[0][0], r[0][1]
	s := 0.0
	for i := 1; i+1 < len(r); i++ {
		s += (r[i][0]-x0)*(r[i+1][1]-y0) - (r[i+1][0]-x0)*(r[i][1]-y0)
	}
	return s / 2
}

func ringLengthM(r orb.Ring) float64 {
	s := 0.0
	for i := 1; i < len(r); i++ {
		s += math.Hypot(r[i][0]-r[i-1][0], r[i][1]-r[i-1][1])
	}
	return s
}

// wound returns the ring turned counter-clockwise, or clockwise if ccw is false.
func wound(r orb.Ring, ccw bool) orb.Ring {
	if (ringAreaM2(r) > 0) == ccw {
		return r
	}
	out := make(orb.Ring, len(r))
	for i, q := range r {
		out[len(r)-1-i] = q
	}
	return out
}
