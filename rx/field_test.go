package rx

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/unit"
)

// 400 m x 200 m less a waterway of 400 m x 10 m that reaches 50 m beyond both
// ends, less a circle of 50 ft around a well that is clear of it.
func TestFieldLessCutOutsAndSetbacks(t *testing.T) {
	well := outline(t, orb.Point(testPlane(t).Unproject(orb.Point{100, 60})))
	f, err := NewField("F", rect(t, -200, -100, 200, 100),
		[]CutOut{{rect(t, -250, -5, 250, 5), "waterway.geojson"}},
		[]Setback{{well, unit.Feet(50), "well.geojson"}})
	require.NoError(t, err)
	circle := math.Pi * 15.24 * 15.24 // m2
	off := f.OffLimits.Area().SquareMetres() - 4000
	require.GreaterOrEqual(t, off, circle, "a setback is never smaller than asked")
	require.InEpsilon(t, circle, off, 0.005)
	require.InEpsilon(t, 80000.0, f.Boundary.Area().SquareMetres(), 1e-7)
	require.InEpsilon(t, 80000-4000-off, f.Ground.Area().SquareMetres(), 1e-7)
	require.Empty(t, f.Notes)
}

func TestHoleInTheBoundaryIsOutsideNotOffLimits(t *testing.T) {
	p := testPlane(t)
	shell := ringOf(p, -200, -100, 200, -100, 200, 100, -200, 100)
	hole := ringOf(p, 0, 0, 0, 50, 50, 50, 50, 0)
	f, err := NewField("F", outline(t, orb.Polygon{shell, hole}), nil, nil)
	require.NoError(t, err)
	require.True(t, f.OffLimits.IsEmpty())
	require.InEpsilon(t, 80000.0-2500, f.Ground.Area().SquareMetres(), 1e-7)
	require.Len(t, f.Notes, 1)
	require.Contains(t, f.Notes[0], "1 hole drawn in it: that ground is outside the field, not off limits")
}

func TestCutOutBeyondTheFieldIsNoted(t *testing.T) {
	f, err := NewField("F", rect(t, -200, -100, 200, 100), []CutOut{{rect(t, 300, 0, 400, 50), "barn.geojson"}}, nil)
	require.NoError(t, err)
	require.True(t, f.OffLimits.IsEmpty())
	require.Equal(t, []string{"barn.geojson: lies wholly outside the field's boundary and changes nothing"}, f.Notes)
}

func TestFieldErrors(t *testing.T) {
	p := testPlane(t)
	line := outline(t, orb.LineString{orb.Point(place), orb.Point(p.Unproject(orb.Point{9, 9}))})
	whole := rect(t, -200, -100, 200, 100)
	bowTie := polygon(t, -200, -100, 200, 100, 200, -100, -200, 100)
	for _, c := range []struct {
		name     string
		boundary geo.Outline
		cutOuts  []CutOut
		setbacks []Setback
		want     string
	}{
		{"no boundary", geo.Outline{}, nil, nil, "boundary: no polygon in it"},
		{"a line for a boundary", line, nil, nil, "boundary: no polygon in it"},
		{"a bow-tie", bowTie, nil, nil, "boundary: "},
		{"a line cut out", whole, []CutOut{{line, "stream.shp"}}, nil, "stream.shp: a cut-out must be an area"},
		{"no distance", whole, nil, []Setback{{line, 0, "stream.shp"}}, "stream.shp: a setback of 0 m; give a distance above zero"},
		{"a setback around nothing", whole, nil, []Setback{{geo.Outline{}, 5, "well.shp"}}, "well.shp: nothing in it"},
		{"nothing left", whole, []CutOut{{rect(t, -300, -300, 300, 300), "lake.shp"}}, nil, "no ground is left to treat"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := NewField("F", c.boundary, c.cutOuts, c.setbacks)
			require.ErrorContains(t, err, c.want)
		})
	}
}
