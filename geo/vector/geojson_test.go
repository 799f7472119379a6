package vector

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// writeFile puts content into a temporary file and returns its path.
func writeFile(t testing.TB, name string, content []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, content, 0o600))
	return path
}

func readText(t testing.TB, text string) (Layer, error) {
	t.Helper()
	return Read(writeFile(t, "in.geojson", []byte(text)), Options{})
}

// messageOf returns an error's message with the temporary folder cut off.
func messageOf(t testing.TB, err error) string {
	t.Helper()
	var ie *InputError
	require.ErrorAs(t, err, &ie)
	e := *ie
	e.File = filepath.Base(e.File)
	return e.Error()
}

func TestGeoJSONFeatures(t *testing.T) {
	l, err := readText(t, `{"type":"FeatureCollection","features":[
		{"type":"Feature","id":7,"properties":{"ZONE":"A","N":180.50,"wet":true,"none":null,"list":[1, {"a":2}]},
		 "geometry":{"coordinates":[[[-93,42],[-93,42.1],[-92.9,42.1],[-93,42]]],"type":"Polygon"}},
		{"type":"Feature","properties":null,"geometry":null},
		{"type":"Feature","properties":{"id":"own"},"geometry":{"type":"Point","coordinates":[-93.5,42.25,310.2]}},
		{"type":"Feature","properties":{},"geometry":{"type":"MultiPolygon","coordinates":[]}}
	]}`)
	require.NoError(t, err)
	assert.Equal(t, "GeoJSON", l.Format)
	assert.Equal(t, "WGS84", l.Datum)
	assert.Equal(t, map[string]int{SkippedNull: 2}, l.Skipped)
	require.Len(t, l.Features, 2)
	f := l.Features[0]
	assert.Equal(t, []Attribute{
		{"ZONE", Value{"A", KindText}},
		{"N", Value{"180.50", KindNumber}},
		{"wet", Value{"true", KindBool}},
		{"none", Value{"", KindNull}},
		{"list", Value{`[1, {"a":2}]`, KindJSON}},
		{"id", Value{"7", KindNumber}},
	}, f.Attributes)
	// The other winding is accepted and kept as read.
	assert.Equal(t, orb.Polygon{{{-93, 42}, {-93, 42.1}, {-92.9, 42.1}, {-93, 42}}}, f.Outline.Geometry())
	assert.Equal(t, 3, l.Features[1].At.Record)
	assert.Equal(t, orb.Point{-93.5, 42.25}, l.Features[1].Outline.Geometry())
	v, ok := l.Features[1].Get("ID")
	require.True(t, ok)
	assert.Equal(t, "own", v.String())
	n, _ := f.Get("N")
	num, ok := n.Number()
	assert.True(t, ok)
	assert.Equal(t, 180.5, num)
	assert.Equal(t, []Column{
		{"ZONE", false, 0}, {"N", true, 2}, {"wet", false, 0}, {"none", false, 0}, {"list", false, 0}, {"id", false, 0},
	}, l.Columns)
}

const oneSquare = `{"type":"Polygon","coordinates":[[[-93,42],[-92.9,42],[-92.9,42.1],[-93,42]]]}`

func collection(features string) string {
	return `{"type":"FeatureCollection","features":[` + features + `]}`
}

func feature(geometry string) string {
	return `{"type":"Feature","properties":{},"geometry":` + geometry + `}`
}

func TestGeoJSONTypes(t *testing.T) {
	for geometry, want := range map[string]orb.Geometry{
		`{"type":"Point","coordinates":[1,2]}`:                                   orb.Point{1, 2},
		`{"type":"MultiPoint","coordinates":[[1,2],[3,4,5,6]]}`:                  orb.MultiPoint{{1, 2}, {3, 4}},
		`{"type":"LineString","coordinates":[[1,2],[3,4]]}`:                      orb.LineString{{1, 2}, {3, 4}},
		`{"type":"MultiLineString","coordinates":[[[1,2],[3,4]],[[5,6],[7,8]]]}`: orb.MultiLineString{{{1, 2}, {3, 4}}, {{5, 6}, {7, 8}}},
		`{"type":"Polygon","coordinates":[[[0,0],[9,0],[0,9],[0,0]],[[1,1],[1,2],[2,1],[1,1]]]}`: orb.Polygon{
			{{0, 0}, {9, 0}, {0, 9}, {0, 0}}, {{1, 1}, {1, 2}, {2, 1}, {1, 1}},
		},
		`{"type":"MultiPolygon","coordinates":[[[[0,0],[9,0],[0,9],[0,0]]],[[[10,10],[11,10],[10,11],[10,10]]]]}`: orb.MultiPolygon{
			{{{0, 0}, {9, 0}, {0, 9}, {0, 0}}}, {{{10, 10}, {11, 10}, {10, 11}, {10, 10}}},
		},
		`{"type":"GeometryCollection","geometries":[` + oneSquare + `,null,{"type":"GeometryCollection","geometries":[{"type":"MultiPolygon","coordinates":[[[[0,0],[9,0],[0,9],[0,0]]]]}]}]}`: orb.MultiPolygon{
			{{{-93, 42}, {-92.9, 42}, {-92.9, 42.1}, {-93, 42}}}, {{{0, 0}, {9, 0}, {0, 9}, {0, 0}}},
		},
	} {
		for _, text := range []string{
			collection(feature(geometry)), feature(geometry), geometry, "\xef\xbb\xbf" + feature(geometry) + "\r\n",
			`{"features":[` + feature(geometry) + `],"bbox":[0,0,1,1],"type":"FeatureCollection","x":{"y":[true]}}`,
		} {
			l, err := readText(t, text)
			require.NoError(t, err, text)
			require.Len(t, l.Features, 1, text)
			assert.Equal(t, want, l.Features[0].Outline.Geometry(), text)
			assert.Equal(t, 1, l.Features[0].At.Record)
		}
	}
}

// Each message names the file, the place, what is wrong and what to do.
func TestGeoJSONRefusals(t *testing.T) {
	good := feature(oneSquare)
	for text, want := range map[string]string{
		``:                                       "in.geojson: the file is empty; export it again",
		`[1]`:                                    "in.geojson: line 1, column 1: the file does not begin with a GeoJSON object; give a FeatureCollection in braces",
		"\xff\xfe{":                              "in.geojson: the file is UTF-16; save it as UTF-8",
		"\xff\xfe{\x00":                          "in.geojson: the file is UTF-16; save it as UTF-8",
		"\xff\xfe\x00\x00{\x00\x00\x00":          "in.geojson: the file is UTF-32; save it as UTF-8",
		"\x00\x00\xfe\xff\x00\x00\x00{":          "in.geojson: the file is UTF-32; save it as UTF-8",
		`{}`:                                     "in.geojson: the outermost object has no type; give a FeatureCollection",
		`{"type":"Topology","arcs":[]}`:          `in.geojson: the outermost object is a "Topology"; give a FeatureCollection, a Feature or a geometry`,
		`{"type":"FeatureCollection"}`:           "in.geojson: the FeatureCollection has no features; export it again",
		collection(good) + "§x":                  `in.geojson: line 1, column §: something follows the GeoJSON object; keep one object to a file`,
		collection(good + ",\n" + good + "\n x"): `in.geojson: line 3, column 2: 'x' stands where ',' or ']' is due; repair the JSON`,
		collection(good + "," + feature(`{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,0]],[[0,0],[1,0],[1,1],[0,1]]]}`)): "in.geojson: feature 2: ring 2 is not closed: it starts at (0, 0) and ends at (0, 1); close it by repeating its first point",
		collection(feature(`{"type":"Polygon","coordinates":[[[0,0],[1,0],[0,0]]]}`)):                                              "in.geojson: feature 1: ring 1 has 3 points at (0, 0), and a ring needs four, the last equal to the first; remove it or draw it again",
		collection(feature(`{"type":"MultiPolygon","coordinates":[[[[0,0],[1,0],[1,1],[0,0]]],[[[5,5],[6,5],[6,6],[6,7]]]]}`)):     "in.geojson: feature 1: ring 1 of polygon 2 is not closed: it starts at (5, 5) and ends at (6, 7); close it by repeating its first point",
		collection(feature(`{"type":"LineString","coordinates":[[1,2]]}`)):                                                         "in.geojson: feature 1: the line has fewer than two points; give it two or make it a point",
		collection(feature(`{"type":"Point","coordinates":[1]§}`)):                                                                 "in.geojson: feature 1, line 1, column §: a position has one number; give longitude and latitude",
		collection(feature(`{"type":"Point","coordinates":[§"1","2"]}`)):                                                           `in.geojson: feature 1, line 1, column §: '"' stands where a number is due; repair the JSON`,
		collection(feature(`{"type":"Point","coordinates":[1,§null]}`)):                                                            `in.geojson: feature 1, line 1, column §: 'n' stands where a number is due; repair the JSON`,
		collection(feature(`{"type":"Point","coordinates":[1,1e999§]}`)):                                                           `in.geojson: feature 1, line 1, column §: "1e999" is beyond all numbers; repair the coordinate`,
		collection(feature(`{"type":"Point","coordinates":[[1,2]]}§`)):                                                             "in.geojson: feature 1, line 1, column §: the coordinates of a Point are nested 2 deep, not 1; repair the brackets",
		collection(feature(`{"type":"Point","coordinates":[42.1,-93.5]}`)):                                                         "in.geojson: feature 1: point 1 is (42.1, -93.5): longitude and latitude look swapped; write longitude first",
		collection(feature(`{"type":"Point","coordinates":[448262.1,4652000]}`)):                                                   "in.geojson: feature 1: point 1 is (448262.1, 4.652e+06): these look like metres or feet, not degrees; name the coordinate system of the file",
		collection(feature(`{"type":"Polygon","coordinates":[[]§]}`)):                                                              "in.geojson: feature 1, line 1, column §: the coordinates hold an empty list; remove it",
		collection(feature(`{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,0]],[§1,2]]}`)):                                 `in.geojson: feature 1, line 1, column §: '1' stands where a position in brackets is due; repair the JSON`,
		collection(feature(`{"type":"Circle","coordinates":[1,2]}§`)):                                                              `in.geojson: feature 1, line 1, column §: "Circle" is no type of geometry; use points, lines or polygons`,
		collection(feature(`{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[1,2]}]}§`)):                  "in.geojson: feature 1, line 1, column §: a GeometryCollection holds a Point, and only collections of polygons are read; make each part a feature of its own",
		collection(`{"type":"Feature","properties":{"a":1,"a":§2},"geometry":null}`):                                               `in.geojson: feature 1, line 1, column §: the property "a" stands twice; keep one`,
		collection(`{"type":"Feature","properties":{"a":1,§},"geometry":null}`):                                                    `in.geojson: feature 1, line 1, column §: a comma stands before '}'; remove it`,
		collection(`{"type":"Feature","properties":{"a":§NaN},"geometry":null}`):                                                   `in.geojson: feature 1, line 1, column §: 'N' stands where a number is due; repair the JSON`,
		collection(`{"type":"Feature","properties":§[],"geometry":null}`):                                                          `in.geojson: feature 1, line 1, column §: the properties are not an object; write them in braces, or null`,
		collection(`{"type":"Feature","properties":{}}`):                                                                           `in.geojson: feature 1: the feature has no geometry; write "geometry": null where it has no place`,
		collection(`{"type":"Feature","geometry":null,"geometry":§null}`):                                                          `in.geojson: feature 1, line 1, column §: the member geometry stands twice; keep one`,
		collection("{\"type\":\"Feature\",\"properties\":{\"a\":\"x§\n\"},\"geometry\":null}"):                                     `in.geojson: feature 1, line 1, column §: a text holds a control character; escape it or close the text with a quote`,
		collection("{\"type\":\"Feature\",\"properties\":{\"a\":\"x\xe9§\"},\"geometry\":null}"):                                   `in.geojson: feature 1, line 1, column §: a text is not valid UTF-8; save the file as UTF-8`,
		collection(`{"type":"Feature","properties":{"a":"C:\data"§},"geometry":null}`):                                             `in.geojson: feature 1, line 1, column §: a text holds an escape that JSON does not have; write \\ for a backslash`,
		collection(oneSquare): `in.geojson: feature 1: its type is "Polygon"; give each element of features the type "Feature"`,
		collection(`§7`):      `in.geojson: feature 1, line 1, column §: '7' stands where '{' is due; repair the JSON`,
	} {
		// The sign stands in front of the byte whose column the message names.
		text, want := text, want
		if i := strings.Index(text, "§"); i >= 0 {
			text = strings.Replace(text, "§", "", 1)
			want = strings.Replace(want, "§", strconv.Itoa(i+1), 1)
		}
		_, err := readText(t, text)
		require.Error(t, err, text)
		assert.Equal(t, want, messageOf(t, err), text)
	}
}

// An old crs member counts wherever it stands; see crs.ParseName for the names.
func TestGeoJSONOldCRS(t *testing.T) {
	utm := `"crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::26915"}}`
	point := feature(`{"type":"Point","coordinates":[448262.080078,4652000]}`)
	for _, text := range []string{
		`{"type":"FeatureCollection",` + utm + `,"features":[` + point + `]}`,
		`{"type":"FeatureCollection","features":[` + point + `],` + utm + `}`,
		`{"type":"FeatureCollection","crs":{"type":"EPSG","properties":{"code":26915}},"features":[` + point + `]}`,
	} {
		l, err := readText(t, text)
		require.NoError(t, err, text)
		assert.Equal(t, "NAD83", l.Datum)
		p := l.Features[0].Outline.Geometry().(orb.Point)
		assert.InDelta(t, -93.625, p[0], 0.01)
		assert.InDelta(t, 42.02, p[1], 0.01)
	}
	// The option serves only a file that says nothing.
	path := writeFile(t, "p.json", []byte(collection(point)))
	l, err := Read(path, Options{CRS: "EPSG:26915"})
	require.NoError(t, err)
	assert.Equal(t, "NAD83", l.Datum)
	path = writeFile(t, "p.json", []byte(`{"crs":{"type":"name","properties":{"name":"EPSG:4326"}},`+collection(feature(oneSquare))[1:]))
	l, err = Read(path, Options{CRS: "EPSG:26915"})
	require.NoError(t, err)
	assert.Equal(t, "WGS84", l.Datum)

	for text, want := range map[string]string{
		`{"crs":{"type":"link"},"type":"FeatureCollection","features":[]}`:                              `crs: the crs member names no system`,
		`{"crs":7,"type":"FeatureCollection","features":[]}`:                                            `crs: the crs member cannot be understood`,
		`{"\u0063rs":{},"type":"FeatureCollection","features":[]}`:                                      `the member crs is spelled with escapes`,
		collection(`{"type":"Feature","crs":{},"properties":{},"geometry":null}`):                       `a crs stands inside the features; declare one for the whole file`,
		`{"crs":{"type":"name","properties":{"name":"mine"}},"type":"FeatureCollection","features":[]}`: `"mine" is not a known name`,
	} {
		_, err := readText(t, text)
		require.Error(t, err, text)
		assert.Contains(t, messageOf(t, err), want)
	}
}

func TestGeoJSONCutAnywhere(t *testing.T) {
	text := `{"type":"FeatureCollection","crs":null,"features":[{"type":"Feature","id":1,"properties":{"a\u00e9":"b\n","n":-1.5e2,"o":[{}],"t":true,"z":null},"geometry":` +
		oneSquare + `},{"type":"Feature","properties":null,"geometry":null}]}`
	_, err := readText(t, text)
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "in.geojson")
	for n := range len(text) {
		require.NoError(t, writeTo(path, []byte(text[:n])))
		_, err := Read(path, Options{})
		require.Error(t, err, "cut at %d", n)
		messageOf(t, err)
	}
}

// The window moves under every token: the same file read one byte at a time.
func TestGeoJSONThroughASmallWindow(t *testing.T) {
	text := `{"type":"FeatureCollection", "features" : [{"type":"Feature","id":"x\u0041","properties":{"long` +
		`\"name":"val\\ue","n" : -1.5e2,"o":[{"k":"v"} , 2],"t":true},"geometry":` + oneSquare + `}]}`
	want, err := readText(t, text)
	require.NoError(t, err)
	var columns columnSet
	g := &geojsonSource{s: &jsonScanner{r: iotest.OneByteReader(strings.NewReader(text)), buf: make([]byte, 1), tok: -1, mark: -1}, columns: &columns}
	var r row
	require.NoError(t, g.next(&r))
	assert.Equal(t, want.Features[0].Attributes, r.attributes)
	assert.Equal(t, want.Features[0].Outline.Geometry(), r.shape)
	require.ErrorIs(t, g.next(&r), io.EOF)
}

// A value that never ends, and nesting that never ends, are refused, not held.
func TestGeoJSONBounded(t *testing.T) {
	for _, c := range []struct {
		open string
		fill byte
		want string
	}{
		{`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"a":"`, 'x', "one value is longer than 16 MiB"},
		{`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"a":1`, '1', "one value is longer than 16 MiB"},
		{`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"a":[`, '[', "values are nested deeper than 64"},
		{`{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"coordinates":`, '[', "nested unevenly or too deep"},
	} {
		text := append([]byte(c.open), bytes.Repeat([]byte{c.fill}, 17<<20)...)
		_, err := Read(writeFile(t, "in.geojson", text), Options{})
		require.Error(t, err)
		assert.Contains(t, err.Error(), c.want)
	}
}

// One feature is held as a whole, and so must not be endless either.
func TestGeoJSONFeatureBounded(t *testing.T) {
	start := `{"type":"FeatureCollection","features":[{"type":"Feature",`
	long := `":"` + strings.Repeat("x", 15<<20) + `","`
	var many strings.Builder
	for i := range maxColumns + 1 {
		fmt.Fprintf(&many, `"a%d":1,`, i)
	}
	for want, text := range map[string]string{
		"the feature has more than 4194304 positions":         start + `"geometry":{"coordinates":[` + strings.Repeat("[0,0],", maxPositions+1),
		"the properties of the feature have more than 32 MiB": start + `"properties":{"a` + long + "b" + long + "c" + long,
		"a property has a name of 1025 bytes":                 start + `"properties":{"` + strings.Repeat("x", 1025) + `":1`,
		"the feature has more than 2048 properties":           start + `"properties":{` + many.String(),
	} {
		_, err := readJSON(strings.NewReader(text))
		require.Error(t, err)
		assert.Contains(t, messageOf(t, err), want)
	}
}

func TestReaderStopsAtTheFirstError(t *testing.T) {
	path := writeFile(t, "in.json", []byte(collection(feature(oneSquare)+","+feature(`{"type":"Point","coordinates":[1]}`))))
	r, err := Open(path, Options{})
	require.NoError(t, err)
	defer r.Close()
	_, err = r.Read()
	require.NoError(t, err)
	_, first := r.Read()
	_, again := r.Read()
	require.Error(t, first)
	assert.Equal(t, first, again)
}

func TestSwappedEastOf90West(t *testing.T) {
	l, err := readText(t, collection(feature(`{"type":"Point","coordinates":[40.1,-83.2]}`)+","+feature(`{"type":"Point","coordinates":[40.1,-83.3]}`)))
	require.NoError(t, err)
	require.Len(t, l.Notes, 1)
	assert.Contains(t, l.Notes[0], "the latitude -83.2 lies where nothing is grown; longitude and latitude look swapped")
}

func TestOpenRefusesOtherThings(t *testing.T) {
	folder := t.TempDir()
	for path, want := range map[string]string{
		filepath.Join(folder, "none.geojson"): "none.geojson: there is no such file; check the name and the folder",
		filepath.Join(folder, "none.shp"):     "none.shp: there is no such file; check the name and the folder",
		filepath.Join(folder, "none.zip"):     "none.zip: there is no such file; check the name and the folder",
		"zones.dbf":                           "zones.dbf: is one part of a shapefile; name the .shp",
		"zones.kml":                           `zones.kml: ".kml" is not a kind of file that is read here; give a .geojson, .json, .shp or .zip file`,
	} {
		_, err := Open(path, Options{})
		require.Error(t, err)
		assert.Equal(t, want, messageOf(t, err))
	}
	require.NoError(t, os.Mkdir(filepath.Join(folder, "x.shp"), 0o700))
	_, err := Open(filepath.Join(folder, "x.shp"), Options{})
	require.Error(t, err)
	assert.Equal(t, "x.shp: is a folder, not a file; name the file in it", messageOf(t, err))
}
