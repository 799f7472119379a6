package crs

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// plainName folds the spellings of one name: case, spaces, underscores, the
// "D_" of some files.
func plainName(s string) string {
	s = strings.ToLower(s)
	s = strings.TrimPrefix(s, "d_")
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return -1
	}, s)
}

// datumNames are the spellings, folded by plainName, of datums whose names are
// compared between files.
var datumNames = map[string]string{
	"wgs1984":                         datumWGS84,
	"wgs84":                           datumWGS84,
	"worldgeodeticsystem1984":         datumWGS84,
	"worldgeodeticsystem1984ensemble": datumWGS84,
	"northamerican1983":               datumNAD83,
	"northamericandatum1983":          datumNAD83,
	"nad83":                           datumNAD83,
	"nad19832011":                     "NAD83(2011)",
	"nad83nationalspatialreferencesystem2011": "NAD83(2011)",
	"northamerican1983harn":                   "NAD83(HARN)",
	"nad83highaccuracyreferencenetwork":       "NAD83(HARN)",
	"nad1983nsrs2007":                         "NAD83(NSRS2007)",
	"nad83nationalspatialreferencesystem2007": "NAD83(NSRS2007)",
	"northamerican1983csrs":                   "NAD83(CSRS)",
	"nad83canadianspatialreferencesystem":     "NAD83(CSRS)",
	"northamericandatum1983csrs":              "NAD83(CSRS)",
	"nad83csrs":                               "NAD83(CSRS)",
	"northamerican1927":                       "NAD27",
	"northamericandatum1927":                  "NAD27",
	"nad27":                                   "NAD27",
	"northamericandatum1927definition1976":    "NAD27",
	"northamericandatum1927cgq77":             "NAD27",
}

// datumOf names the datum and refuses one that lies tens of metres from WGS 84.
// Modern datums all use the ellipsoid of WGS 84 or GRS 80 and lie within about
// two metres of each other, so an unknown one with that ellipsoid is accepted
// under its own name.
func datumOf(name string, el Ellipsoid) (string, error) {
	known, ok := datumNames[plainName(name)]
	modern := math.Abs(el.A-6378137) < 0.01 && math.Abs(el.InvF-298.2572) < 1e-3
	switch {
	case ok && known != "NAD27" && modern:
		return known, nil
	case !ok && modern:
		return name, nil
	case known == "NAD27":
		return "", errNAD27
	}
	return "", fmt.Errorf("datum %q with the ellipsoid of %v m, 1/%v may lie more than 50 m from WGS 84, and datums are not shifted here; convert the file to WGS 84 (EPSG:4326)",
		name, el.A, el.InvF)
}

var errNAD27 = errors.New("datum NAD27 lies up to 100 m from WGS 84 in the United States, and datums are not shifted here; convert the file to WGS 84 (EPSG:4326) or NAD83 (EPSG:4269)")
