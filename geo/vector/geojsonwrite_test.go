package vector

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo"
)

func outline(t require.TestingT, g orb.Geometry) geo.Outline {
	o, err := geo.NewOutline(g)
	require.NoError(t, err)
	return o
}

func TestWrittenGeoJSON(t *testing.T) {
	fc := Collection{
		Decimals: 3,
		Members:  []Member{{"unit", "gal/ac"}, {"plan", map[string]any{"b": 1, "a": []int{2}}}},
		Items: []Item{
			{outline(t, orb.Polygon{square(-93, 42, 1), wound(square(-92.8, 42.2, 0.2), true)}), []Member{{"RATE", 180.5}, {"ZONE", "a<b"}, {"raw", Value{"1.50", KindNumber}}}},
			{outline(t, orb.Point{-1e-9, 42}), nil},
			{geo.Outline{}, []Member{{"none", nil}}},
		},
	}
	var b bytes.Buffer
	require.NoError(t, WriteGeoJSON(&b, fc))
	want := `{"type":"FeatureCollection",
"unit":"gal/ac",
"plan":{"a":[2],"b":1},
"features":[
{"type":"Feature","properties":{"RATE":180.5,"ZONE":"a<b","raw":1.50},"geometry":{"type":"Polygon","coordinates":[` +
		// Shell counter-clockwise, hole clockwise (RFC 7946 section 3.1.6).
		`[[-93.000,42.000],[-92.000,42.000],[-92.000,43.000],[-93.000,43.000],[-93.000,42.000]],` +
		`[[-92.800,42.200],[-92.800,42.400],[-92.600,42.400],[-92.600,42.200],[-92.800,42.200]]]}},
{"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[0.000,42.000]}},
{"type":"Feature","properties":{"none":null},"geometry":null}
]}
`
	assert.Equal(t, want, b.String())
	assert.True(t, json.Valid(b.Bytes()))
}

func TestGeoJSONWriterRefuses(t *testing.T) {
	for want, fc := range map[string]Collection{
		"16 decimals; give 0 to 15":          {Decimals: 16},
		`a foreign member is named "type"`:   {Members: []Member{{"type", 1}}},
		"the collection: member \"x\":":      {Members: []Member{{"x", math.NaN()}}},
		"feature 1: member \"r\":":           {Items: []Item{{geo.Outline{}, []Member{{"r", math.Inf(1)}}}}},
		`feature 1: the property "r" stands`: {Items: []Item{{geo.Outline{}, []Member{{"r", 1}, {"r", 2}}}}},
	} {
		assert.ErrorContains(t, WriteGeoJSON(&bytes.Buffer{}, fc), want)
	}
	assert.Error(t, WriteGeoJSON(failing{}, Collection{Items: make([]Item, 5000)}))
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, assert.AnError }

// What is written comes back within half of the last digit, and encoding/json reads the same.
func TestGeoJSONRoundTrip(t *testing.T) {
	folder := t.TempDir()
	rapid.Check(t, func(rt *rapid.T) {
		shapes := drawShapes(rt)
		fc := Collection{Decimals: 10}
		for _, s := range shapes {
			fc.Items = append(fc.Items, Item{outline(rt, s.Polygons), []Member{{"rate", s.Values[0]}, {"name", s.Values[1]}, {"none", nil}, {"on", true}}})
		}
		var b bytes.Buffer
		require.NoError(rt, WriteGeoJSON(&b, fc))
		path := folder + "/out.geojson"
		require.NoError(rt, writeTo(path, b.Bytes()))
		l, err := Read(path, Options{})
		require.NoError(rt, err)
		require.Len(rt, l.Features, len(shapes))
		var second struct {
			Features []struct {
				Geometry struct{ Coordinates orb.MultiPolygon }
			}
		}
		require.NoError(rt, json.Unmarshal(b.Bytes(), &second))
		for i, f := range l.Features {
			require.Equal(rt, second.Features[i].Geometry.Coordinates, f.Outline.Geometry())
			for p, polygon := range f.Outline.Polygons() {
				for r, ring := range polygon {
					want := wound(shapes[i].Polygons[p][r], r == 0)
					for k := range ring {
						require.InDelta(rt, want[k][0], ring[k][0], 0.51e-10)
						require.InDelta(rt, want[k][1], ring[k][1], 0.51e-10)
					}
				}
			}
			rate, ok := f.Attributes[0].Value.Number()
			require.True(rt, ok)
			require.Equal(rt, shapes[i].Values[0], rate)
			require.Equal(rt, NewText(shapes[i].Values[1].(string)), f.Attributes[1].Value)
			require.True(rt, f.Attributes[2].Value.IsNull())
			require.Equal(rt, Value{"true", KindBool}, f.Attributes[3].Value)
		}
	})
}
