package vector

import (
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// strangeTable is a point shapefile with a deleted row, empty fields and letters
// beyond ASCII.
func strangeTable() map[string][]byte {
	rows := []string{" caf\xe9     1.5", "*gone      2", " a\x00b  1e+2\x00 ", " wide \x00\x00\x00\x00\x00\x00", " x    ******"}
	var shapes [][]byte
	for i := range rows {
		rows[i] = (rows[i] + strings.Repeat(" ", 12))[:12]
		shapes = append(shapes, le(int32(1), -93.0-float64(i)/8, 42.0))
	}
	shp, shx := buildSHP(1, world, shapes...)
	return map[string][]byte{
		".shp": shp, ".shx": shx, ".prj": []byte(wgs84PRJ), ".dbf": buildDBF(0x57, []string{"NAME,C,5,0", "N,N,6,1"}, rows...),
	}
}

// One feature read into again and again is each time the one that Read gives, and
// text taken from it before still stands.
func TestReadIntoGivesWhatReadGives(t *testing.T) {
	noTable := oneLayer()
	delete(noTable, ".dbf")
	for name, path := range map[string]string{
		"polygons":  writeParts(t, oneLayer()),
		"no table":  writeParts(t, noTable),
		"odd table": writeParts(t, strangeTable()),
		"many rows": writeParts(t, pointLog(1000)),
		"GeoJSON": writeFile(t, "mixed.geojson", []byte(`{"type":"FeatureCollection","features":[`+strings.Repeat(
			`{"type":"Feature","geometry":{"type":"Point","coordinates":[-93,42]},"properties":{"a":1,"b":"x"}},
			{"type":"Feature","geometry":null,"properties":{"a":2,"b":"y","c":true}},
			{"type":"Feature","geometry":{"type":"Point","coordinates":[-93,42]},"properties":{"a":3}},`, readAhead)+
			`{"type":"Feature","geometry":{"type":"Point","coordinates":[-93,42]},"properties":{}}]}`)),
	} {
		t.Run(name, func(t *testing.T) {
			want, err := Read(path, Options{})
			require.NoError(t, err)
			r, err := Open(path, Options{})
			require.NoError(t, err)
			defer r.Close()
			f := Feature{Attributes: []Attribute{{"LEFT", NewText("over")}, {"FROM", NewText("another")}, {"FILE", NewText("!")}}}
			var kept [][]Attribute
			for _, w := range want.Features {
				require.NoError(t, r.ReadInto(&f))
				require.Equal(t, w.Outline, f.Outline)
				require.Equal(t, w.At, f.At)
				require.Len(t, f.Attributes, len(w.Attributes))
				kept = append(kept, slices.Clone(f.Attributes))
			}
			require.ErrorIs(t, r.ReadInto(&f), io.EOF)
			require.Equal(t, Feature{}, f)
			for i, w := range want.Features {
				require.True(t, slices.Equal(w.Attributes, kept[i]), "feature %d: %v and %v", i+1, w.Attributes, kept[i])
			}
			require.Equal(t, want.Skipped, r.Header().Skipped)
		})
	}
}

// Features that Read gives do not share the memory of their attributes.
func TestReadKeepsFeaturesApart(t *testing.T) {
	l, err := Read(writeParts(t, pointLog(600)), Options{})
	require.NoError(t, err)
	for i := range l.Features {
		a := l.Features[i].Attributes
		for k := range a {
			a[k].Value = NewNumber(float64(i))
		}
		_ = append(a, Attribute{"MORE", NewText("one")}) // has no room in the next
	}
	for i, f := range l.Features {
		for _, a := range f.Attributes {
			require.Equal(t, NewNumber(float64(i)), a.Value)
		}
	}
}

// A feature read into again costs its point and a share of a block of text.
func TestReadIntoAllocatesOnlyThePoint(t *testing.T) {
	const n = 5000
	path := writeParts(t, pointLog(n))
	got := testing.AllocsPerRun(3, func() {
		r, err := Open(path, Options{})
		require.NoError(t, err)
		defer r.Close()
		var f Feature
		for err = r.ReadInto(&f); err == nil; err = r.ReadInto(&f) {
		}
		require.ErrorIs(t, err, io.EOF)
	})
	require.Less(t, got, 1.05*n)
}

// The fast way to read a numeric field gives what the careful one gives.
func TestPlainNumberIsWhatAnyValueGives(t *testing.T) {
	table := &dbfTable{page: page1252}
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`[ ]{0,3}[-+]?[0-9.]{0,5}[ \x00*eE+x0-9.-]{0,5}`).Draw(t, "field")
		c := &dbfColumn{kind: rapid.SampledFrom([]byte("NF")).Draw(t, "type"), width: len(s)}
		want := table.anyValue(c, s)
		require.Equal(t, want, table.value(c, s), "%q", s)
		if text, ok := plainNumber(s); ok {
			require.Equal(t, Value{text, KindNumber}, want, "%q", s)
		}
	})
	for s, want := range map[string]bool{
		"7": true, " -1.5 ": true, "+.5": true, "5.": true, "3\x00\x00": true, "3 \x00x": true, strings.Repeat("9", 255): true,
		"": false, " ": false, "-": false, ".": false, "1.2.3": false, "1 2": false, "1e2": false, "\x001": false, "/": false, ":": false,
	} {
		_, ok := plainNumber(s)
		assert.Equal(t, want, ok, "%q", s)
	}
	v, ok := Value{strings.Repeat("9", 255), KindNumber}.Number()
	require.True(t, ok)
	require.Equal(t, 1e255, v)
}

func TestASCIIAtEveryPlace(t *testing.T) {
	for n := range 40 {
		require.True(t, isASCII(strings.Repeat("\x7f", n)))
		for i := range n {
			b := []byte(strings.Repeat("a", n))
			b[i] = 0x80
			require.False(t, isASCII(string(b)), "%d of %d", i, n)
		}
	}
}

// A table's count of records is taken where it is held to the bytes of a file.
func TestRecordsAhead(t *testing.T) {
	records := func(path string) int {
		r, err := Open(path, Options{})
		require.NoError(t, err)
		defer r.Close()
		return r.Records()
	}
	require.Equal(t, 700, records(writeParts(t, pointLog(700))))
	require.Equal(t, 5, records(writeParts(t, strangeTable())))
	require.Zero(t, records(writeFile(t, "zones.zip", buildZip(t, layerFiles("zones")...))))
	require.Zero(t, records(writeFile(t, "points.geojson", []byte(pointJSON(3)))))
	noTable := pointLog(3)
	delete(noTable, ".dbf")
	require.Zero(t, records(writeParts(t, noTable)))

	// More rows than the .shp can have shapes, and no .shx to tell.
	few := pointLog(900)
	few[".shp"] = pointLog(3)[".shp"]
	delete(few, ".shx")
	path := writeParts(t, few)
	require.Equal(t, 3*28/12, records(path))
	_, err := Read(path, Options{})
	var ie *InputError
	require.ErrorAs(t, err, &ie)
}
