package geo

import "math"

// GridAzimuth turns a heading at a place, in degrees clockwise from true north,
// into degrees clockwise from the plane's y axis. The two differ by the
// convergence of the meridians, atan(tan(lon - lon0) sin(lat)); on the
// ellipsoid that is good to 2e-7 degrees within 5 km of the origin.
// Source: Snyder 1987, Map Projections, USGS Professional Paper 1395, ch. 8.
func (p Plane) GridAzimuth(at LonLat, heading float64) float64 {
	const deg = math.Pi / 180
	d := (at.Lon() - p.origin.Lon()) * deg
	s := math.Sin(at.Lat() * deg)
	if math.Abs(d) < nearDeg*deg {
		// The series of atan(s tan d) to the third power; the fifth is 1e-15.
		return heading - d*s*(1+d*d*(1-s*s)/3)/deg
	}
	return heading - math.Atan(math.Tan(d)*s)/deg
}
