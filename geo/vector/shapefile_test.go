package vector

import (
	"encoding/binary"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func square(x, y, size float64) []orb.Point {
	return []orb.Point{{x, y}, {x, y + size}, {x + size, y + size}, {x + size, y}, {x, y}}
}

func reversed(ring []orb.Point) []orb.Point { return wound(ring, signedArea(ring) < 0) }

var world = orb.Bound{Min: orb.Point{-94, 41}, Max: orb.Point{-92, 43}}

// oneLayer is a small polygon shapefile with two records, written by hand.
func oneLayer() map[string][]byte {
	shp, shx := buildSHP(5, world,
		partsContent(5, 0, square(-93, 42, 1), reversed(square(-92.8, 42.2, 0.5))),
		partsContent(5, 0, square(-93.5, 42, 0.1)))
	dbf := buildDBF(0, []string{"ZONE,C,6,0", "RATE,N,8,2"}, " A       180.50", " B        ****"+"*")
	return map[string][]byte{".shp": shp, ".shx": shx, ".dbf": dbf, ".prj": []byte(wgs84PRJ), ".cpg": []byte("UTF-8")}
}

func TestShapefileOfPolygons(t *testing.T) {
	l, err := Read(writeParts(t, oneLayer()), Options{})
	require.NoError(t, err)
	assert.Equal(t, "shapefile", l.Format)
	assert.Equal(t, "WGS84", l.Datum)
	assert.Empty(t, l.Notes)
	assert.Empty(t, l.Skipped)
	assert.Equal(t, []Column{{"ZONE", false, 0}, {"RATE", true, 2}}, l.Columns)
	require.Len(t, l.Features, 2)
	assert.Equal(t, orb.Polygon{square(-93, 42, 1), reversed(square(-92.8, 42.2, 0.5))}, l.Features[0].Outline.Geometry())
	assert.Equal(t, []Attribute{{"ZONE", NewText("A")}, {"RATE", Value{"180.50", KindNumber}}}, l.Features[0].Attributes)
	assert.Equal(t, []Attribute{{"ZONE", NewText("B")}, {"RATE", Value{}}}, l.Features[1].Attributes)
	assert.Equal(t, 2, l.Features[1].At.Record)
}

// Every type, its M form with and without measures, and its Z form with both and
// with heights alone.
func TestShapefileTypes(t *testing.T) {
	line := []orb.Point{{-93, 42}, {-92.5, 42.5}}
	zone := square(-93, 42, 0.5)
	multi := func(code int32, zm int) []byte {
		b := le(code, make([]float64, 4), int32(2), -93.0, 42.0, -92.5, 42.5)
		for range zm {
			b = append(b, le(0.0, 0.0, 1.0, 2.0)...)
		}
		return b
	}
	for _, c := range []struct {
		code    int32
		content []byte
		want    orb.Geometry
	}{
		{1, le(int32(1), -93.0, 42.0), orb.Point{-93, 42}},
		{11, le(int32(11), -93.0, 42.0, 300.0), orb.Point{-93, 42}},
		{11, le(int32(11), -93.0, 42.0, 300.0, -1e39), orb.Point{-93, 42}},
		{21, le(int32(21), -93.0, 42.0), orb.Point{-93, 42}},
		{21, le(int32(21), -93.0, 42.0, math.NaN()), orb.Point{-93, 42}},
		{3, partsContent(3, 0, line), orb.LineString(line)},
		{13, partsContent(13, 1, line), orb.LineString(line)},
		{13, partsContent(13, 2, line, line), orb.MultiLineString{line, line}},
		{23, partsContent(23, 0, line), orb.LineString(line)},
		{23, partsContent(23, 1, line), orb.LineString(line)},
		{5, partsContent(5, 0, zone), orb.Polygon{zone}},
		{15, partsContent(15, 1, zone), orb.Polygon{zone}},
		{15, partsContent(15, 2, zone), orb.Polygon{zone}},
		{25, partsContent(25, 0, zone), orb.Polygon{zone}},
		{25, partsContent(25, 1, zone), orb.Polygon{zone}},
		{8, multi(8, 0), orb.MultiPoint(line)},
		{18, multi(18, 1), orb.MultiPoint(line)},
		{18, multi(18, 2), orb.MultiPoint(line)},
		{28, multi(28, 0), orb.MultiPoint(line)},
		{28, multi(28, 1), orb.MultiPoint(line)},
	} {
		shp, _ := buildSHP(c.code, world, c.content, le(int32(0)), c.content)
		l, err := Read(writeParts(t, map[string][]byte{".shp": shp}), Options{})
		require.NoError(t, err, c.code)
		require.Len(t, l.Features, 2)
		assert.Equal(t, c.want, l.Features[0].Outline.Geometry(), c.code)
		assert.Equal(t, c.want, l.Features[1].Outline.Geometry(), c.code)
		assert.Equal(t, 3, l.Features[1].At.Record)
		assert.Equal(t, map[string]int{SkippedNull: 1}, l.Skipped)
		assert.Empty(t, l.Features[0].Attributes)
		require.Len(t, l.Notes, 3)
		assert.Contains(t, l.Notes[0], "has no .dbf: the features have no attributes")
		assert.Contains(t, l.Notes[1], "has no .shx: its records were read in file order")
		assert.Contains(t, l.Notes[2], "has no .prj: its coordinates were taken as longitude and latitude on WGS 84")
	}
}

// Holes are told by containment: in any order and turning any way.
func TestShapefileHoles(t *testing.T) {
	outer, hole, island := square(0, 0, 10), square(2, 2, 6), square(4, 4, 2)
	touching := []orb.Point{{0, 0}, {0, 1}, {1, 1}, {0, 0}} // shares an edge and a vertex with outer
	other := square(20, 0, 1)
	rings := [][]orb.Point{outer, hole, island, touching, other}
	for turn := range 1 << len(rings) {
		for shift := range rings {
			var parts [][]orb.Point
			for i := range rings {
				k := (i + shift) % len(rings)
				r := rings[k]
				if turn>>k&1 == 1 {
					r = reversed(r)
				}
				parts = append(parts, r)
			}
			g, f := decodeShape(5, partsContent(5, 0, parts...))
			require.Nil(t, f)
			holes := map[orb.Point][]orb.Point{}
			for _, p := range g.(orb.MultiPolygon) {
				holes[p[0][0]] = []orb.Point{}
				for _, h := range p[1:] {
					holes[p[0][0]] = append(holes[p[0][0]], h.Bound().Center())
				}
			}
			require.Len(t, holes, 3)
			assert.ElementsMatch(t, []orb.Point{{5, 5}, {0.5, 0.5}}, holes[orb.Point{0, 0}])
			assert.Empty(t, holes[orb.Point{4, 4}])
			assert.Empty(t, holes[orb.Point{20, 0}])
		}
	}
}

// A box inside another says nothing: the small square stands in the bay of the L.
func TestShapefileRingInABay(t *testing.T) {
	bay := []orb.Point{{0, 0}, {0, 10}, {2, 10}, {2, 2}, {10, 2}, {10, 0}, {0, 0}}
	g, f := decodeShape(5, partsContent(5, 0, bay, square(5, 5, 2), square(2, 2, 1)))
	require.Nil(t, f)
	assert.Equal(t, orb.MultiPolygon{{bay}, {square(5, 5, 2)}, {square(2, 2, 1)}}, g)
}

// A hole may touch its shell with every vertex.
func TestShapefileHoleThatTouches(t *testing.T) {
	shell, hole := square(0, 0, 2), []orb.Point{{1, 0}, {2, 1}, {1, 2}, {0, 1}, {1, 0}}
	g, f := decodeShape(5, partsContent(5, 0, hole, shell))
	require.Nil(t, f)
	assert.Equal(t, orb.Polygon{shell, hole}, g)
}

// A record is held as a whole, and so must not be endless.
func TestShapefileRecordBounded(t *testing.T) {
	const size = 100 + 8 + maxContent + 4
	path := writeFile(t, "zones.shp", nil)
	shp, _ := buildSHP(5, world, le(int32(5)))
	binary.BigEndian.PutUint32(shp[24:], size/2)
	binary.BigEndian.PutUint32(shp[104:], (maxContent+4)/2)
	require.NoError(t, writeTo(path, shp))
	require.NoError(t, os.Truncate(path, size))
	_, err := Read(path, Options{})
	require.Error(t, err)
	assert.Equal(t, "zones.shp: record 1: its content has 64 MiB, and no more than 64 are read; split or simplify the shape", messageOf(t, err))
}

// A content that is longer or shorter than its counts need is refused, as is a
// point that is not a number.
func TestShapefileContentFits(t *testing.T) {
	zone := square(-93, 42, 1)
	for _, code := range []int32{5, 15, 25} {
		b := partsContent(code, 2, zone)
		allowed := map[int]bool{128: code != 15, 128 + 56: code != 5, 128 + 112: code == 15}
		for n := 4; n <= len(b); n++ {
			_, f := decodeShape(code, b[:n])
			assert.Equal(t, !allowed[n], f != nil, "type %d with %d bytes", code, n)
		}
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, f := decodeShape(1, le(int32(1), v, 42.0))
		require.NotNil(t, f)
		assert.Contains(t, f.what, "which is not a number")
	}
	for _, b := range [][]byte{le(int32(1), -93.0, 42.0, int32(0)), le(int32(1), -93.0), le(int32(0), int32(0))} {
		_, f := decodeShape(1, b)
		require.NotNil(t, f)
		assert.Contains(t, f.what, "its content has")
	}
}

func TestShapefileRefusals(t *testing.T) {
	word := func(at int, v uint32) func([]byte) {
		return func(b []byte) { binary.BigEndian.PutUint32(b[at:], v) }
	}
	little := func(at int, v int32) func([]byte) {
		return func(b []byte) { binary.LittleEndian.PutUint32(b[at:], uint32(v)) }
	}
	const rec, rec2 = 100, 100 + 8 + 44 + 8 + 160 // where the records begin
	for _, c := range []struct {
		ext    string
		change func([]byte)
		want   string
	}{
		{".shp", word(0, 9995), "zones.shp: header: the file code is 9995, not 9994; give a shapefile"},
		{".shp", little(28, 999), "zones.shp: header: the version is 999, not 1000; export it again"},
		{".shp", little(32, 31), "zones.shp: header: the shapes are MultiPatch surfaces; export them as polygons"},
		{".shp", little(32, 7), "zones.shp: header: 7 is no shape type; export it again"},
		{".shp", little(32, 3), "zones.shp: record 1: its shape type is 5 in a file of type 3; export the layer again with one type of shape"},
		{".shp", word(24, 1<<30), "zones.shp: header: the header says 2147483648 bytes and the file has 456; copy or export it again"},
		{".shp", word(24, 0xffffffff), "zones.shp: header: the header says -2 bytes and the file has 456; copy or export it again"},
		{".shp", word(rec+4, 0x7fffffff), "zones.shp: record 1: its content is given as 4294967294 bytes and the file has only 348 more; copy or export the file again"},
		{".shp", word(rec+4, 0xffffffff), "zones.shp: record 1: its content is given as -2 bytes; copy or export the file again"},
		{".shp", word(rec+4, 1), "zones.shp: record 1: its content is given as 2 bytes; copy or export the file again"},
		{".shp", word(rec+4, 107), "zones.shp: record 1: its content is given as 214 bytes, and by the .shx as 212; remove the .shx to read in file order, or export the layer again"},
		{".shp", little(rec+8+36, -1), "zones.shp: record 1: it counts -1 parts and 10 points; copy or export the file again"},
		{".shp", little(rec+8+36, math.MaxInt32), "zones.shp: record 1: it counts 2147483647 parts and 10 points; copy or export the file again"},
		{".shp", little(rec+8+40, math.MaxInt32), "zones.shp: record 1: its content has 212 bytes and its counts need 34359738404; copy or export the file again"},
		{".shp", little(rec+8+40, -5), "zones.shp: record 1: it counts 2 parts and -5 points; copy or export the file again"},
		{".shp", little(rec+8+44, 1), "zones.shp: record 1: part 1 begins at point 1 of 10; copy or export the file again"},
		{".shp", little(rec+8+48, -7), "zones.shp: record 1: part 2 begins at point -7 of 10; copy or export the file again"},
		{".shp", little(rec+8+48, 10), "zones.shp: record 1: part 2 begins at point 10 of 10; copy or export the file again"},
		{".shp", little(rec+8+48, 7), "zones.shp: record 1: ring 1 is not closed: it starts at (-93, 42) and ends at (-92.3, 42.2); close it by repeating its first point"},
		{".shp", func(b []byte) { copy(b[rec2+8+44+4:], le(math.NaN())) }, "zones.shp: record 2: point 1 is (NaN, 42), which is not a number; repair or remove it"},
		{".shp", func(b []byte) { copy(b[rec2+8+44+4+16:], le(-500.0)) }, "zones.shp: record 2: ring 1: point 2 is (-500, 42.1): these look like metres or feet, not degrees; name the coordinate system of the file"},
		{".shx", word(24, 57), "zones.shx: header: the header says 114 bytes and the file has 116; remove the .shx to read in file order, or export the layer again"},
		{".shx", word(100, 3), "zones.shx: record 1: it points at byte 6 of the .shp, whose records lie in 100 to 456; remove the .shx to read in file order, or export the layer again"},
		{".shx", word(108, 0x7ffffff0), "zones.shx: record 2: it points at byte 4294967264 of the .shp, whose records lie in 100 to 456; remove the .shx to read in file order, or export the layer again"},
		{".shx", func(b []byte) { copy(b[108:116], b[100:108]) }, "zones.shp: record 2: the .shx points at records more than once; remove the .shx to read in file order, or export the layer again"},
		{".dbf", func(b []byte) { b[0] = 0x30 }, "zones.dbf: header: the first byte is 0x30, and a dBASE III table begins with 0x03; export it again as dBASE III"},
		{".dbf", func(b []byte) { b[4] = 9 }, "zones.dbf: header: the header says 9 rows of 15 bytes and the file has 128 bytes; copy or export it again"},
		{".dbf", func(b []byte) { b[7] = 0xff }, "zones.dbf: header: the header says 4278190082 rows of 15 bytes and the file has 128 bytes; copy or export it again"},
		{".dbf", func(b []byte) { b[4] = 1 }, "zones.dbf: it has 1 rows and the .shp more shapes, and row belongs to shape by number; export the layer again"},
		{".dbf", func(b []byte) { b[9] = 0xff }, "zones.dbf: header: the header is given as 65377 bytes and the file has 128; copy or export it again"},
		{".dbf", func(b []byte) { b[10] = 0 }, "zones.dbf: header: a row is given as no bytes; copy or export it again"},
		{".dbf", func(b []byte) { b[32+16] = 7 }, "zones.dbf: header: the widths of its columns do not add up to rows of 15 bytes; copy or export it again"},
		{".dbf", func(b []byte) { b[96] = ' ' }, "zones.dbf: header: the columns have no end mark; copy or export it again"},
		{".dbf", func(b []byte) { b[32] = 0 }, "zones.dbf: header: column 1 has no name; copy or export it again"},
		{".dbf", func(b []byte) { b[97] = 'x' }, `zones.dbf: row 1: it begins with 'x', neither a blank nor the mark of a deleted row; copy or export it again`},
		{".prj", func(b []byte) { b[0] = 'X' }, "zones.shp: .prj: "},
	} {
		parts := oneLayer()
		c.change(parts[c.ext])
		_, err := Read(writeParts(t, parts), Options{})
		require.Error(t, err, c.want)
		if strings.HasSuffix(c.want, ": ") {
			assert.Contains(t, messageOf(t, err), c.want)
			continue
		}
		assert.Equal(t, c.want, messageOf(t, err))
	}
}

// Cut short at any byte, a part is an error; only the end mark of the .dbf may go,
// and text may end early in a .cpg, which then names another page.
func TestShapefileCutAnywhere(t *testing.T) {
	for ext, whole := range oneLayer() {
		for n := range len(whole) {
			if ext == ".dbf" && n == len(whole)-1 || ext == ".cpg" || ext == ".prj" && n == 0 {
				continue
			}
			parts := oneLayer()
			parts[ext] = whole[:n]
			_, err := readParts(parts)
			require.Error(t, err, "%s cut at %d", ext, n)
			messageOf(t, err)
		}
	}
	// Without the index the file order is all there is.
	whole := oneLayer()[".shp"]
	for n := range len(whole) {
		for _, lie := range []bool{false, true} {
			cut := append([]byte(nil), whole[:n]...)
			if lie && n >= 100 && n%2 == 0 {
				binary.BigEndian.PutUint32(cut[24:], uint32(n/2))
			}
			l, err := readParts(map[string][]byte{".shp": cut})
			if err == nil {
				// A length that lies right between two records cannot be told from a
				// shorter file.
				require.True(t, lie && (n == 100 || n == 320), "cut at %d", n)
				require.Len(t, l.Features, map[int]int{100: 0, 320: 1}[n])
				continue
			}
			messageOf(t, err)
		}
	}
}

// Any byte changed: an error or a result, never a panic and never much memory.
func TestShapefileAnyByteChanged(t *testing.T) {
	for _, ext := range []string{".shp", ".shx", ".dbf"} {
		for at := range len(oneLayer()[ext]) {
			for _, v := range []byte{0x00, 0x7f, 0x80, 0xff} {
				parts := oneLayer()
				parts[ext][at] = v
				var before, after runtime.MemStats
				runtime.ReadMemStats(&before)
				_, err := readParts(parts)
				runtime.ReadMemStats(&after)
				if err != nil {
					messageOf(t, err)
				}
				assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(128<<10), "%s: byte %d is %#x", ext, at, v)
			}
		}
	}
}

// A record that was moved to the end of the file when it grew: the index tells.
func TestShapefileFollowsTheIndex(t *testing.T) {
	a, b, stale := partsContent(5, 0, square(-93, 42, 1)), partsContent(5, 0, square(-93.5, 42, 0.1)), partsContent(5, 0, square(-93.9, 42, 0.1))
	shp, shx := buildSHP(5, world, stale, b, a)
	entry := func(i int) []byte { return append([]byte(nil), shx[100+8*i:108+8*i]...) }
	index := append(append(append([]byte(nil), shx[:100]...), entry(2)...), entry(1)...)
	binary.BigEndian.PutUint32(index[24:], uint32(len(index)/2))
	l, err := Read(writeParts(t, map[string][]byte{".shp": shp, ".shx": index, ".prj": []byte(wgs84PRJ)}), Options{})
	require.NoError(t, err)
	require.Len(t, l.Features, 2)
	assert.Equal(t, orb.Polygon{square(-93, 42, 1)}, l.Features[0].Outline.Geometry())
	assert.Equal(t, orb.Polygon{square(-93.5, 42, 0.1)}, l.Features[1].Outline.Geometry())
}

func TestShapefileRowsAndShapesMustAgree(t *testing.T) {
	for rows, want := range map[int]string{
		1: "zones.dbf: it has 1 rows and the .shp more shapes, and row belongs to shape by number; export the layer again",
		3: "zones.dbf: it has 3 rows and the .shp 2 shapes, and row belongs to shape by number; export the layer again",
	} {
		for _, index := range []bool{true, false} {
			parts := oneLayer()
			parts[".dbf"] = buildDBF(0, []string{"Z,C,1,0"}, []string{" A", " B", " C"}[:rows]...)
			if !index {
				delete(parts, ".shx")
			}
			path := writeParts(t, parts)
			if index { // then it is known before the first feature
				_, err := Open(path, Options{})
				require.Error(t, err)
			}
			_, err := Read(path, Options{})
			require.Error(t, err)
			assert.Equal(t, want, messageOf(t, err))
		}
	}
}

func TestShapefileSystem(t *testing.T) {
	// NAD83 / UTM zone 15N: a point on its central meridian, 93 degrees west, near 42
	// north.
	shp, _ := buildSHP(1, orb.Bound{Min: orb.Point{500000, 4650000}, Max: orb.Point{500000, 4650000}}, le(int32(1), 500000.0, 4650000.0))
	_, err := Read(writeParts(t, map[string][]byte{".shp": shp}), Options{})
	require.Error(t, err)
	assert.Equal(t, "zones.shp: there is no .prj, and the coordinates from (500000, 4.65e+06) to (500000, 4.65e+06) are not degrees; add the .prj, or name the coordinate system of the file", messageOf(t, err))

	l, err := Read(writeParts(t, map[string][]byte{".shp": shp}), Options{CRS: "EPSG:26915"})
	require.NoError(t, err)
	assert.Equal(t, "NAD83", l.Datum)
	p := l.Features[0].Outline.Geometry().(orb.Point)
	assert.InDelta(t, -93, p[0], 1e-9)
	assert.InDelta(t, 42, p[1], 0.01)

	_, err = Read(writeParts(t, map[string][]byte{".shp": shp, ".prj": []byte(wgs84PRJ)}), Options{CRS: "EPSG:26915"})
	require.Error(t, err, "the .prj holds, whatever the option says")
	assert.Contains(t, messageOf(t, err), "zones.shp: record 1: point 1 is (500000, 4.65e+06): these look like metres or feet, not degrees")

	// An angle need not be in degrees: 100 grads are 90 degrees.
	grads, _ := buildSHP(1, world, le(int32(1), -100.0, 50.0))
	l, err = Read(writeParts(t, map[string][]byte{".shp": grads, ".prj": []byte(strings.Replace(wgs84PRJ, `"Degree",0.0174532925199433`, `"Grad",0.015707963267948967`, 1))}), Options{})
	require.NoError(t, err)
	p = l.Features[0].Outline.Geometry().(orb.Point)
	assert.InDelta(t, -90, p[0], 1e-12)
	assert.InDelta(t, 45, p[1], 1e-12)

	// Degrees under a projected .prj.
	utm := `PROJCS["NAD_1983_UTM_Zone_15N",GEOGCS["GCS_North_American_1983",DATUM["D_North_American_1983",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",-93.0],PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]`
	degrees, _ := buildSHP(1, world, le(int32(1), -93.0, 42.0))
	_, err = Read(writeParts(t, map[string][]byte{".shp": degrees, ".prj": []byte(utm)}), Options{})
	require.Error(t, err)
	assert.Contains(t, messageOf(t, err), "zones.shp: record 1: (-93, 42) look like degrees")
}

func TestShapefileSiblingsInAnyCase(t *testing.T) {
	folder := t.TempDir()
	for ext, b := range oneLayer() {
		require.NoError(t, os.WriteFile(filepath.Join(folder, "Zones"+strings.ToUpper(ext)), b, 0o600))
	}
	other := buildDBF(0, []string{"WRONG,C,1,0"}, " x", " y")
	require.NoError(t, os.WriteFile(filepath.Join(folder, "zones.dbf"), other, 0o600))
	l, err := Read(filepath.Join(folder, "Zones.SHP"), Options{})
	require.NoError(t, err)
	assert.Empty(t, l.Notes)
	assert.Equal(t, "ZONE", l.Columns[0].Name, "the sibling that spells the name as the .shp does goes first")
}

// readParts reads a shapefile from memory.
func readParts(parts map[string][]byte) (Layer, error) {
	set := shapefileParts{}
	for ext, b := range parts {
		set[ext] = func() (*stream, error) { return newStream("zones"+ext, int64(len(b)), memory(b)), nil }
	}
	r := &Reader{head: Layer{Path: "zones.shp", Skipped: map[string]int{}}}
	if err := r.openShapefile(set, Options{}); err != nil {
		return Layer{}, err
	}
	return r.all()
}

func TestShapefileOfALongRecord(t *testing.T) {
	// Longer than the window, so that it comes in steps.
	const n = 200_000
	ring := make([]orb.Point, 0, n+1)
	for i := range n {
		a := -2 * math.Pi * float64(i) / n
		ring = append(ring, orb.Point{-93 + 0.5*math.Cos(a), 42 + 0.5*math.Sin(a)})
	}
	ring = append(ring, ring[0])
	shp, shx := buildSHP(5, world, partsContent(5, 0, ring), partsContent(5, 0, square(-93, 42, 1)))
	l, err := Read(writeParts(t, map[string][]byte{".shp": shp, ".shx": shx}), Options{})
	require.NoError(t, err)
	require.Len(t, l.Features, 2)
	assert.Equal(t, orb.Polygon{ring}, l.Features[0].Outline.Geometry())
	assert.Equal(t, orb.Polygon{square(-93, 42, 1)}, l.Features[1].Outline.Geometry())
}
