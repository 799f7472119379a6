package crs

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The texts are what projinfo of PROJ 9.1.1 prints for the code, shortened where
// a part (usage, identifiers) says nothing about the numbers.
var wktCases = []struct {
	code  int
	datum string
	name  string
	wkt   string
}{
	{4326, "WGS84", "GCS_WGS_1984", ESRIWKT()},
	{4269, "NAD83", "NAD83", `GEOGCS["NAD83",DATUM["North_American_Datum_1983",SPHEROID["GRS 1980",6378137,298.257222101,AUTHORITY["EPSG","7019"]],AUTHORITY["EPSG","6269"]],PRIMEM["Greenwich",0,AUTHORITY["EPSG","8901"]],UNIT["degree",0.0174532925199433,AUTHORITY["EPSG","9122"]],AUTHORITY["EPSG","4269"]]`},
	{26975, "NAD83", "NAD_1983_StatePlane_Iowa_North_FIPS_1401", `PROJCS["NAD_1983_StatePlane_Iowa_North_FIPS_1401",GEOGCS["GCS_North_American_1983",DATUM["D_North_American_1983",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Lambert_Conformal_Conic"],PARAMETER["False_Easting",1500000.0],PARAMETER["False_Northing",1000000.0],PARAMETER["Central_Meridian",-93.5],PARAMETER["Standard_Parallel_1",43.2666666666667],PARAMETER["Standard_Parallel_2",42.0666666666667],PARAMETER["Latitude_Of_Origin",41.5],UNIT["Meter",1.0]]`},
	{26975, "NAD83", "NAD83 / Iowa North", `PROJCRS["NAD83 / Iowa North",BASEGEOGCRS["NAD83",DATUM["North American Datum 1983",ELLIPSOID["GRS 1980",6378137,298.257222101,LENGTHUNIT["metre",1]]],PRIMEM["Greenwich",0,ANGLEUNIT["degree",0.0174532925199433]],ID["EPSG",4269]],CONVERSION["SPCS83 Iowa North zone (meters)",METHOD["Lambert Conic Conformal (2SP)",ID["EPSG",9802]],PARAMETER["Latitude of false origin",41.5,ANGLEUNIT["degree",0.0174532925199433],ID["EPSG",8821]],PARAMETER["Longitude of false origin",-93.5,ANGLEUNIT["degree",0.0174532925199433]],PARAMETER["Latitude of 1st standard parallel",43.2666666666667,ANGLEUNIT["degree",0.0174532925199433]],PARAMETER["Latitude of 2nd standard parallel",42.0666666666667,ANGLEUNIT["degree",0.0174532925199433]],PARAMETER["Easting at false origin",1500000,LENGTHUNIT["metre",1]],PARAMETER["Northing at false origin",1000000,LENGTHUNIT["metre",1]]],CS[Cartesian,2],AXIS["easting (X)",east,ORDER[1],LENGTHUNIT["metre",1]],AXIS["northing (Y)",north,ORDER[2],LENGTHUNIT["metre",1]],USAGE[SCOPE["Engineering survey, topographic mapping."],BBOX[41.85,-96.65,43.51,-90.15]],ID["EPSG",26975]]`},
	{6578, "NAD83(2011)", "NAD_1983_2011_StatePlane_Texas_Central_FIPS_4203_Ft_US", `PROJCS["NAD_1983_2011_StatePlane_Texas_Central_FIPS_4203_Ft_US",GEOGCS["GCS_NAD_1983_2011",DATUM["D_NAD_1983_2011",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Lambert_Conformal_Conic"],PARAMETER["False_Easting",2296583.333],PARAMETER["False_Northing",9842500.0],PARAMETER["Central_Meridian",-100.333333333333],PARAMETER["Standard_Parallel_1",31.8833333333333],PARAMETER["Standard_Parallel_2",30.1166666666667],PARAMETER["Latitude_Of_Origin",29.6666666666667],UNIT["US survey foot",0.304800609601219]]`},
	{2223, "NAD83", "NAD83 / Arizona Central (ft)", `PROJCRS["NAD83 / Arizona Central (ft)",BASEGEOGCRS["NAD83",DATUM["North American Datum 1983",ELLIPSOID["GRS 1980",6378137,298.257222101,LENGTHUNIT["metre",1]]],PRIMEM["Greenwich",0,ANGLEUNIT["degree",0.0174532925199433]]],CONVERSION["SPCS83 Arizona Central zone (International feet)",METHOD["Transverse Mercator",ID["EPSG",9807]],PARAMETER["Latitude of natural origin",31,ANGLEUNIT["degree",0.0174532925199433]],PARAMETER["Longitude of natural origin",-111.916666666667,ANGLEUNIT["degree",0.0174532925199433]],PARAMETER["Scale factor at natural origin",0.9999,SCALEUNIT["unity",1]],PARAMETER["False easting",700000,LENGTHUNIT["foot",0.3048]],PARAMETER["False northing",0,LENGTHUNIT["foot",0.3048]]],CS[Cartesian,2],AXIS["easting (X)",east,ORDER[1],LENGTHUNIT["foot",0.3048]],AXIS["northing (Y)",north,ORDER[2],LENGTHUNIT["foot",0.3048]]]`},
	{26915, "NAD83", "NAD83 / UTM zone 15N", `COMPD_CS["NAD83 / UTM zone 15N + NAVD88 height",PROJCS["NAD83 / UTM zone 15N",GEOGCS["NAD83",DATUM["North_American_Datum_1983",SPHEROID["GRS 1980",6378137,298.257222101]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["latitude_of_origin",0],PARAMETER["central_meridian",-93],PARAMETER["scale_factor",0.9996],PARAMETER["false_easting",500000],PARAMETER["false_northing",0],UNIT["metre",1],AXIS["Easting",EAST],AXIS["Northing",NORTH]],VERT_CS["NAVD88 height",VERT_DATUM["North American Vertical Datum 1988",2005],UNIT["metre",1],AXIS["Gravity-related height",UP]]]`},
	{26915, "NAD83", "NAD_1983_UTM_Zone_15N", `PROJCS["NAD_1983_UTM_Zone_15N",GEOGCS["GCS_North_American_1983",DATUM["D_North_American_1983",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",-93.0],PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]],VERTCS["NAVD_1988",VDATUM["North_American_Vertical_Datum_1988"],PARAMETER["Vertical_Shift",0.0],PARAMETER["Direction",1.0],UNIT["Meter",1.0]]`},
	{3857, "WGS84", "WGS_1984_Web_Mercator_Auxiliary_Sphere", `PROJCS["WGS_1984_Web_Mercator_Auxiliary_Sphere",GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Mercator_Auxiliary_Sphere"],PARAMETER["False_Easting",0.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",0.0],PARAMETER["Standard_Parallel_1",0.0],PARAMETER["Auxiliary_Sphere_Type",0.0],UNIT["Meter",1.0]]`},
	{3857, "WGS84", "WGS 84 / Pseudo-Mercator", `PROJCS["WGS 84 / Pseudo-Mercator",GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],PROJECTION["Mercator_1SP"],PARAMETER["central_meridian",0],PARAMETER["scale_factor",1],PARAMETER["false_easting",0],PARAMETER["false_northing",0],UNIT["metre",1],AXIS["Easting",EAST],AXIS["Northing",NORTH],EXTENSION["PROJ4","+proj=merc +a=6378137 +b=6378137 +lat_ts=0 +lon_0=0 +x_0=0 +y_0=0 +k=1 +units=m +nadgrids=@null +wktext +no_defs"],AUTHORITY["EPSG","3857"]]`},
	{4326, "WGS84", "WGS 84", `GEOGCRS["WGS 84",ENSEMBLE["World Geodetic System 1984 ensemble",MEMBER["World Geodetic System 1984 (Transit)"],MEMBER["World Geodetic System 1984 (G2139)"],ELLIPSOID["WGS 84",6378137,298.257223563,LENGTHUNIT["metre",1]],ENSEMBLEACCURACY[2.0]],PRIMEM["Greenwich",0,ANGLEUNIT["degree",0.0174532925199433]],CS[ellipsoidal,2],AXIS["geodetic latitude (Lat)",north,ORDER[1],ANGLEUNIT["degree",0.0174532925199433]],AXIS["geodetic longitude (Lon)",east,ORDER[2],ANGLEUNIT["degree",0.0174532925199433]],ID["EPSG",4326]]`},
}

// placeOf is a position on the ground that each code is made for.
var placeOf = map[int][2]float64{2223: {-112.1, 33.3}, 6578: {-97.7, 30.3}}

func TestParseWKTMeansTheSameAsTheCode(t *testing.T) {
	for _, k := range wktCases {
		got, err := ParseWKT(k.wkt)
		require.NoErrorf(t, err, "%.60s", k.wkt)
		require.Equal(t, k.name, got.Name())
		require.Equal(t, k.datum, got.Datum())
		want, err := FromEPSG(k.code)
		require.NoError(t, err)
		require.Equal(t, want.IsGeographic(), got.IsGeographic())
		require.Equal(t, want.Datum(), got.Datum())
		at, ok := placeOf[k.code]
		if !ok {
			at = [2]float64{-93.6, 42.03}
		}
		wx, wy, err := want.FromDegrees(at[0], at[1])
		require.NoError(t, err)
		gx, gy, err := got.FromDegrees(at[0], at[1])
		require.NoError(t, err)
		require.InDeltaf(t, 0, math.Hypot(gx-wx, gy-wy), 1e-6, "%.60s", k.wkt)
	}
}

func TestParseWKTRefuses(t *testing.T) {
	geog := `GEOGCS["G",DATUM["D_North_American_1983",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]`
	for _, k := range []struct{ wkt, says string }{
		{"", "is empty"},
		{"EPSG:26915", "give the text of a .prj file"},
		{`GEOGCS`, "no opening bracket"},
		{`GEOGCS["a`, "does not end"},
		{`GEOGCS["a",DATUM["b",SPHEROID["c",1.2.3,4]]]`, "number is not readable"},
		{`GEOGCS["a"] x`, "unexpected text"},
		{`LOCAL_CS["a",UNIT["m",1]]`, "LOCAL_CS"},
		{`GEOGCS["a",UNIT["Degree",0.0174532925199433]]`, "no DATUM"},
		{`GEOGCS["a",DATUM["D_WGS_1984"]]`, "no ellipsoid"},
		{`GEOGCS["a",DATUM["D_WGS_1984",SPHEROID["s",1,298.25]]]`, "ellipsoid of radius 1 m"},
		{`GEOGCS["a",DATUM["D_North_American_1927",SPHEROID["Clarke_1866",6378206.4,294.978698213898]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]`, "NAD27"},
		{`GEOGCS["a",DATUM["D_Deutsches_Hauptdreiecksnetz",SPHEROID["Bessel_1841",6377397.155,299.1528128]],UNIT["Degree",0.0174532925199433]]`, "datum"},
		{`GEOGCS["a",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137,298.257223563]],PRIMEM["Paris",2.33722917],UNIT["Degree",0.0174532925199433]]`, "Greenwich"},
		{`GEOGCS["a",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137,298.257223563]],UNIT["odd",0]]`, "unit of angle"},
		{`PROJCS["p",UNIT["Meter",1.0]]`, "no geographic system"},
		{`PROJCS["p",` + geog + `,PROJECTION["Transverse_Mercator"],PARAMETER["Central_Meridian",-93]]`, "no unit of length"},
		{`PROJCS["p",` + geog + `,UNIT["Meter",1.0]]`, "no projection method"},
		{`PROJCS["p",` + geog + `,PROJECTION["Transverse_Mercator"],UNIT["Meter",1.0]]`, "is missing (lon0)"},
		{`PROJCS["p",` + geog + `,PROJECTION["Transverse_Mercator"],PARAMETER["Central_Meridian",-93],PARAMETER["Azimuth",3],UNIT["Meter",1.0]]`, `"Azimuth"`},
		{`PROJCS["p",` + geog + `,PROJECTION["Transverse_Mercator"],PARAMETER["Central_Meridian",-930],UNIT["Meter",1.0]]`, "out of range"},
		{`PROJCS["p",` + geog + `,PROJECTION["Lambert_Conformal_Conic_2SP"],PARAMETER["Central_Meridian",-93],PARAMETER["Standard_Parallel_1",30],UNIT["Meter",1.0]]`, "is missing (lat2)"},
		{`PROJCS["p",` + geog + `,PROJECTION["Lambert_Conformal_Conic_2SP"],PARAMETER["Central_Meridian",-93],PARAMETER["Standard_Parallel_1",30],PARAMETER["Standard_Parallel_2",-30],UNIT["Meter",1.0]]`, "no usable cone"},
		{`PROJCS["p",` + geog + `,PROJECTION["Albers"],PARAMETER["Central_Meridian",-96],UNIT["Meter",1.0]]`, `"Albers" is not known`},
		{`PROJCS["p",` + geog + `,PROJECTION["Transverse_Mercator"],PARAMETER["Central_Meridian",-93],UNIT["Meter",1.0],AXIS["Westing",WEST],AXIS["Southing",SOUTH]]`, "points west"},
	} {
		_, err := ParseWKT(k.wkt)
		require.ErrorContainsf(t, err, k.says, "%.60s", k.wkt)
	}
}

func TestParseWKTBoundsItsInput(t *testing.T) {
	deep, long := "", ""
	for range 50 {
		deep += "GEOGCS["
	}
	for len(long) <= maxWKTBytes {
		long += `GEOGCS["a"],`
	}
	_, err := ParseWKT(deep)
	require.ErrorContains(t, err, "nested too deeply")
	_, err = ParseWKT(long)
	require.ErrorContains(t, err, "at most")
}

// Whatever the text, a system that is accepted answers with finite numbers or an
// error.
func FuzzParseWKT(f *testing.F) {
	for _, k := range wktCases {
		f.Add(k.wkt)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c, err := ParseWKT(s)
		if err != nil {
			return
		}
		for _, at := range [][2]float64{{-93.6, 42.03}, {500e3, 4.6e6}, {0, 0}, {1e300, -1e300}, {math.NaN(), 1}, {-180, 90}} {
			if lon, lat, err := c.ToDegrees(at[0], at[1]); err == nil && !(math.Abs(lon) <= 180 && math.Abs(lat) <= 90) {
				t.Fatalf("%v to %v %v", at, lon, lat)
			}
			if x, y, err := c.FromDegrees(at[0], at[1]); err == nil && (math.IsNaN(x+y) || math.IsInf(x+y, 0)) {
				t.Fatalf("%v to %v %v", at, x, y)
			}
		}
	})
}
