package vector

import (
	"os"
	"path/filepath"
	"testing"

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
