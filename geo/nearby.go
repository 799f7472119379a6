package geo

import (
	"math"

	"github.com/paulmach/orb"

	"ratewright/geo/crs"
)

// nearDeg is the range around a plane's origin, in degrees either way, in which
// the projection is taken from polynomials.
const nearDeg = 0.05

// nearM is the range around the origin, in metres either way, in which the way
// back is taken from polynomials.
const nearM = 5000

// nearby is the projection near the origin, and the way back: polynomials in the
// longitude u and the latitude v from the origin, in units of nearDeg (or in
// metres, in units of nearM), fitted to the exact ones when the plane is made. x
// is odd and y even in u. The terms left out are those above the fifth order, each
// some 6.4e6 m times the sixth power of 0.05 degrees in radians, 3e-12 m, times a
// factor that grows towards the poles. They agree with the exact projection to
// 5e-9 m (measured over the range at latitudes from 60 S to 72 N) and take a tenth
// of the time.
type nearby struct {
	ok     bool
	x, lon [len(oddPowers)]float64
	y, lat [len(evenPowers)]float64
}

// The powers (of u, of v) of the terms of what is odd and what is even in u.
var (
	oddPowers  = [...][2]int{{1, 0}, {1, 1}, {1, 2}, {1, 3}, {1, 4}, {3, 0}, {3, 1}, {3, 2}, {5, 0}}
	evenPowers = [...][2]int{{0, 1}, {0, 2}, {0, 3}, {0, 4}, {0, 5}, {2, 0}, {2, 1}, {2, 2}, {2, 3}, {4, 0}, {4, 1}}
)

// fitNearby fits the polynomials by least squares at Chebyshev nodes.
func fitNearby(tm *crs.TransverseMercator, origin LonLat) nearby {
	var n nearby
	there := fit(n.x[:], n.y[:], func(u, v float64) (float64, float64) {
		return tm.Forward(origin[0]+u*nearDeg, origin[1]+v*nearDeg)
	})
	back := fit(n.lon[:], n.lat[:], func(u, v float64) (float64, float64) {
		lon, lat := tm.Inverse(u*nearM, v*nearM)
		return math.Remainder(lon-origin[0], 360), lat - origin[1]
	})
	n.ok = there && back
	return n
}

// fit finds the coefficients of one pair of functions over the square from -1 to 1.
func fit(odd, even []float64, f func(u, v float64) (float64, float64)) bool {
	const nodes = 8
	var at [nodes]float64
	for i := range at {
		at[i] = math.Cos(math.Pi * (float64(i) + 0.5) / nodes)
	}
	p, q := newNormal(oddPowers[:]), newNormal(evenPowers[:])
	for _, u := range at {
		for _, v := range at {
			x, y := f(u, v)
			p.add(u, v, x)
			q.add(u, v, y)
		}
	}
	return p.solve(odd) && q.solve(even)
}

// project returns metres; ok is false beyond the range.
func (n *nearby) project(dLon, dLat float64) (orb.Point, bool) {
	u, v := dLon/nearDeg, dLat/nearDeg
	if !n.ok || !(math.Abs(u) <= 1 && math.Abs(v) <= 1) {
		return orb.Point{}, false
	}
	return orb.Point{odd(&n.x, u, v), even(&n.y, u, v)}, true
}

// unproject returns degrees from the origin; ok is false beyond the range.
func (n *nearby) unproject(m orb.Point) (dLon, dLat float64, ok bool) {
	u, v := m[0]/nearM, m[1]/nearM
	if !n.ok || !(math.Abs(u) <= 1 && math.Abs(v) <= 1) {
		return 0, 0, false
	}
	return odd(&n.lon, u, v), even(&n.lat, u, v), true
}

func odd(c *[len(oddPowers)]float64, u, v float64) float64 {
	w := u * u
	return u * (c[0] + v*(c[1]+v*(c[2]+v*(c[3]+v*c[4]))) + w*(c[5]+v*(c[6]+v*c[7])+w*c[8]))
}

func even(c *[len(evenPowers)]float64, u, v float64) float64 {
	w := u * u
	return v*(c[0]+v*(c[1]+v*(c[2]+v*(c[3]+v*c[4])))) + w*(c[5]+v*(c[6]+v*(c[7]+v*c[8]))+w*(c[9]+v*c[10]))
}

// normal are the normal equations of a least-squares fit.
type normal struct {
	powers [][2]int
	a      [][]float64 // the last column is the right-hand side
	row    []float64
}

func newNormal(powers [][2]int) *normal {
	n := &normal{powers: powers, row: make([]float64, len(powers)), a: make([][]float64, len(powers))}
	for i := range n.a {
		n.a[i] = make([]float64, len(powers)+1)
	}
	return n
}

// add adds the value z at (u, v).
func (n *normal) add(u, v, z float64) {
	for i, p := range n.powers {
		n.row[i] = math.Pow(u, float64(p[0])) * math.Pow(v, float64(p[1]))
	}
	for i, r := range n.row {
		for j, s := range n.row {
			n.a[i][j] += r * s
		}
		n.a[i][len(n.row)] += r * z
	}
}

// solve eliminates with partial pivoting; false where the equations have no
// single finite answer.
func (n *normal) solve(out []float64) bool {
	m := len(n.a)
	for i := range m {
		best := i
		for k := i + 1; k < m; k++ {
			if math.Abs(n.a[k][i]) > math.Abs(n.a[best][i]) {
				best = k
			}
		}
		n.a[i], n.a[best] = n.a[best], n.a[i]
		if !(math.Abs(n.a[i][i]) > 1e-9) {
			return false
		}
		for k := i + 1; k < m; k++ {
			f := n.a[k][i] / n.a[i][i]
			for j := i; j <= m; j++ {
				n.a[k][j] -= f * n.a[i][j]
			}
		}
	}
	for i := m - 1; i >= 0; i-- {
		s := n.a[i][m]
		for j := i + 1; j < m; j++ {
			s -= n.a[i][j] * out[j]
		}
		out[i] = s / n.a[i][i]
		if math.IsNaN(out[i]) || math.IsInf(out[i], 0) {
			return false
		}
	}
	return true
}
