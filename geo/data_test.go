package geo

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// sharedData finds a file of the folder of open data beside the project, and
// skips the test where there is none.
func sharedData(t *testing.T, name string) string {
	t.Helper()
	dir, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		up := filepath.Dir(dir)
		require.NotEqual(t, dir, up, "no go.mod above the test")
		dir = up
	}
	path := filepath.Join(dir, "..", "shared", "data", name)
	if _, err := os.Stat(path); err != nil {
		t.Skipf("the open data folder is not beside the project: %v", err)
	}
	return path
}

// readRegions reads the polygons of a GeoJSON file as regions of one plane, with
// the area that the file gives them.
func readRegions(t *testing.T, path string) (rs []Region, areaM2 []float64) {
	t.Helper()
	var file struct {
		Features []struct {
			Properties struct {
				Area float64 `json:"area_m2"`
			} `json:"properties"`
			Geometry struct {
				Type        string      `json:"type"`
				Coordinates orb.Polygon `json:"coordinates"`
			} `json:"geometry"`
		} `json:"features"`
	}
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(b, &file))
	var p Plane
	for i, f := range file.Features {
		require.Equal(t, "Polygon", f.Geometry.Type)
		o, err := NewOutline(f.Geometry.Coordinates)
		require.NoError(t, err)
		if i == 0 {
			p, err = PlaneFor(o)
			require.NoError(t, err)
		}
		r, err := p.Region(o)
		require.NoError(t, err)
		requireValid(t, r)
		rs = append(rs, r)
		areaM2 = append(areaM2, f.Properties.Area)
	}
	return rs, areaM2
}

func sumOf(rs []Region) (m2 float64) {
	for _, r := range rs {
		m2 += r.Area().SquareMetres()
	}
	return m2
}

// The file names its source.
func TestSoilPolygonAreas(t *testing.T) {
	rs, want := readRegions(t, "testdata/soil-polygons.geojson")
	require.Len(t, rs, 3)
	for i, r := range rs {
		require.InDelta(t, want[i], r.Area().SquareMetres(), 0.001)
	}
}

// Source: USDA-NRCS SSURGO polygons of one Minnesota field, 34.18820 ha on the
// ellipsoid (README of the data folder). The soil units share their edges, so
// that joining them loses nothing.
func TestFieldOfSoilPolygonsHasItsArea(t *testing.T) {
	rs, _ := readRegions(t, sharedData(t, "gartner/gartner_soilmu_ssurgo.geojson"))
	require.Len(t, rs, 14)
	require.InDelta(t, 34.18820, sumOf(rs)/1e4, 0.00001)
	all, err := UnionAll(rs)
	require.NoError(t, err)
	requireValid(t, all)
	require.InDelta(t, sumOf(rs), all.Area().SquareMetres(), 0.01)
}

// Source: truth.json beside the boundary: area by GEOS in the transverse
// Mercator plane of PROJ with scale 1 at 93.6 W, 42.03 N; the boundary has 10
// decimals of a degree.
func TestBoundaryAreaAgreesWithGEOS(t *testing.T) {
	var truth struct {
		Areas struct {
			Boundary float64 `json:"boundary"`
		} `json:"areas_m2"`
	}
	b, err := os.ReadFile(sharedData(t, "passes/field-61ac/truth.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(b, &truth))
	rs, _ := readRegions(t, sharedData(t, "passes/field-61ac/boundary.geojson"))
	require.Len(t, rs, 1)
	require.InEpsilon(t, truth.Areas.Boundary, rs[0].Area().SquareMetres(), 1e-7)
}
