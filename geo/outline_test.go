package geo

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func ring(xy ...float64) orb.Ring {
	r := make(orb.Ring, 0, len(xy)/2)
	for i := 0; i < len(xy); i += 2 {
		r = append(r, orb.Point{xy[i], xy[i+1]})
	}
	return r
}

func TestNewOutlineNamesWhatIsWrong(t *testing.T) {
	good := ring(-93, 42, -93, 42.1, -92.9, 42, -93, 42)
	for _, k := range []struct {
		g    orb.Geometry
		says []string
	}{
		{orb.Polygon{ring(-93, 42, -93, 42.1, -92.9, 42)}, []string{"ring 1: the ring is not closed", "(-93.0000000, 42.0000000)", "repeat the first point"}},
		{orb.Polygon{good, ring(-93, 42, -93, 42.1, -93, 42)}, []string{"ring 2: the ring has 3 points", "at least 4"}},
		{orb.MultiPolygon{{good}, {good, orb.Ring{}}}, []string{"polygon 2, ring 2: the ring has no points"}},
		{orb.Point{math.NaN(), 42}, []string{"point 1", "not a number"}},
		{orb.LineString{{-93, 42}, {-93, math.Inf(1)}}, []string{"point 2", "not a number"}},
		{orb.LineString{{-93, 42}}, []string{"a line of one point"}},
		{orb.Point{42, -93}, []string{"look swapped", "longitude first"}},
		{orb.Point{448000, 4653000}, []string{"look like metres or feet", "coordinate system"}},
		{orb.Point{200, 20}, []string{"outside longitude -180 to 180"}},
		{orb.Collection{orb.Point{-93, 42}, orb.MultiPoint{{1, 1}, {1, 999}}}, []string{"part 2", "point 2"}},
	} {
		_, err := NewOutline(k.g)
		for _, s := range k.says {
			require.ErrorContainsf(t, err, s, "%v", k.g)
		}
	}
}

func TestOutlineParts(t *testing.T) {
	tri := orb.Polygon{ring(-93, 42, -93, 42.1, -92.9, 42, -93, 42)}
	o, err := NewOutline(orb.Collection{orb.Point{-94, 41}, tri, orb.Collection{orb.MultiPolygon{tri}}, orb.LineString{{0, 0}, {1, 1}}})
	require.NoError(t, err)
	require.Equal(t, orb.MultiPolygon{tri, tri}, o.Polygons())
	b, ok := o.Bounds()
	require.True(t, ok)
	require.Equal(t, orb.Bound{Min: orb.Point{-94, 0}, Max: orb.Point{1, 42.1}}, b)

	for _, g := range []orb.Geometry{nil, orb.MultiPolygon{}, orb.Polygon{}, orb.Collection{}} {
		o, err := NewOutline(g)
		require.NoError(t, err)
		require.True(t, o.IsEmpty())
		require.Empty(t, o.Polygons())
	}
	o, err = NewOutline(orb.Bound{Min: orb.Point{0, 0}, Max: orb.Point{1, 1}})
	require.NoError(t, err)
	require.Len(t, o.Polygons(), 1)
}
