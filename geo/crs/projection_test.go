package crs

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Source: J.P. Snyder, USGS Professional Paper 1395 (1987), pp. 296-297,
// numerical example for the ellipsoidal Lambert conformal conic on Clarke 1866:
// x = 1,894,410.9 m, y = 1,564,649.5 m, given to 0.1 m.
func TestLambertConicAgreesWithSnyder(t *testing.T) {
	clarke := Ellipsoid{A: 6378206.4, InvF: 294.978698213898}
	l := NewLambertConic(clarke, -96, 23, 33, 45, 1, 0, 0)
	x, y := l.Forward(-75, 35)
	require.InDelta(t, 1894410.9, x, 0.06)
	require.InDelta(t, 1564649.5, y, 0.06)
}

// Source: J.P. Snyder, USGS Professional Paper 1395 (1987), pp. 269-270,
// numerical example for the ellipsoidal transverse Mercator on Clarke 1866:
// x = 127,106.5 m, y = 4,484,124.4 m, given to 0.1 m.
func TestTransverseMercatorAgreesWithSnyder(t *testing.T) {
	clarke := Ellipsoid{A: 6378206.4, InvF: 294.978698213898}
	m := NewTransverseMercator(clarke, -75, 0, 0.9996, 0, 0)
	x, y := m.Forward(-73.5, 40.5)
	require.InDelta(t, 127106.5, x, 0.06)
	require.InDelta(t, 4484124.4, y, 0.06)
}

// Along the central meridian the projection is the length of the meridian arc,
// here summed independently from the radius of curvature (Snyder 1987, eq 4-18).
func TestTransverseMercatorMeasuresTheMeridian(t *testing.T) {
	m := NewTransverseMercator(wgs84Ellipsoid, 10, 0, 1, 0, 0)
	e2 := wgs84Ellipsoid.eccentricity() * wgs84Ellipsoid.eccentricity()
	radius := func(lat float64) float64 {
		w := 1 - e2*math.Sin(lat)*math.Sin(lat)
		return wgs84Ellipsoid.A * (1 - e2) / (w * math.Sqrt(w))
	}
	for _, latDeg := range []float64{1, 42, 90} {
		const n = 2000 // Simpson's rule
		h := latDeg * degree / n
		sum := radius(0) + radius(latDeg*degree)
		for i := 1; i < n; i++ {
			sum += radius(float64(i)*h) * float64(2+2*(i%2))
		}
		x, y := m.Forward(10, latDeg)
		require.InDelta(t, 0, x, 1e-8)
		require.InDelta(t, sum*h/3, y, 1e-7)
	}
}

func TestProjectionsReturn(t *testing.T) {
	tm := NewTransverseMercator(wgs84Ellipsoid, -93, 42, 0.9996, 500e3, -1e5)
	lc := NewLambertConic(grs80, -93, 41.5, 43.3, 42, 1, 1.5e6, 1e6)
	south := NewLambertConic(grs80, 140, -30, -28, -36, 1, 0, 0)
	one := NewLambertConic(grs80, 10, 50, 50, 50, 0.9999, 0, 0)
	web := webMercator{radiusM: wgs84Ellipsoid.A}
	rapid.Check(t, func(t *rapid.T) {
		dLon, dLat := rapid.Float64Range(-20, 20).Draw(t, "dlon"), rapid.Float64Range(-20, 20).Draw(t, "dlat")
		for _, c := range []struct {
			p        projection
			lon, lat float64
		}{{&tm, -93, 42}, {&lc, -93, 42}, {&south, 140, -32}, {&one, 10, 50}, {&web, -93, 42}} {
			lon, lat := turn(c.lon+dLon), c.lat+dLat
			x, y := c.p.Forward(lon, lat)
			gotLon, gotLat := c.p.Inverse(x, y)
			require.InDelta(t, lat, gotLat, 1e-12)
			require.InDelta(t, 0, turn(lon-gotLon), 1e-12)
		}
	})
}

// A conformal map turns a small step north into one as long as a small step
// east, at a right angle.
func TestProjectionsAreConformal(t *testing.T) {
	tm := NewTransverseMercator(wgs84Ellipsoid, -93, 0, 1, 0, 0)
	lc := NewLambertConic(wgs84Ellipsoid, -93, 41.5, 43.3, 42, 1, 0, 0)
	for _, p := range []projection{&tm, &lc} {
		for _, at := range [][2]float64{{-93, 42}, {-90, 30}, {-97, 60}, {-88, 10}} {
			const h = 1e-4
			e2 := wgs84Ellipsoid.eccentricity() * wgs84Ellipsoid.eccentricity()
			s, c := math.Sincos(at[1] * degree)
			w := 1 - e2*s*s
			meridian, parallel := (1-e2)/(w*math.Sqrt(w)), c/math.Sqrt(w) // radii over a
			x0, y0 := p.Forward(at[0], at[1]-h)
			x1, y1 := p.Forward(at[0], at[1]+h)
			nx, ny := (x1-x0)/meridian, (y1-y0)/meridian
			x0, y0 = p.Forward(at[0]-h, at[1])
			x1, y1 = p.Forward(at[0]+h, at[1])
			ex, ey := (x1-x0)/parallel, (y1-y0)/parallel
			size := math.Hypot(nx, ny)
			require.InDelta(t, 0, (nx*ex+ny*ey)/size/size, 1e-8)
			require.InDelta(t, 1, math.Hypot(ex, ey)/size, 1e-8)
		}
	}
}

func BenchmarkTransverseMercatorForward(b *testing.B) {
	m := NewTransverseMercator(wgs84Ellipsoid, -93.6, 42, 1, 0, 0)
	s := 0.0
	for i := range b.N {
		x, y := m.Forward(-93.6+float64(i&1023)*1e-5, 42+float64(i>>10&1023)*1e-5)
		s += x + y
	}
	sink = s
}

func BenchmarkTransverseMercatorInverse(b *testing.B) {
	m := NewTransverseMercator(wgs84Ellipsoid, -93.6, 42, 1, 0, 0)
	s := 0.0
	for i := range b.N {
		x, y := m.Inverse(float64(i&1023), float64(i>>10&1023))
		s += x + y
	}
	sink = s
}

var sink float64
