package crs

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// ParseWKT reads a coordinate system from well-known text: the content of a
// .prj file (WKT 1, of the ESRI or the OGC flavour) or WKT 2 (ISO 19162).
// Longitude and latitude, transverse Mercator, Lambert conformal conic and Web
// Mercator are known; the parameters count, not the code that the text may
// name. Of a compound system the horizontal part is taken.
func ParseWKT(s string) (CRS, error) {
	root, err := parseTree(s)
	if err != nil {
		return CRS{}, fmt.Errorf("%w; give the text of a .prj file or name an EPSG code", err)
	}
	return crsOf(root, 0)
}

func crsOf(n *node, depth int) (CRS, error) {
	switch n.name {
	case "GEOGCS", "GEOGCRS", "GEODCRS", "GEOGRAPHICCRS", "GEODETICCRS":
		g, err := geographicOf(n)
		if err != nil {
			return CRS{}, fmt.Errorf("coordinate system %q: %w", n.text(), err)
		}
		return CRS{name: n.text(), datum: g.datum, unit: g.degrees}, nil
	case "PROJCS", "PROJCRS", "PROJECTEDCRS":
		c, err := projectedOf(n)
		if err != nil {
			return CRS{}, fmt.Errorf("coordinate system %q: %w", n.text(), err)
		}
		return c, nil
	case "COMPD_CS", "COMPOUNDCRS", "BOUNDCRS", "SOURCECRS":
		if len(n.kids) > 0 && depth < 4 {
			return crsOf(n.kids[0], depth+1)
		}
	}
	return CRS{}, fmt.Errorf("well-known text starts with %s, which is not a horizontal coordinate system; convert the file to WGS 84 (EPSG:4326)", n.name)
}

// geographic is the ground under a projected system.
type geographic struct {
	datum   string
	el      Ellipsoid
	degrees float64 // degrees in its unit of angle
}

func geographicOf(n *node) (geographic, error) {
	g := geographic{}
	d := n.kid("DATUM", "ENSEMBLE", "TRF", "GEODETICDATUM")
	if d == nil {
		return g, errors.New("no DATUM is given; add it or name an EPSG code")
	}
	e := d.kid("SPHEROID", "ELLIPSOID")
	if e == nil || len(e.nums) < 2 {
		return g, errors.New("the DATUM has no ellipsoid with radius and inverse flattening; add it or name an EPSG code")
	}
	g.el = Ellipsoid{A: e.nums[0] * unitOf(e, 1, "LENGTHUNIT", "UNIT"), InvF: e.nums[1]}
	if !g.el.usable() {
		return g, fmt.Errorf("an ellipsoid of radius %v m and inverse flattening %v is not usable; correct it or name an EPSG code", g.el.A, g.el.InvF)
	}
	if p := n.kid("PRIMEM", "PRIMEMERIDIAN"); p != nil && len(p.nums) > 0 && p.nums[0] != 0 {
		return g, fmt.Errorf("the prime meridian %q is not Greenwich; convert the file to WGS 84 (EPSG:4326)", p.text())
	}
	var err error
	if g.datum, err = datumOf(d.text(), g.el); err != nil {
		return g, err
	}
	g.degrees, err = angleOf(n)
	return g, err
}

// angleOf gives the degrees in the unit of angle of a geographic system.
func angleOf(n *node) (float64, error) {
	radians := unitOf(n, degree, "UNIT", "ANGLEUNIT")
	for _, k := range n.kids {
		if k.name == "AXIS" {
			radians = unitOf(k, radians, "ANGLEUNIT", "UNIT")
		}
	}
	deg := radians / degree
	if math.Abs(deg-1) < 1e-9 {
		return 1, nil // written with too few digits
	}
	if !(deg > 1e-9 && deg < 60) {
		return 0, fmt.Errorf("a unit of angle of %v radians is not usable; correct it or name an EPSG code", radians)
	}
	return deg, nil
}

// unitOf returns the factor of a UNIT child, or the given default.
func unitOf(n *node, def float64, names ...string) float64 {
	if u := n.kid(names...); u != nil && len(u.nums) > 0 {
		return u.nums[0]
	}
	return def
}

func projectedOf(n *node) (CRS, error) {
	base := n.kid("GEOGCS", "BASEGEOGCRS", "BASEGEODCRS", "GEOGCRS", "GEODCRS")
	if base == nil {
		return CRS{}, errors.New("no geographic system is given; add GEOGCS or name an EPSG code")
	}
	g, err := geographicOf(base)
	if err != nil {
		return CRS{}, err
	}
	c := CRS{name: n.text(), datum: g.datum}
	if c.unit, err = lengthOf(n); err != nil {
		return CRS{}, err
	}
	p, err := parametersOf(n, c.unit, g.degrees)
	if err != nil {
		return CRS{}, err
	}
	if c.proj, err = p.projection(g.el); err != nil {
		return CRS{}, err
	}
	c.farOrigin = math.Abs(p.value["fe"]) > 1e4
	return c, nil
}

// lengthOf gives the metres in the unit of a projected system's axes, and
// refuses axes that point west or south.
func lengthOf(n *node) (float64, error) {
	metres := unitOf(n, 0, "UNIT", "LENGTHUNIT")
	for _, k := range n.kids {
		if k.name != "AXIS" {
			continue
		}
		metres = unitOf(k, metres, "LENGTHUNIT", "UNIT")
		for _, w := range k.words {
			if w == "WEST" || w == "SOUTH" {
				return 0, fmt.Errorf("its axis %q points %s; convert the file to WGS 84 (EPSG:4326)", k.text(), strings.ToLower(w))
			}
		}
	}
	if metres == 0 {
		return 0, errors.New("no unit of length is given; add UNIT or name an EPSG code")
	}
	// The US survey foot is often written with too few digits.
	if math.Abs(metres-usSurveyFoot) < 1e-10 {
		metres = usSurveyFoot
	}
	if !(metres > 1e-3 && metres < 1e4) {
		return 0, fmt.Errorf("a unit of length of %v m is not usable; correct it or name an EPSG code", metres)
	}
	return metres, nil
}
