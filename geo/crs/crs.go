package crs

import (
	"fmt"
	"math"
)

// Names of the datums that this package knows; another one keeps the name that
// the file gives it.
const (
	datumWGS84 = "WGS84"
	datumNAD83 = "NAD83"
)

// projection turns degrees into metres and back.
type projection interface {
	Forward(lonDeg, latDeg float64) (xM, yM float64)
	Inverse(xM, yM float64) (lonDeg, latDeg float64)
}

// CRS is a coordinate system as a file names it. It never changes. The zero
// value is not a system; get one from [WGS84], [FromEPSG], [ParseName] or
// [ParseWKT].
//
// x is always the easting or longitude and y the northing or latitude, as files
// are written, whatever order of axes the definition declares.
type CRS struct {
	name, datum string
	proj        projection // nil: geographic
	unit        float64    // metres or degrees in a unit of x and y
	// farOrigin says that no place of use has coordinates near (0, 0), so that
	// values of the size of degrees are degrees.
	farOrigin bool
}

// WGS84 returns longitude and latitude on WGS 84, the system of GeoJSON.
func WGS84() CRS { return CRS{name: "WGS 84", datum: datumWGS84, unit: 1} }

// ESRIWKT returns the text of a .prj file for [WGS84].
func ESRIWKT() string {
	return `GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],` +
		`PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]`
}

// Name returns the name of the system, as its definition gives it.
func (c CRS) Name() string { return c.name }

// Datum returns the datum: "WGS84", "NAD83", "NAD83(2011)", "NAD83(HARN)",
// "NAD83(NSRS2007)", "NAD83(CSRS)", or the name that the file gives. No shift
// between datums is ever applied.
func (c CRS) Datum() string { return c.datum }

// IsGeographic reports whether x and y are longitude and latitude.
func (c CRS) IsGeographic() bool { return c.proj == nil }

// reachM bounds the metres from the natural origin that a projection is asked
// for, east-west and north-south; it lies inside 35 degrees of a transverse
// Mercator's central meridian.
const (
	reachEastM  = 3.9e6
	reachNorthM = 10.0e6
)

// ToDegrees turns a position of the file into degrees of its datum. A position
// that the system cannot mean is an error.
func (c CRS) ToDegrees(x, y float64) (lonDeg, latDeg float64, err error) {
	if c.proj == nil {
		lonDeg, latDeg = x*c.unit, y*c.unit
	} else {
		if c.farOrigin && math.Abs(x) <= 180 && math.Abs(y) <= 90 {
			return 0, 0, fmt.Errorf("(%v, %v) look like degrees, but the file declares %s; correct the declared coordinate system", x, y, c.name)
		}
		if !c.reaches(x*c.unit, y*c.unit) {
			return 0, 0, c.outside(x, y)
		}
		lonDeg, latDeg = c.proj.Inverse(x*c.unit, y*c.unit)
	}
	if !(math.Abs(lonDeg) <= 180 && math.Abs(latDeg) <= 90) {
		return 0, 0, c.outside(x, y)
	}
	return lonDeg, latDeg, nil
}

// FromDegrees turns degrees of the datum into a position in the file's unit. A
// position that the system cannot hold is an error.
func (c CRS) FromDegrees(lonDeg, latDeg float64) (x, y float64, err error) {
	if !(math.Abs(lonDeg) <= 180 && math.Abs(latDeg) <= 90) {
		return 0, 0, fmt.Errorf("(%v, %v) is not a longitude and latitude in degrees", lonDeg, latDeg)
	}
	if c.proj == nil {
		return lonDeg / c.unit, latDeg / c.unit, nil
	}
	x, y = c.proj.Forward(lonDeg, latDeg)
	if !c.reaches(x, y) || !c.returns(lonDeg, latDeg, x, y) {
		return 0, 0, fmt.Errorf("longitude %v, latitude %v lies too far from the ground that %s is made for", lonDeg, latDeg, c.name)
	}
	return x / c.unit, y / c.unit, nil
}

// reaches reports whether metres lie where the projection's formulas hold; false
// for NaN and Inf.
func (c CRS) reaches(xM, yM float64) bool {
	switch p := c.proj.(type) {
	case *TransverseMercator:
		return math.Abs(xM-p.fe) <= reachEastM && math.Abs(yM-p.fn) <= reachNorthM
	case *LambertConic:
		return math.Abs(xM-p.fe) <= reachNorthM && math.Abs(yM-p.fn) <= reachNorthM
	case *webMercator:
		edge := math.Pi * p.radiusM * (1 + 1e-9)
		return math.Abs(xM-p.fe) <= edge && math.Abs(yM-p.fn) <= edge
	}
	return false
}

// returns reports whether metres lead back to the degrees they came from: they
// do not from the far side of the globe.
func (c CRS) returns(lonDeg, latDeg, xM, yM float64) bool {
	lon, lat := c.proj.Inverse(xM, yM)
	return math.Abs(turn(lon-lonDeg)) < 1e-7 && math.Abs(lat-latDeg) < 1e-7
}

func (c CRS) outside(x, y float64) error {
	return fmt.Errorf("(%v, %v) is not a position in %s; correct the declared coordinate system or the value", x, y, c.name)
}
