package crs

import "math"

// webMercator is the spherical Mercator of web maps (EPSG method 1024): degrees
// of WGS 84 taken for degrees of a sphere with the equatorial radius. Its scale
// is far from 1; it serves to get the degrees back, never to measure.
//
// Source: IOGP Publication 373-7-2, "Popular Visualisation Pseudo Mercator".
type webMercator struct{ radiusM, lon0, fe, fn float64 }

func (w *webMercator) Forward(lonDeg, latDeg float64) (xM, yM float64) {
	return w.fe + w.radiusM*turn(lonDeg-w.lon0)*degree,
		w.fn + w.radiusM*math.Atanh(math.Sin(latDeg*degree))
}

func (w *webMercator) Inverse(xM, yM float64) (lonDeg, latDeg float64) {
	return turn(w.lon0 + (xM-w.fe)/w.radiusM/degree), math.Atan(math.Sinh((yM-w.fn)/w.radiusM)) / degree
}
