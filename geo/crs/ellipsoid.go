package crs

import "math"

// Ellipsoid is an ellipsoid of revolution.
type Ellipsoid struct {
	// A is the equatorial radius in metres.
	A float64
	// InvF is the inverse flattening; 0 stands for a sphere.
	InvF float64
}

// Source: EPSG Geodetic Parameter Dataset, ellipsoids 7030 and 7019.
var (
	wgs84Ellipsoid = Ellipsoid{A: 6378137, InvF: 298.257223563}
	grs80          = Ellipsoid{A: 6378137, InvF: 298.257222101}
)

// WGS84Ellipsoid returns the ellipsoid of WGS 84 (EPSG 7030).
func WGS84Ellipsoid() Ellipsoid { return wgs84Ellipsoid }

// flattening is f = (a-b)/a.
func (e Ellipsoid) flattening() float64 {
	if e.InvF == 0 {
		return 0
	}
	return 1 / e.InvF
}

// eccentricity is the first eccentricity.
func (e Ellipsoid) eccentricity() float64 {
	f := e.flattening()
	return math.Sqrt(f * (2 - f))
}

// usable reports whether the numbers describe a planet rather than a typing
// error: 6200 to 6500 km, flattening below 1/100.
func (e Ellipsoid) usable() bool {
	return e.A > 6.2e6 && e.A < 6.5e6 && (e.InvF == 0 || e.InvF > 100 && e.InvF < 1e9)
}
