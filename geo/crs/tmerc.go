package crs

import "math"

const (
	degree = math.Pi / 180
	// order of the Krueger series
	order = 6
)

// TransverseMercator is the ellipsoidal transverse Mercator projection by
// Krueger's series to the sixth order in the third flattening.
//
// Source: C.F.F. Karney, "Transverse Mercator with an accuracy of a few
// nanometers", Journal of Geodesy 85 (2011) 475-485, eqs 7-15, 35 and 36.
// Truncation error below 5 nm within 35 degrees of the central meridian; in
// float64 the answers agree with PROJ to 1e-8 m inside a UTM zone (testdata).
type TransverseMercator struct {
	lon0   float64 // degrees
	e, es1 float64 // eccentricity; 1 - e^2
	ka     float64 // k0 times the rectifying radius, m
	fe, fn float64 // m; fn holds the northing of the origin latitude already
	alpha  [order]float64
	beta   [order]float64
}

// NewTransverseMercator makes the projection with the central meridian lon0Deg,
// the latitude of origin lat0Deg (degrees), the scale k0 on the central
// meridian, and the false easting and northing in metres.
func NewTransverseMercator(el Ellipsoid, lon0Deg, lat0Deg, k0, falseEastM, falseNorthM float64) TransverseMercator {
	f := el.flattening()
	n := f / (2 - f)
	n2 := n * n
	// Karney 2011 eq 14.
	radius := el.A / (1 + n) * (1 + n2*(1./4+n2*(1./64+n2/256)))
	e := el.eccentricity()
	t := TransverseMercator{
		lon0: lon0Deg, e: e, es1: 1 - e*e, ka: k0 * radius, fe: falseEastM, fn: falseNorthM,
		alpha: kruegerAlpha(n), beta: kruegerBeta(n),
	}
	_, y0 := t.Forward(lon0Deg, lat0Deg)
	t.fn += falseNorthM - y0
	return t
}

// kruegerAlpha gives the forward coefficients, Karney 2011 eq 35.
func kruegerAlpha(n float64) [order]float64 {
	p := func(c ...float64) float64 { return polynomial(n, c) }
	return [order]float64{
		n * p(1./2, -2./3, 5./16, 41./180, -127./288, 7891./37800),
		n * n * p(13./48, -3./5, 557./1440, 281./630, -1983433./1935360),
		n * n * n * p(61./240, -103./140, 15061./26880, 167603./181440),
		math.Pow(n, 4) * p(49561./161280, -179./168, 6601661./7257600),
		math.Pow(n, 5) * p(34729./80640, -3418889./1995840),
		math.Pow(n, 6) * 212378941. / 319334400,
	}
}

// kruegerBeta gives the inverse coefficients, Karney 2011 eq 36.
func kruegerBeta(n float64) [order]float64 {
	p := func(c ...float64) float64 { return polynomial(n, c) }
	return [order]float64{
		n * p(1./2, -2./3, 37./96, -1./360, -81./512, 96199./604800),
		n * n * p(1./48, 1./15, -437./1440, 46./105, -1118711./3870720),
		n * n * n * p(17./480, -37./840, -209./4480, 5569./90720),
		math.Pow(n, 4) * p(4397./161280, -11./504, -830251./7257600),
		math.Pow(n, 5) * p(4583./161280, -108847./3991680),
		math.Pow(n, 6) * 20648693. / 638668800,
	}
}

// polynomial is c0 + c1 x + c2 x^2 + ...
func polynomial(x float64, c []float64) float64 {
	s := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		s = s*x + c[i]
	}
	return s
}

// Forward turns degrees into metres. It is meant for points within 35 degrees
// of the central meridian; the caller keeps to that.
func (t *TransverseMercator) Forward(lonDeg, latDeg float64) (xM, yM float64) {
	sinLat, cosLat := math.Sincos(latDeg * degree)
	sinLon, cosLon := math.Sincos(turn(lonDeg-t.lon0) * degree)
	// Conformal latitude chi as sine and cosine times cosLat: eqs 7-9 written
	// with sec(lat) multiplied out, so that the poles need no tangent.
	sigma := math.Sinh(t.e * math.Atanh(t.e*sinLat))
	sinChi := sinLat*math.Sqrt(1+sigma*sigma) - sigma // = tan(chi) * cosLat
	h := math.Hypot(sinChi, cosLat*cosLon)
	xi := math.Atan2(sinChi, cosLat*cosLon)
	eta := math.Asinh(cosLat * sinLon / h)
	dx, dy := series(&t.alpha, xi, eta)
	return t.fe + t.ka*(eta+dy), t.fn + t.ka*(xi+dx)
}

// Inverse turns metres into degrees; longitude in (-180, 180].
func (t *TransverseMercator) Inverse(xM, yM float64) (lonDeg, latDeg float64) {
	xi, eta := (yM-t.fn)/t.ka, (xM-t.fe)/t.ka
	dx, dy := series(&t.beta, xi, eta)
	xi, eta = xi-dx, eta-dy
	sinXi, cosXi := math.Sincos(xi)
	sinhEta := math.Sinh(eta)
	tauChi := sinXi / math.Hypot(sinhEta, cosXi)
	tau := geographicTangent(tauChi, t.e, t.es1)
	lonDeg = turn(t.lon0 + math.Atan2(sinhEta, cosXi)/degree)
	return lonDeg, math.Atan(tau) / degree
}

// series sums c_j sin(2j(xi + i eta)) by Clenshaw's rule on complex numbers and
// returns the real and imaginary parts.
func series(c *[order]float64, xi, eta float64) (re, im float64) {
	s, co := math.Sincos(2 * xi)
	ex := math.Exp(2 * eta)
	ch, sh := (ex+1/ex)/2, (ex-1/ex)/2
	if math.Abs(eta) < 0.1 {
		sh = math.Sinh(2 * eta)
	}
	// 2 cos(2 zeta) and sin(2 zeta)
	ar, ai := 2*co*ch, -2*s*sh
	sr, si := s*ch, co*sh
	var b1r, b1i, b2r, b2i float64
	for j := order - 1; j >= 0; j-- {
		b1r, b1i, b2r, b2i = ar*b1r-ai*b1i-b2r+c[j], ar*b1i+ai*b1r-b2i, b1r, b1i
	}
	return sr*b1r - si*b1i, sr*b1i + si*b1r
}

// geographicTangent finds tan(lat) from the tangent of the conformal latitude
// by Newton's rule, Karney 2011 eqs 19-21: two or three steps reach float64.
func geographicTangent(tauChi, e, es1 float64) float64 {
	tau := tauChi / es1
	for range 5 {
		tau1 := math.Sqrt(1 + tau*tau)
		sigma := math.Sinh(e * math.Atanh(e*tau/tau1))
		t := tau*math.Sqrt(1+sigma*sigma) - sigma*tau1
		d := (tauChi - t) / math.Sqrt(1+t*t) * (1 + es1*tau*tau) / (es1 * tau1)
		tau += d
		if math.Abs(d) < 1e-16*math.Max(1, math.Abs(tau)) || math.IsInf(tau, 0) {
			break
		}
	}
	return tau
}

// turn brings an angle in degrees to (-180, 180].
func turn(deg float64) float64 {
	if deg > -180 && deg <= 180 {
		return deg
	}
	d := math.Mod(deg, 360)
	if d <= -180 {
		d += 360
	} else if d > 180 {
		d -= 360
	}
	return d
}
