package asapplied

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/jonas-p/go-shp"
	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

const pointLog = `{"type":"FeatureCollection","features":[
{"type":"Feature","geometry":{"type":"Point","coordinates":[-93.6,42.03]},"properties":{"time":"2024-05-06T12:00:00Z","heading":90,"depth_in":4,"sections":[1,1,0],"working":true}},
{"type":"Feature","geometry":null,"properties":{"time":"2024-05-06T12:00:01Z","heading":91,"depth_in":4,"sections":[1,1,1],"working":true}},
{"type":"Feature","geometry":{"type":"Point","coordinates":[-93.59,42.03]},"properties":{"time":"2024-05-06T12:00:02Z","depth_in":null,"heading":"92.5","sections":[0,1,1],"working":false}}
]}`

func TestPointsAsALog(t *testing.T) {
	path := written(t, "log.geojson", pointLog)
	log, err := ReadLog(LogSpec{Files: []string{path}})
	require.NoError(t, err)
	requireWhole(t, &log)
	require.Equal(t, []float64{-93.6, -93.59}, log.Lon)
	require.Equal(t, []float64{90, 92.5}, log.Heading)
	require.Equal(t, []uint64{0b011, 0b110}, log.Sections.Words)
	require.Equal(t, []int8{1, 0}, log.Working)
	require.Equal(t, []int32{1, 3}, log.Line)
	require.Equal(t, map[string]int{"null_geometry": 1}, log.Dropped)
	require.Equal(t, 3, log.Read)
	require.Equal(t, "WGS84", log.Datum)
	require.Nil(t, log.Polygons)
}

// TestPointShapefileEqualsTheSameCSV writes one log both ways; the shapefile is
// written by another library.
func TestPointShapefileEqualsTheSameCSV(t *testing.T) {
	dir := t.TempDir()
	w, err := shp.Create(filepath.Join(dir, "log.shp"), shp.POINT)
	require.NoError(t, err)
	require.NoError(t, w.SetFields([]shp.Field{
		shp.StringField("TIME", 24), shp.FloatField("SPEED_MPH", 12, 3), shp.StringField("SECTIONS", 8), shp.FloatField("LB_N_AC", 12, 2),
	}))
	var text strings.Builder
	text.WriteString("lon,lat,TIME,SPEED_MPH,SECTIONS,LB_N_AC\n")
	for i := range 50 {
		lon, lat := -93.6+float64(i)*1e-5, 42.03+float64(i)*1e-6
		stamp, sections := fmt.Sprintf("2024-05-06T12:00:%02dZ", i), fmt.Sprintf("%08b", i)
		speed, rate := 5+float64(i)/8, 100+float64(i)/4
		w.Write(&shp.Point{X: lon, Y: lat})
		for k, v := range []any{stamp, speed, sections, rate} {
			require.NoError(t, w.WriteAttribute(i, k, v))
		}
		fmt.Fprintf(&text, "%v,%v,%s,%v,%s,%v\n", lon, lat, stamp, speed, sections, rate)
	}
	w.Close()
	// That library leaves out the dot of the table's name.
	require.NoError(t, os.Rename(filepath.Join(dir, "logdbf"), filepath.Join(dir, "log.dbf")))

	rate := map[string][]string{"rate": {"LB_N_AC"}}
	fromShape, err := ReadLog(LogSpec{Files: []string{filepath.Join(dir, "log.shp")}, Columns: rate})
	require.NoError(t, err)
	requireWhole(t, &fromShape)
	fromText := mustRead(t, text.String(), of(0), columns(rate))
	require.Equal(t, fromText.TimeNS, fromShape.TimeNS)
	require.Equal(t, fromText.Lon, fromShape.Lon)
	require.Equal(t, fromText.Lat, fromShape.Lat)
	require.Equal(t, fromText.Speed, fromShape.Speed)
	require.Equal(t, fromText.Sections, fromShape.Sections)
	require.Equal(t, fromText.Rate, fromShape.Rate)
	require.Equal(t, 50, fromShape.Len())

	require.NoError(t, os.Remove(filepath.Join(dir, "log.dbf")))
	_, err = ReadLog(LogSpec{Files: []string{filepath.Join(dir, "log.shp")}, Columns: rate})
	require.ErrorContains(t, err, `log.shp: there is no column "LB_N_AC" for the role rate; the file has no columns at all; a shapefile keeps them in its .dbf`)
}

func square(west, south float64) string {
	const side = 0.001
	return fmt.Sprintf(`{"type":"Polygon","coordinates":[[[%v,%v],[%v,%v],[%v,%v],[%v,%v],[%v,%v]]]}`,
		west, south, west+side, south, west+side, south+side, west, south+side, west, south)
}

func TestPolygonsAsALog(t *testing.T) {
	text := fmt.Sprintf(`{"type":"FeatureCollection","features":[
{"type":"Feature","geometry":%s,"properties":{"rate":50}},{"type":"Feature","geometry":%s,"properties":{"rate":60}}]}`,
		square(-93.6, 42.03), square(-93.5, 42.03))
	log, err := ReadLog(LogSpec{
		Files: []string{written(t, "log.geojson", text)}, Of: unit.Nitrogen, HasOf: true, Units: map[string]string{"rate": "kg/ha"},
	})
	require.NoError(t, err)
	requireWhole(t, &log)
	require.Len(t, log.Polygons, 2)
	require.Equal(t, []float64{50, 60}, log.Rate.V)
	require.InDelta(t, -93.5995, log.Lon[0], 1e-12) // the middle of its bounds
	require.InDelta(t, 42.0305, log.Lat[0], 1e-12)
}

func TestShapesThatAreNoLog(t *testing.T) {
	point := `{"type":"Feature","geometry":{"type":"Point","coordinates":[-93.6,42.03]},"properties":{"a":1}}`
	area := `{"type":"Feature","geometry":` + square(-93.6, 42.03) + `,"properties":{"a":1}}`
	line := `{"type":"Feature","geometry":{"type":"LineString","coordinates":[[-93.6,42.03],[-93.6,42.04]]},"properties":{"a":1}}`
	for _, c := range []struct{ features, want string }{
		{"", "log.geojson: the log is empty: it has no rows"},
		{point + "," + area, "log.geojson: feature 2: the file has points and other shapes, mixed; give points and polygons in files of their own"},
		{line, "log.geojson: the file has lines or mixed shapes; a log is of points, or of polygons, one a record"},
	} {
		_, err := ReadLog(LogSpec{Files: []string{written(t, "log.geojson", `{"type":"FeatureCollection","features":[`+c.features+`]}`)}})
		require.ErrorContains(t, err, c.want)
	}
}

// longPointLog writes a log of n points, of the shape of a real one, as a
// shapefile. It returns its path and the bytes of shapes and table.
func longPointLog(tb testing.TB, n int) (path string, size int64) {
	tb.Helper()
	path = filepath.Join(tb.TempDir(), "log.shp")
	w, err := shp.Create(path, shp.POINT)
	require.NoError(tb, err)
	require.NoError(tb, w.SetFields([]shp.Field{
		shp.StringField("TIME", 20), shp.FloatField("SPEED_MPS", 10, 3), shp.FloatField("HEADING", 10, 2),
		shp.FloatField("LB_N_AC", 10, 2), shp.FloatField("DEPTH_CM", 8, 1), shp.NumberField("SEQ", 8), shp.NumberField("WORKING", 4),
	}))
	start := time.Date(2024, 5, 6, 12, 0, 0, 0, time.UTC)
	for i := range n {
		w.Write(&shp.Point{X: -93.6 + float64(i)*1e-6, Y: 42.03 + float64(i)*1e-7})
		stamp := start.Add(time.Duration(i) * time.Second).Format(time.RFC3339)
		for k, v := range []any{stamp, 2.5, float64(i%3600) / 10, 196.2, 10.0, i, 1} {
			if err := w.WriteAttribute(i, k, v); err != nil {
				tb.Fatal(err)
			}
		}
	}
	w.Close()
	// That library leaves out the dot of the table's name.
	require.NoError(tb, os.Rename(filepath.Join(filepath.Dir(path), "logdbf"), filepath.Join(filepath.Dir(path), "log.dbf")))
	for _, part := range []string{"log.shp", "log.dbf"} {
		st, err := os.Stat(filepath.Join(filepath.Dir(path), part))
		require.NoError(tb, err)
		size += st.Size()
	}
	return path, size
}

// BenchmarkReadPointShapefile reads a log of 287,000 points with seven attributes.
func BenchmarkReadPointShapefile(b *testing.B) {
	const n = 287_000
	path, size := longPointLog(b, n)
	b.SetBytes(size)
	b.ReportAllocs()
	for b.Loop() {
		log, err := ReadLog(LogSpec{Files: []string{path}, Columns: map[string][]string{"rate": {"LB_N_AC"}}})
		require.NoError(b, err)
		require.Equal(b, n, log.Len())
	}
}
