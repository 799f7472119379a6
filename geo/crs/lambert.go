package crs

import "math"

// LambertConic is the ellipsoidal Lambert conformal conic projection with one
// or two standard parallels.
//
// Source: J.P. Snyder, "Map Projections: A Working Manual", USGS Professional
// Paper 1395 (1987), pp. 107-109, eqs 14-15, 15-1 to 15-11. The closed forms
// are exact; in float64 the answers agree with PROJ to 1e-8 m inside a State
// Plane zone (testdata).
type LambertConic struct {
	lon0   float64 // degrees
	e, es1 float64 // eccentricity; 1 - e^2
	n      float64 // cone constant
	af     float64 // a F k0, m
	rho0   float64 // m
	fe, fn float64 // m
}

// NewLambertConic makes the projection with the central meridian lon0Deg, the
// latitude of the false origin lat0Deg and the standard parallels lat1Deg and
// lat2Deg (degrees, of one hemisphere), the scale k0 on the standard parallels
// (1 for two parallels as usually defined) and the false easting and northing
// in metres. One standard parallel is given as lat1Deg = lat2Deg.
func NewLambertConic(el Ellipsoid, lon0Deg, lat0Deg, lat1Deg, lat2Deg, k0, falseEastM, falseNorthM float64) LambertConic {
	e := el.eccentricity()
	l := LambertConic{lon0: lon0Deg, e: e, es1: 1 - e*e, fe: falseEastM, fn: falseNorthM}
	m1, t1 := parallelRadius(lat1Deg, e), l.isometric(lat1Deg)
	l.n = math.Sin(lat1Deg * degree)
	if lat1Deg != lat2Deg {
		m2, t2 := parallelRadius(lat2Deg, e), l.isometric(lat2Deg)
		l.n = math.Log(m1/m2) / (t2 - t1)
	}
	l.af = el.A * k0 * m1 / l.n * math.Exp(l.n*t1)
	l.rho0 = l.rho(lat0Deg)
	return l
}

// parallelRadius is m of eq 14-15: the radius of a parallel over the equatorial
// radius.
func parallelRadius(latDeg, e float64) float64 {
	s, c := math.Sincos(latDeg * degree)
	return c / math.Sqrt(1-e*e*s*s)
}

// isometric is the isometric latitude, -ln t of eq 15-9.
func (l *LambertConic) isometric(latDeg float64) float64 {
	s := math.Sin(latDeg * degree)
	return math.Atanh(s) - l.e*math.Atanh(l.e*s)
}

func (l *LambertConic) rho(latDeg float64) float64 {
	return l.af * math.Exp(-l.n*l.isometric(latDeg))
}

// Forward turns degrees into metres. It is meant for places well away from the
// pole that the cone opens to; the caller keeps to that.
func (l *LambertConic) Forward(lonDeg, latDeg float64) (xM, yM float64) {
	rho := l.rho(latDeg)
	s, c := math.Sincos(l.n * turn(lonDeg-l.lon0) * degree)
	return l.fe + rho*s, l.fn + l.rho0 - rho*c
}

// Inverse turns metres into degrees; longitude in (-180, 180].
func (l *LambertConic) Inverse(xM, yM float64) (lonDeg, latDeg float64) {
	x, y := xM-l.fe, l.rho0-(yM-l.fn)
	if l.n < 0 {
		x, y = -x, -y
	}
	rho := math.Hypot(x, y)
	psi := -math.Log(rho/math.Abs(l.af)) / l.n
	tau := geographicTangent(math.Sinh(psi), l.e, l.es1)
	return turn(l.lon0 + math.Atan2(x, y)/l.n/degree), math.Atan(tau) / degree
}
