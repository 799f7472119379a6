package vector

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"math"
	"testing"
	"testing/iotest"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

// readJSON reads GeoJSON from memory.
func readJSON(r io.Reader) (Layer, error) {
	reader := &Reader{head: Layer{Path: "in.geojson", Skipped: map[string]int{}}, frame: frame{degrees: true}}
	reader.src = newGeoJSONSource("in.geojson", io.NopCloser(r), &reader.columns, true)
	return reader.all()
}

// checkLayer asserts what holds for every layer, whatever the input.
func checkLayer(t *testing.T, l Layer) {
	last := 0
	for _, f := range l.Features {
		require.Greater(t, f.At.Record, last)
		last = f.At.Record
		b, ok := f.Outline.Bounds()
		require.True(t, ok)
		require.True(t, b.Min[0] >= -180 && b.Max[0] <= 180 && b.Min[1] >= -90 && b.Max[1] <= 90)
		for _, a := range f.Attributes {
			checkValue(t, a.Value)
		}
	}
}

func checkValue(t *testing.T, v Value) {
	require.True(t, utf8.ValidString(v.String()))
	if n, ok := v.Number(); ok {
		require.False(t, math.IsNaN(n) || math.IsInf(n, 0))
	}
	b, err := v.MarshalJSON()
	require.NoError(t, err)
	require.True(t, json.Valid(b), "%q", b)
}

func requireInputError(t *testing.T, err error) {
	var ie *InputError
	require.ErrorAs(t, err, &ie)
	require.NotEmpty(t, ie.What)
}

// What is accepted is JSON by the standard library; where the window ends changes
// nothing; and what is read can be written and read again.
func FuzzGeoJSON(f *testing.F) {
	for _, text := range []string{
		collection(feature(oneSquare)), oneSquare, feature(`null`), "\xef\xbb\xbf" + feature(`{"type":"MultiPoint","coordinates":[[1,2],[3,4,5]]}`),
		collection(`{"id":1,"type":"Feature","properties":{"a\u00e9":[1e3,{}],"b":-0.50,"c":null,"d":true},"geometry":{"geometries":[` + oneSquare + `],"type":"GeometryCollection"}}`),
		`{"type":"MultiPolygon","coordinates":[]}`, `{"type":"Polygon","coordinates":[[]]}`, `{"type":"LineString","coordinates":[[1,2],[1,2]],"crs":null}`,
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		l, err := readJSON(bytes.NewReader(data))
		byByte, errByByte := readJSON(iotest.OneByteReader(bytes.NewReader(data)))
		require.Equal(t, err, errByByte)
		if err != nil {
			requireInputError(t, err)
			return
		}
		require.Equal(t, l, byByte)
		requireLearnt(t, data, l.Columns)
		require.True(t, json.Valid(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))))
		checkLayer(t, l)
		again, err := readJSON(bytes.NewReader(rewritten(t, l)))
		require.NoError(t, err)
		require.Len(t, again.Features, len(l.Features))
		for i, f := range l.Features {
			for k, a := range f.Attributes {
				require.Equal(t, a.Value.String(), again.Features[i].Attributes[k].Value.String())
			}
		}
	})
}

// rewritten writes a layer as GeoJSON.
func rewritten(t *testing.T, l Layer) []byte {
	fc := Collection{Decimals: 15}
	for _, feature := range l.Features {
		item := Item{Outline: feature.Outline}
		for _, a := range feature.Attributes {
			v := a.Value
			if v.Kind() == KindJSON { // marshalling removes its blanks
				v = NewText(v.String())
			}
			item.Properties = append(item.Properties, Member{a.Name, v})
		}
		fc.Items = append(fc.Items, item)
	}
	var b bytes.Buffer
	require.NoError(t, WriteGeoJSON(&b, fc))
	return b.Bytes()
}

func FuzzSHP(f *testing.F) {
	parts := oneLayer()
	f.Add(parts[".shp"], parts[".shx"])
	for _, code := range []int32{3, 13, 15, 23, 25} {
		shp, shx := buildSHP(code, world, partsContent(code, int(code/10%2), square(-93, 42, 1)), le(int32(0)))
		f.Add(shp, shx)
		f.Add(shp, []byte(nil))
	}
	points, _ := buildSHP(11, world, le(int32(11), -93.0, 42.0, 1.0), le(int32(11), -93.0, 42.0, 1.0, 2.0))
	f.Add(points, []byte(nil))
	f.Fuzz(func(t *testing.T, shp, shx []byte) {
		parts := map[string][]byte{".shp": shp}
		if len(shx) > 0 {
			parts[".shx"] = shx
		}
		l, err := readParts(parts)
		if err != nil {
			requireInputError(t, err)
			return
		}
		checkLayer(t, l)
		// Each record takes 12 bytes or more, and each is a feature or counted.
		records := len(l.Features) + l.Skipped[SkippedNull]
		require.LessOrEqual(t, 100+12*records, len(shp))
		if len(shx) > 0 {
			require.Equal(t, (len(shx)-100)/8, records)
		}
	})
}

func FuzzDBF(f *testing.F) {
	f.Add(oneLayer()[".dbf"], "UTF-8")
	f.Add(buildDBF(0x57, []string{"T,C,6,0", "L,L,1,0", "D,D,8,0", "F,F,4,1", "M,M,10,0"},
		" caf\xe9  T20260605 1.5          ", "*                             "), "")
	f.Fuzz(func(t *testing.T, data []byte, cpg string) {
		table, err := newDBF(newStream("t.dbf", int64(len(data)), memory(data)))
		if err != nil {
			requireInputError(t, err)
			return
		}
		if page := pageNamed(cpg); page != pageGuess {
			table.page = page
		}
		rows := 0
		for ; rows < table.rows; rows++ {
			attributes, deleted, err := table.next(nil)
			if err != nil {
				requireInputError(t, err)
				return
			}
			if deleted {
				require.Nil(t, attributes)
				continue
			}
			require.Len(t, attributes, len(table.columns))
			for i, a := range attributes {
				require.Equal(t, table.columns[i].name, a.Name)
				checkValue(t, a.Value)
			}
		}
		require.LessOrEqual(t, rows, len(data))
		_, _, err = table.next(nil)
		requireInputError(t, err)
	})
}

func FuzzZIP(f *testing.F) {
	f.Add(buildZip(f, layerFiles("zones")...))
	f.Add(buildZip(f, layerFiles("a/zones")[:1]...))
	f.Add(buildZip(f, zipFile{"../a.shp", nil}))
	f.Fuzz(func(t *testing.T, data []byte) {
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			return
		}
		parts, wrong := chooseParts("z.zip", z.File)
		if wrong != nil {
			require.NotEmpty(t, wrong.what)
			return
		}
		r := &Reader{head: Layer{Path: "z.zip", Skipped: map[string]int{}}}
		if err := r.openShapefile(parts, Options{}); err != nil {
			requireInputError(t, err)
			return
		}
		l, err := r.all()
		if err != nil {
			requireInputError(t, err)
			require.False(t, errors.Is(err, io.EOF))
			return
		}
		checkLayer(t, l)
	})
}
