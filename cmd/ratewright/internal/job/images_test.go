package job

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// An image and its counts are inputs: no output may take their place, and a change of them
// makes a result stale.
func TestImagesAreInputs(t *testing.T) {
	j, err := Decode(filepath.Join("f", "job.yaml"), []byte(`
field: {name: F, boundary: b.geojson}
zones:
  file: z.geojson
  id: Z
  images:
    - {file: index.tif, calibration: {file: counts.csv, columns: {lon: X, lat: Y, value: V}}, name: RES_PCT}
    - {file: other.tif, band: 3, crs: EPSG:26915, calibration: {file: points.shp, crs: EPSG:26916, columns: {value: V, marks: M}}, name: RES2}
applications: [{name: a, source: urea, rate: {column: R, unit: kg/ha, of: nitrogen}}]
`))
	require.NoError(t, err)
	inputs := j.Inputs(j.Applications[0])
	for _, name := range []string{"index.tif", "counts.csv", "other.tif", "points.shp"} {
		require.Contains(t, inputs, filepath.Join("f", name))
	}
	require.Equal(t, 1, j.Zones.Images[0].Band)
	require.Equal(t, ImageSpec{
		File: filepath.Join("f", "other.tif"), Band: 3, CRS: "EPSG:26915", Name: "RES2",
		Counts: TableSpec{File: filepath.Join("f", "points.shp"), CRS: "EPSG:26916", Columns: map[string]string{"value": "V", "marks": "M"}, line: j.Zones.Images[1].Counts.line},
	}, j.Zones.Images[1])
}
