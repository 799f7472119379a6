package rx

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx/nitrogen"
)

// place is where the made-up fields of these tests lie. A boundary drawn
// symmetrically around it has its plane there too, to a millionth of a degree,
// so areas agree with those drawn in metres to about 1e-8.
var place = geo.LonLat{-93.6, 42.03}

func testPlane(t testing.TB) geo.Plane {
	t.Helper()
	p, err := geo.NewPlane(place)
	require.NoError(t, err)
	return p
}

func ringOf(p geo.Plane, xy ...float64) orb.Ring {
	var ring orb.Ring
	for i := 0; i < len(xy); i += 2 {
		ring = append(ring, orb.Point(p.Unproject(orb.Point{xy[i], xy[i+1]})))
	}
	return append(ring, ring[0])
}

// polygon is an outline drawn in metres around place.
func polygon(t testing.TB, xy ...float64) geo.Outline {
	t.Helper()
	return outline(t, orb.Polygon{ringOf(testPlane(t), xy...)})
}

func rect(t testing.TB, x0, y0, x1, y1 float64) geo.Outline {
	t.Helper()
	return polygon(t, x0, y0, x1, y0, x1, y1, x0, y1)
}

func outline(t testing.TB, g orb.Geometry) geo.Outline {
	t.Helper()
	o, err := geo.NewOutline(g)
	require.NoError(t, err)
	return o
}

// wholeField is 400 m by 200 m: 8 ha.
func wholeField(t testing.TB) Field {
	t.Helper()
	f, err := NewField("Walnut Bottom", rect(t, -200, -100, 200, 100), nil, nil)
	require.NoError(t, err)
	return f
}

// feature is record n of zones.shp with the given columns and values.
func feature(n int, o geo.Outline, attributes ...any) vector.Feature {
	f := vector.Feature{Outline: o, At: vector.Position{File: "zones.shp", Record: n}}
	for i := 0; i < len(attributes); i += 2 {
		a := vector.Attribute{Name: attributes[i].(string)}
		switch v := attributes[i+1].(type) {
		case string:
			a.Value = vector.NewText(v)
		case float64:
			a.Value = vector.NewNumber(v)
		case int:
			a.Value = vector.NewNumber(float64(v))
		}
		f.Attributes = append(f.Attributes, a)
	}
	return f
}

func source(t testing.TB, name string) nitrogen.Source {
	t.Helper()
	s, ok := nitrogen.Known(name)
	require.True(t, ok, name)
	return s
}

// sidedress is UAN 32 by a zone column in lb N/ac and a map in gal/ac.
func sidedress(t testing.TB) Application {
	t.Helper()
	return Application{
		Name: "sidedress", Source: source(t, "uan-32"),
		Rate: RateRule{Column: "N_LB_AC", Unit: unit.PoundsPerAcre, Of: unit.Nitrogen},
		Map:  MapSpec{Of: unit.Product, Unit: unit.GallonsPerAcre},
	}
}

func zonesOf(t testing.TB, f Field, features ...vector.Feature) []Zone {
	t.Helper()
	zones, _, err := NewZones(f, features, "ZONE", DefaultZoneOptions())
	require.NoError(t, err)
	return zones
}

// sharedData is the folder of open data beside the project, or a reason to skip.
func sharedData(t testing.TB, name string) string {
	t.Helper()
	dir, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		require.NotEqual(t, dir, filepath.Dir(dir), "no go.mod above the test")
		dir = filepath.Dir(dir)
	}
	path := filepath.Join(dir, "..", "shared", "data", name)
	if _, err := os.Stat(path); err != nil {
		t.Skipf("the open data set %s is not beside the project", name)
	}
	return path
}
