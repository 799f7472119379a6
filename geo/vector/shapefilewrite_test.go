package vector

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	shp "github.com/jonas-p/go-shp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
)

var (
	day        = time.Date(2026, 6, 5, 14, 30, 0, 0, time.UTC)
	rateFields = []Field{{"GAL_AC", 'N', 9, 2}, {"ZONE_ID", 'C', 12, 0}}
)

func threeRectangles() []Shape {
	var shapes []Shape
	for i := range 3 {
		ring := orb.Ring(square(-93.6+0.01*float64(i), 42.03, 0.01))
		shapes = append(shapes, Shape{orb.MultiPolygon{{wound(ring, true)}}, []any{40.5 * float64(i), fmt.Sprint("Z", i)}})
	}
	return shapes
}

// asParts keys the parts by extension.
func asParts(p Parts) map[string][]byte {
	return map[string][]byte{".shp": p.SHP, ".shx": p.SHX, ".dbf": p.DBF, ".prj": p.PRJ, ".cpg": p.CPG}
}

// Layout facts from ESRI Shapefile Technical Description (July 1998) and, for the
// numbers of this very case, a file of three rectangles made and dumped with GDAL
// 3.6.2: 508 bytes, length 0xFE words, contents of 0x40 words, index entries
// 0x32/0x40, 0x76/0x40, 0xBA/0x40.
func TestWrittenShapefileByteByByte(t *testing.T) {
	p, err := EncodeShapefile(rateFields, threeRectangles(), day)
	require.NoError(t, err)
	b := p.SHP
	big := func(b []byte, at int) uint32 { return binary.BigEndian.Uint32(b[at:]) }
	little := func(b []byte, at int) uint32 { return binary.LittleEndian.Uint32(b[at:]) }
	require.Len(t, b, 508)
	assert.Equal(t, []uint32{0x270A, 0, 0, 0, 0, 0, 0xFE}, []uint32{big(b, 0), big(b, 4), big(b, 8), big(b, 12), big(b, 16), big(b, 20), big(b, 24)})
	assert.Equal(t, []uint32{1000, 5}, []uint32{little(b, 28), little(b, 32)})
	assert.Equal(t, []float64{-93.6, 42.03, -93.6 + 0.02 + 0.01, 42.04}, []float64{floatAt(b, 36), floatAt(b, 44), floatAt(b, 52), floatAt(b, 60)})
	assert.Equal(t, make([]byte, 32), b[68:100], "no Z, no M")
	for i := range 3 {
		at := 100 + 136*i
		assert.Equal(t, []uint32{uint32(i + 1), 0x40}, []uint32{big(b, at), big(b, at+4)})
		assert.Equal(t, []uint32{5, 1, 5, 0}, []uint32{little(b, at+8), little(b, at+8+36), little(b, at+8+40), little(b, at+8+44)})
		x, y := -93.6+0.01*float64(i), 42.03
		assert.Equal(t, []float64{x, y, x + 0.01, y + 0.01}, []float64{floatAt(b, at+8+4), floatAt(b, at+8+12), floatAt(b, at+8+20), floatAt(b, at+8+28)})
		for k, want := range square(x, y, 0.01) { // clockwise, from the south-west corner
			assert.Equal(t, want, orb.Point{floatAt(b, at+8+48+16*k), floatAt(b, at+8+56+16*k)})
		}
	}
	require.Len(t, p.SHX, 124)
	assert.Equal(t, uint32(62), big(p.SHX, 24))
	assert.Equal(t, b[28:100], p.SHX[28:100])
	for i, words := range []uint32{0x32, 0x76, 0xBA} {
		assert.Equal(t, []uint32{words, 0x40}, []uint32{big(p.SHX, 100+8*i), big(p.SHX, 104+8*i)})
	}
	want := "\x03\x7e\x06\x05\x03\x00\x00\x00\x61\x00\x16\x00" + strings.Repeat("\x00", 20) +
		"GAL_AC\x00\x00\x00\x00\x00N\x00\x00\x00\x00\x09\x02" + strings.Repeat("\x00", 14) +
		"ZONE_ID\x00\x00\x00\x00C\x00\x00\x00\x00\x0c\x00" + strings.Repeat("\x00", 14) + "\r" +
		"      0.00Z0          " + "     40.50Z1          " + "     81.00Z2          " + "\x1a"
	assert.Equal(t, want, string(p.DBF))
	assert.Equal(t, wgs84PRJ, string(p.PRJ))
	assert.Equal(t, "UTF-8", string(p.CPG))
}

func TestWriterRefuses(t *testing.T) {
	ok := orb.MultiPolygon{{square(-93, 42, 1)}}
	one := func(mp orb.MultiPolygon, values ...any) []Shape { return []Shape{{mp, values}} }
	number := []Field{{"RATE", 'N', 6, 2}}
	text := []Field{{"NAME", 'C', 4, 0}}
	many := make([]Field, 129)
	for _, c := range []struct {
		fields []Field
		shapes []Shape
		want   string
	}{
		{nil, nil, "0 fields; give 1 to 128"},
		{many, nil, "129 fields; give 1 to 128"},
		{[]Field{{"rate", 'N', 6, 2}}, nil, `the field name "rate"; use 1 to 10 characters A-Z, 0-9 or _, the first a letter`},
		{[]Field{{"ELEVENCHARS", 'N', 6, 2}}, nil, `the field name "ELEVENCHARS"`},
		{[]Field{{"1A", 'N', 6, 2}}, nil, `the field name "1A"`},
		{[]Field{{"", 'N', 6, 2}}, nil, `the field name ""`},
		{[]Field{{"A", 'N', 6, 2}, {"A", 'C', 6, 0}}, nil, "the field name A stands twice; rename one"},
		{[]Field{{"A", 'D', 8, 0}}, nil, "field A: type 'D' of length 8"},
		{[]Field{{"A", 'C', 255, 0}}, nil, "field A: type 'C' of length 255"},
		{[]Field{{"A", 'N', 19, 0}}, nil, "field A: type 'N' of length 19"},
		{[]Field{{"A", 'N', 3, 2}}, nil, "field A: type 'N' of length 3 with 2 decimals"},
		{number, one(ok), "shape 1 has 0 values for 1 fields; give one each"},
		{number, one(ok, math.NaN()), "shape 1: field RATE: NaN is not a number that can be written"},
		{number, one(ok, math.Inf(1)), "shape 1: field RATE: +Inf is not a number that can be written"},
		{number, one(ok, nil), "shape 1: field RATE: <nil> is not a number; give one"},
		{number, one(ok, "7"), "shape 1: field RATE: 7 is not a number; give one"},
		{number, one(ok, 1000), "shape 1: field RATE: 1000.00 needs 7 characters and the field has 6; widen it"},
		{number, one(ok, 999.995), "shape 1: field RATE: 1000.00 needs 7 characters"},
		{text, one(ok, 7), "shape 1: field NAME: 7 is not text; give a string"},
		{text, one(ok, "ZÖNE"), `shape 1: field NAME: "ZÖNE" has 5 bytes and the field 4; shorten it or widen the field`},
		{text, one(ok, "a\x00"), `shape 1: field NAME: "a\x00" holds a control character; remove it`},
		{text, one(ok, "\xff"), `shape 1: field NAME: "\xff" is not valid UTF-8; repair it`},
		{text, one(ok, "**"), `shape 1: field NAME: asterisks alone read as no value; write something else`},
		{text, one(nil, "a"), "shape 1: it has no polygon; leave it out, for a null shape is never written"},
		{text, one(orb.MultiPolygon{{}}, "a"), "shape 1: a polygon has no rings; leave it out"},
		{text, one(orb.MultiPolygon{{square(-93, 42, 1)[:4]}}, "a"), "shape 1: ring 1 has 4 points and is not a closed ring of four or more; close it by repeating its first point"},
		{text, one(orb.MultiPolygon{{{{0, 0}, {1, 1}, {2, 2}, {0, 0}}}}, "a"), "shape 1: ring 1 at (0, 0) has no area; leave it out"},
		{text, one(orb.MultiPolygon{{square(-181, 42, 1)}}, "a"), "shape 1: ring 1: (-181, 42) is not longitude and latitude in degrees; convert it first"},
		{text, one(orb.MultiPolygon{{square(0, math.NaN(), 1)}}, "a"), "is not a closed ring"},
	} {
		_, err := EncodeShapefile(c.fields, c.shapes, day)
		require.Error(t, err, c.want)
		assert.Contains(t, err.Error(), c.want)
		assert.True(t, strings.HasPrefix(err.Error(), "write shapefile: "), err)
	}
	_, err := EncodeShapefile(number, nil, time.Time{})
	assert.ErrorContains(t, err, "the year 1 does not fit a .dbf")
}

// Quantities are numbers too.
func TestWriterTakesQuantities(t *testing.T) {
	p, err := EncodeShapefile([]Field{{"AREA_M2", 'N', 10, 1}, {"N", 'N', 4, 0}}, []Shape{{orb.MultiPolygon{{square(-93, 42, 1)}}, []any{unit.Area(12.34), -7}}}, day)
	require.NoError(t, err)
	assert.Contains(t, string(p.DBF), "       12.3  -7")
}

func TestZipOfWrittenParts(t *testing.T) {
	p, err := EncodeShapefile(rateFields, threeRectangles(), day)
	require.NoError(t, err)
	first, err := p.Zip("WALNUT01")
	require.NoError(t, err)
	again, err := p.Zip("WALNUT01")
	require.NoError(t, err)
	assert.Equal(t, first, again)
	z, err := zip.NewReader(bytes.NewReader(first), int64(len(first)))
	require.NoError(t, err)
	var names []string
	for _, f := range z.File {
		names = append(names, f.Name)
		assert.Equal(t, 1980, f.Modified.Year())
		r, err := f.Open()
		require.NoError(t, err)
		b, err := io.ReadAll(r)
		require.NoError(t, err)
		assert.Equal(t, asParts(p)[filepath.Ext(f.Name)], b)
	}
	assert.Equal(t, []string{"WALNUT01.shp", "WALNUT01.shx", "WALNUT01.dbf", "WALNUT01.prj", "WALNUT01.cpg"}, names)
	l, err := readZip(t, first)
	require.NoError(t, err)
	assert.Len(t, l.Features, 3)
	for _, bad := range []string{"", "NINECHARS", "a b", "a.b", "_a", "ä", "../a"} {
		_, err := p.Zip(bad)
		assert.ErrorContains(t, err, "use 1 to 8 characters", bad)
	}
}

// drawShapes makes disjoint squares in a grid, some with holes, of any winding.
func drawShapes(t *rapid.T) []Shape {
	var shapes []Shape
	n := rapid.IntRange(0, 6).Draw(t, "shapes")
	for i := range n {
		var mp orb.MultiPolygon
		for k := range rapid.IntRange(1, 4).Draw(t, "polygons") {
			x := -93 + float64(i) + rapid.Float64Range(0, 0.1).Draw(t, "x")
			y := 40 + float64(k) + rapid.Float64Range(0, 0.1).Draw(t, "y")
			p := orb.Polygon{wound(square(x, y, 0.8), rapid.Bool().Draw(t, "ccw"))}
			for h := range rapid.IntRange(0, 3).Draw(t, "holes") {
				p = append(p, wound(square(x+0.1+0.2*float64(h), y+0.1, 0.15), rapid.Bool().Draw(t, "hole ccw")))
			}
			mp = append(mp, p)
		}
		rate := float64(rapid.IntRange(-99999, 99999).Draw(t, "rate")) / 100
		name := rapid.StringMatching(`[A-Za-z0-9éß]([A-Za-z0-9 éß*]{0,3}[A-Za-z0-9éß])?`).Draw(t, "name")
		shapes = append(shapes, Shape{mp, []any{rate, name}})
	}
	return shapes
}

// wantPolygons is what a shapefile holds of polygons: shells clockwise.
func wantPolygons(mp orb.MultiPolygon) orb.MultiPolygon {
	var out orb.MultiPolygon
	for _, p := range mp {
		var q orb.Polygon
		for i, r := range p {
			q = append(q, wound(r, i > 0))
		}
		out = append(out, q)
	}
	return out
}

// What is written comes back: by our reader to the last bit, and the same by go-shp.
func TestShapefileRoundTrip(t *testing.T) {
	folder := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		shapes := drawShapes(t)
		p, err := EncodeShapefile(rateFields, shapes, day)
		require.NoError(t, err)
		l, err := readParts(asParts(p))
		require.NoError(t, err)
		require.Empty(t, l.Notes)
		require.Len(t, l.Features, len(shapes))
		for i, f := range l.Features {
			require.Equal(t, wantPolygons(shapes[i].Polygons), f.Outline.Polygons())
			rate, ok := f.Attributes[0].Value.Number()
			require.True(t, ok)
			require.InDelta(t, shapes[i].Values[0].(float64), rate, 0.005)
			require.Equal(t, shapes[i].Values[1], f.Attributes[1].Value.String())
		}
		secondReader(t, folder, p, shapes)
	})
}

// secondReader reads the parts with go-shp and compares points and text.
func secondReader(t *rapid.T, folder string, p Parts, shapes []Shape) {
	for ext, b := range asParts(p) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, "out"+ext), b, 0o600))
	}
	r, err := shp.Open(filepath.Join(folder, "out.shp"))
	require.NoError(t, err)
	defer r.Close()
	require.EqualValues(t, shp.POLYGON, r.GeometryType)
	n := 0
	for r.Next() {
		i, shape := r.Shape()
		require.Equal(t, n, i)
		var want []shp.Point
		for _, polygon := range wantPolygons(shapes[i].Polygons) {
			for _, ring := range polygon {
				for _, q := range ring {
					want = append(want, shp.Point{X: q[0], Y: q[1]})
				}
			}
		}
		require.Equal(t, want, shape.(*shp.Polygon).Points)
		require.Equal(t, fmt.Sprintf("%.2f", shapes[i].Values[0]), r.ReadAttribute(i, 0))
		require.Equal(t, shapes[i].Values[1], r.ReadAttribute(i, 1))
		n++
	}
	require.NoError(t, r.Err())
	require.Equal(t, len(shapes), n)
}

// Files of another writer: go-shp v0.1.1, whose table lands in a file without the
// dot and whose values are padded with NUL.
func TestReadsFilesOfAnotherWriter(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "other.shp")
	w, err := shp.Create(path, shp.POLYGON)
	require.NoError(t, err)
	require.NoError(t, w.SetFields([]shp.Field{shp.StringField("NAME", 10), shp.FloatField("RATE", 12, 3), shp.NumberField("N", 5)}))
	for i := range 3 {
		var points [][]shp.Point
		for _, ring := range [][]orb.Point{square(-93+float64(i), 42, 0.9), square(-92.8+float64(i), 42.2, 0.2)} {
			var ps []shp.Point
			for _, q := range ring {
				ps = append(ps, shp.Point{X: q[0], Y: q[1]})
			}
			points = append(points, ps)
		}
		polygon := shp.Polygon(*shp.NewPolyLine(points)) // both rings clockwise
		w.Write(&polygon)
		require.NoError(t, w.WriteAttribute(i, 0, fmt.Sprint("z", i)))
		require.NoError(t, w.WriteAttribute(i, 1, 1.5*float64(i)))
		if i > 0 { // the first row has no value here
			require.NoError(t, w.WriteAttribute(i, 2, i))
		}
	}
	w.Close()
	require.NoError(t, os.Rename(filepath.Join(folder, "otherdbf"), filepath.Join(folder, "other.dbf")))
	l, err := Read(path, Options{})
	require.NoError(t, err)
	require.Len(t, l.Features, 3)
	for i, f := range l.Features {
		assert.Equal(t, orb.Polygon{square(-93+float64(i), 42, 0.9), square(-92.8+float64(i), 42.2, 0.2)}, f.Outline.Geometry())
		assert.Equal(t, fmt.Sprint("z", i), f.Attributes[0].Value.String())
		rate, ok := f.Attributes[1].Value.Number()
		assert.True(t, ok)
		assert.Equal(t, 1.5*float64(i), rate)
		assert.Equal(t, i == 0, f.Attributes[2].Value.IsNull())
	}
}
