package vector

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
)

// pointLog returns the parts of a point shapefile with the attributes of a usual
// machine log.
func pointLog(n int) map[string][]byte {
	var contents [][]byte
	var rows []string
	for i := range n {
		contents = append(contents, le(int32(1), -93.6+float64(i)*1e-6, 42.03))
		rows = append(rows, fmt.Sprintf(" %-20s%12.6f%10.3f%10.2f%8.1f%8d%4d",
			"2026-06-05T14:30:15Z", float64(i)*0.2, 2.5, 180.25, 10.0, i, 1))
	}
	shp, shx := buildSHP(1, orb.Bound{Min: orb.Point{-93.6, 42}, Max: orb.Point{-93, 42.1}}, contents...)
	dbf := buildDBF(0, []string{
		"TIME,C,20,0", "T_S,N,12,6", "SPEED,N,10,3", "RATE,N,10,2", "DEPTH,N,8,1", "SEQ,N,8,0", "WORK,N,4,0",
	}, rows...)
	return map[string][]byte{".shp": shp, ".shx": shx, ".dbf": dbf, ".prj": []byte(wgs84PRJ)}
}

func pointJSON(n int) string {
	var b strings.Builder
	b.WriteString(`{"type":"FeatureCollection","features":[`)
	for i := range n {
		if i > 0 {
			b.WriteString(",\n")
		}
		fmt.Fprintf(&b, `{"type":"Feature","geometry":{"type":"Point","coordinates":[%.9f,%.9f]},"properties":{"time":"2026-06-05T14:30:15Z","rate":%.2f,"speed":2.5,"depth":10.0,"work":1}}`,
			-93.6+float64(i)*1e-6, 42.03, 180.25)
	}
	b.WriteString("]}")
	return b.String()
}

// drain reads a file to its end and returns how many features it has.
func drain(t testing.TB, path string) int {
	r, err := Open(path, Options{})
	require.NoError(t, err)
	defer func() { require.NoError(t, r.Close()) }()
	for n := 0; ; n++ {
		_, err := r.Read()
		if errors.Is(err, io.EOF) {
			return n
		}
		if err != nil { // require would cost as much as reading
			t.Fatal(err)
		}
	}
}

func BenchmarkShapefilePoints(b *testing.B) {
	const n = 50_000
	parts := pointLog(n)
	path := writeParts(b, parts)
	b.SetBytes(int64(len(parts[".shp"]) + len(parts[".dbf"])))
	b.ReportAllocs()
	for b.Loop() {
		require.Equal(b, n, drain(b, path))
	}
}

func BenchmarkGeoJSONPoints(b *testing.B) {
	const n = 50_000
	text := pointJSON(n)
	path := writeFile(b, "log.geojson", []byte(text))
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		require.Equal(b, n, drain(b, path))
	}
}

// BenchmarkGeoJSONNames is what it costs besides to know all columns first.
func BenchmarkGeoJSONNames(b *testing.B) {
	text := pointJSON(50_000)
	path := writeFile(b, "log.geojson", []byte(text))
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		r, err := Open(path, Options{})
		require.NoError(b, err)
		r.LearnColumns()
		require.Len(b, r.Header().Columns, 5)
		require.NoError(b, r.Close())
	}
}

// A reader holds a window of the file, not the file.
func TestReadHoldsLittle(t *testing.T) {
	if testing.Short() {
		t.Skip("writes a file of 20 MB")
	}
	path := writeFile(t, "log.geojson", []byte(pointJSON(100_000)))
	st, err := os.Stat(path)
	require.NoError(t, err)
	r, err := Open(path, Options{})
	require.NoError(t, err)
	defer r.Close()
	for range 50_000 {
		_, err := r.Read()
		require.NoError(t, err)
	}
	held := len(r.src.(*geojsonSource).s.buf)
	require.Less(t, int64(held), st.Size()/100)
}

// toothed is a ring of n vertices on the grid of 10 decimals of degrees.
func toothed(n int) orb.Polygon {
	ring := make(orb.Ring, 0, n+1)
	for i := range n - 1 {
		ring = append(ring, orb.Point{float64(-936000000000+int64(i)*377) / 1e10, float64(420300000000+int64(i%2)*25691) / 1e10})
	}
	ring = append(ring, orb.Point{-93.59, 42})
	return orb.Polygon{append(ring, ring[0])}
}

func BenchmarkWriteGeoJSON(b *testing.B) {
	o, err := geo.NewOutline(toothed(100_000))
	require.NoError(b, err)
	fc := Collection{Decimals: 10, Items: []Item{{Outline: o}}}
	var text strings.Builder
	require.NoError(b, WriteGeoJSON(&text, fc))
	b.SetBytes(int64(text.Len()))
	for b.Loop() {
		require.NoError(b, WriteGeoJSON(io.Discard, fc))
	}
}

func BenchmarkEncodeShapefile(b *testing.B) {
	shapes := []Shape{{Polygons: orb.MultiPolygon{toothed(100_000)}, Values: []any{"missed"}}}
	fields := []Field{{Name: "KIND", Type: 'C', Length: 12}}
	parts, err := EncodeShapefile(fields, shapes, time.Date(2026, 6, 5, 0, 0, 0, 0, time.UTC))
	require.NoError(b, err)
	b.SetBytes(int64(len(parts.SHP)))
	for b.Loop() {
		_, err := EncodeShapefile(fields, shapes, time.Date(2026, 6, 5, 0, 0, 0, 0, time.UTC))
		require.NoError(b, err)
	}
}
