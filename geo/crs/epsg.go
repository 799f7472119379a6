package crs

import "fmt"

// geographicCodes are the longitude and latitude systems by EPSG code.
//
// Source: EPSG Geodetic Parameter Dataset v10.076, checked against PROJ 9.1.1.
var geographicCodes = map[int]CRS{
	4326: WGS84(),
	4269: {name: "NAD83", datum: datumNAD83, unit: 1},
	4152: {name: "NAD83(HARN)", datum: "NAD83(HARN)", unit: 1},
	4759: {name: "NAD83(NSRS2007)", datum: "NAD83(NSRS2007)", unit: 1},
	6318: {name: "NAD83(2011)", datum: "NAD83(2011)", unit: 1},
	4617: {name: "NAD83(CSRS)", datum: "NAD83(CSRS)", unit: 1},
}

// FromEPSG returns the system of an EPSG code: longitude and latitude on WGS 84
// and the NAD83 family, UTM on WGS 84 (both hemispheres), NAD83 and
// NAD83(2011), all State Plane zones of 1983 in metres and feet but Alaska zone
// 1, and Web Mercator (3857).
func FromEPSG(code int) (CRS, error) {
	if c, ok := geographicCodes[code]; ok {
		return c, nil
	}
	if z, ok := statePlane()[code]; ok {
		return z.crs, z.refuse
	}
	if c, ok := utm(code); ok {
		return c, nil
	}
	switch {
	case code == 3857:
		w := &webMercator{radiusM: wgs84Ellipsoid.A}
		return CRS{name: "WGS 84 / Pseudo-Mercator", datum: datumWGS84, proj: w, unit: 1}, nil
	case code == 4267 || code >= 26701 && code <= 26722:
		return CRS{}, fmt.Errorf("EPSG:%d: %w", code, errNAD27)
	}
	return CRS{}, fmt.Errorf("EPSG:%d is not known here; give the text of its .prj file, or convert the file to WGS 84 (EPSG:4326)", code)
}

// utm gives the Universal Transverse Mercator system of a code.
//
// Source: EPSG Geodetic Parameter Dataset v10.076: 326zz and 327zz (WGS 84 north
// and south), 26901-26923, 3372, 3373 (NAD83), 6330-6348, 6328, 6329
// (NAD83(2011)).
func utm(code int) (CRS, bool) {
	zone, south, datum, el := 0, false, datumNAD83, grs80
	switch {
	case code >= 32601 && code <= 32660:
		zone, datum, el = code-32600, datumWGS84, wgs84Ellipsoid
	case code >= 32701 && code <= 32760:
		zone, south, datum, el = code-32700, true, datumWGS84, wgs84Ellipsoid
	case code >= 26901 && code <= 26923:
		zone = code - 26900
	case code == 3372 || code == 3373:
		zone = code - 3372 + 59
	case code >= 6330 && code <= 6348:
		zone, datum = code-6329, "NAD83(2011)"
	case code == 6328 || code == 6329:
		zone, datum = code-6328+59, "NAD83(2011)"
	default:
		return CRS{}, false
	}
	half, fn := "N", 0.0
	if south {
		half, fn = "S", 10e6
	}
	title := datum
	if datum == datumWGS84 {
		title = "WGS 84"
	}
	t := NewTransverseMercator(el, float64(6*zone-183), 0, 0.9996, 500e3, fn)
	name := fmt.Sprintf("%s / UTM zone %d%s", title, zone, half)
	return CRS{name: name, datum: datum, proj: &t, unit: 1, farOrigin: true}, true
}
