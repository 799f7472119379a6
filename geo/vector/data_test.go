package vector

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
)

// areas returns the area of each feature in a plane of the first, in m2.
func areas(t *testing.T, l Layer) []float64 {
	t.Helper()
	plane, err := geo.PlaneFor(l.Features[0].Outline)
	require.NoError(t, err)
	var out []float64
	for _, f := range l.Features {
		r, err := plane.Region(f.Outline)
		require.NoError(t, err)
		out = append(out, r.Area().SquareMetres())
	}
	return out
}

// The same polygons from two files of other writers. Source of the areas:
// testdata/soil/README.md; the plane is within 2e-8 of the ellipsoid here.
func TestSoilPolygonsBothWays(t *testing.T) {
	fromSHP, err := Read("testdata/soil/mapunits.shp", Options{})
	require.NoError(t, err)
	fromJSON, err := Read("testdata/soil/mapunits.geojson", Options{})
	require.NoError(t, err)
	want := []float64{1870.216, 5148.104, 2181.266}
	for i, a := range areas(t, fromSHP) {
		assert.InDelta(t, want[i], a, 0.001)
	}
	require.Len(t, fromSHP.Features, 3)
	require.Len(t, fromJSON.Features, 3)
	assert.Equal(t, "WGS84", fromSHP.Datum)
	for i, f := range fromSHP.Features {
		other := fromJSON.Features[i]
		assert.Equal(t, other.Attributes, f.Attributes)
		b, _ := f.Outline.Bounds()
		c, _ := other.Outline.Bounds()
		for k := range 2 {
			assert.InDelta(t, c.Min[k], b.Min[k], 0.51e-8)
			assert.InDelta(t, c.Max[k], b.Max[k], 0.51e-8)
		}
	}
}

// sharedData returns a file of the data folder beside the project, and skips the
// test where there is none.
func sharedData(t *testing.T, name string) string {
	t.Helper()
	dir, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		require.NotEqual(t, dir, filepath.Dir(dir))
		dir = filepath.Dir(dir)
	}
	path := filepath.Join(dir, "..", "shared", "data", name)
	if _, err := os.Stat(path); err != nil {
		t.Skipf("%s is not there", path)
	}
	return path
}

// Fourteen polygons of five map units with one hole, USDA-NRCS SSURGO (public
// domain), 34.18820 ha on the ellipsoid.
func TestFieldOfFourteenPolygons(t *testing.T) {
	l, err := Read(sharedData(t, "gartner/soilmu_a_aoi.shp"), Options{})
	require.NoError(t, err)
	require.Len(t, l.Features, 14)
	assert.Empty(t, l.Notes)
	sum, holes := 0.0, 0
	units := map[string]bool{}
	for i, a := range areas(t, l) {
		sum += a
		for _, p := range l.Features[i].Outline.Polygons() {
			holes += len(p) - 1
		}
		v, ok := l.Features[i].Get("musym")
		require.True(t, ok)
		units[v.String()] = true
	}
	assert.InDelta(t, 341882.0, sum, 0.1)
	assert.Equal(t, 1, holes)
	assert.Len(t, units, 5)
	other, err := Read(sharedData(t, "gartner/gartner_soilmu_ssurgo.geojson"), Options{})
	require.NoError(t, err)
	require.Len(t, other.Features, 14)
	for i, a := range areas(t, other) {
		assert.InDelta(t, areas(t, l)[i], a, 0.05)
	}
}
