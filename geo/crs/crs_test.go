package crs

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFromEPSGNames(t *testing.T) {
	for code, want := range map[int][2]string{
		4326:  {"WGS 84", "WGS84"},
		4269:  {"NAD83", "NAD83"},
		32615: {"WGS 84 / UTM zone 15N", "WGS84"},
		32701: {"WGS 84 / UTM zone 1S", "WGS84"},
		26915: {"NAD83 / UTM zone 15N", "NAD83"},
		6344:  {"NAD83(2011) / UTM zone 15N", "NAD83(2011)"},
		3417:  {"NAD83 / Iowa North (ftUS)", "NAD83"},
		6463:  {"NAD83(2011) / Iowa North (ftUS)", "NAD83(2011)"},
		3857:  {"WGS 84 / Pseudo-Mercator", "WGS84"},
	} {
		c, err := FromEPSG(code)
		require.NoError(t, err)
		require.Equal(t, want, [2]string{c.Name(), c.Datum()})
	}
}

func TestFromEPSGRefuses(t *testing.T) {
	for code, says := range map[int]string{
		26931: "Alaska zone 1) is an oblique Mercator",
		26715: "NAD27",
		4267:  "NAD27",
		5070:  "EPSG:5070 is not known",
		0:     "not known",
	} {
		_, err := FromEPSG(code)
		require.ErrorContains(t, err, says)
	}
}

// The State Plane system of 1983 has 124 zones here: every row of the table must
// read, and every code appears once.
func TestStatePlaneTableReads(t *testing.T) {
	zones := statePlane()
	require.Len(t, zones, 895)
	refused := 0
	for code, z := range zones {
		if z.refuse != nil {
			refused++
			continue
		}
		// The false origin of a zone lies within a few degrees of the zone.
		lon, lat, err := z.crs.ToDegrees(500e3/z.crs.unit, 100e3/z.crs.unit)
		require.NoErrorf(t, err, "EPSG:%d", code)
		require.Falsef(t, math.IsNaN(lon+lat), "EPSG:%d", code)
	}
	require.Equal(t, 3, refused)
}

func TestParseName(t *testing.T) {
	for s, want := range map[string]string{
		"EPSG:26915":                                 "NAD83 / UTM zone 15N",
		" epsg:4326 ":                                "WGS 84",
		"EPSG::26915":                                "NAD83 / UTM zone 15N",
		"urn:ogc:def:crs:EPSG::26915":                "NAD83 / UTM zone 15N",
		"urn:ogc:def:crs:EPSG:6.9:26915":             "NAD83 / UTM zone 15N",
		"urn:ogc:def:crs:OGC:1.3:CRS84":              "WGS 84",
		"urn:ogc:def:crs:OGC::CRS84":                 "WGS 84",
		"urn:ogc:def:crs:OGC:1.3:CRS83":              "NAD83",
		"OGC:CRS84":                                  "WGS 84",
		"http://www.opengis.net/def/crs/EPSG/0/3857": "WGS 84 / Pseudo-Mercator",
		"WGS 84": "WGS 84",
	} {
		c, err := ParseName(s)
		require.NoErrorf(t, err, "%q", s)
		require.Equalf(t, want, c.Name(), "%q", s)
	}
	for _, s := range []string{"", "26915", "EPSG:", "EPSG:26915x", "urn:ogc:def:crs:EPSG::", "NAD83 UTM 15"} {
		_, err := ParseName(s)
		require.ErrorContainsf(t, err, "EPSG:", "%q", s)
	}
}

// Degrees of the file's own datum pass untouched.
func TestGeographicPassesDegreesThrough(t *testing.T) {
	lon, lat, err := WGS84().ToDegrees(-93.61234567890123, 42.012345678901234)
	require.NoError(t, err)
	require.Equal(t, [2]float64{-93.61234567890123, 42.012345678901234}, [2]float64{lon, lat})

	gon, err := ParseWKT(`GEOGCS["g",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],UNIT["grad",0.01570796326794897]]`)
	require.NoError(t, err)
	lon, lat, err = gon.ToDegrees(-100, 50)
	require.NoError(t, err)
	require.InDelta(t, -90, lon, 1e-12)
	require.InDelta(t, 45, lat, 1e-12)
}

func TestPositionsOutsideTheSystemAreErrors(t *testing.T) {
	utm, err := FromEPSG(26915)
	require.NoError(t, err)
	iowa, err := FromEPSG(26975)
	require.NoError(t, err)
	web, err := FromEPSG(3857)
	require.NoError(t, err)
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []CRS{WGS84(), utm, iowa, web} {
		for _, p := range [][2]float64{{nan, 0}, {0, nan}, {inf, 0}, {0, -inf}, {1e9, 1e9}} {
			_, _, err := c.ToDegrees(p[0], p[1])
			require.Errorf(t, err, "%s %v", c.Name(), p)
			_, _, err = c.FromDegrees(p[0], p[1])
			require.Errorf(t, err, "%s %v", c.Name(), p)
		}
	}
	_, _, err = utm.ToDegrees(-93.6, 42)
	require.ErrorContains(t, err, "look like degrees")
	_, _, err = WGS84().ToDegrees(448e3, 4.6e6)
	require.ErrorContains(t, err, "is not a position in WGS 84")
	_, _, err = utm.FromDegrees(87, 42)
	require.ErrorContains(t, err, "too far")
	_, _, err = iowa.FromDegrees(87, -42)
	require.ErrorContains(t, err, "too far")
	_, _, err = web.FromDegrees(0, 90)
	require.ErrorContains(t, err, "too far")
}
