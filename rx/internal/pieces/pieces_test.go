package pieces

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/unit"
)

// row is squares side by side, of these widths in metres and 10 m deep.
func row(t *testing.T, widths ...float64) []geo.Region {
	plane, err := geo.NewPlane(geo.LonLat{-93.6, 42})
	require.NoError(t, err)
	var regions []geo.Region
	x := 0.0
	for _, w := range widths {
		b := orb.Bound{Min: orb.Point{x, 0}, Max: orb.Point{x + w, 10}}
		r, err := geo.RegionFromPolygons(plane, orb.MultiPolygon{b.ToPolygon()})
		require.NoError(t, err)
		regions, x = append(regions, r), x+w
	}
	return regions
}

func TestTheSmallestComesFirstAndAsItIsNow(t *testing.T) {
	s := Of(row(t, 2, 1, 5, 1), unit.SquareMetres(40))
	for i, rank := range []int{0, 7, 0, 3} {
		s.Offer(i, rank)
	}
	s.Measure()
	require.Empty(t, s.Border[3][1], "they do not touch")
	require.InDelta(t, 10, s.Border[1][0].Metres(), 1e-9)

	i, ok := s.Next()
	require.True(t, ok)
	require.Equal(t, 3, i, "of equal areas the lower rank")

	kept := s.Join(1, 0)
	require.Equal(t, kept, s.Number(0))
	require.Equal(t, kept, s.Number(1))
	require.InDelta(t, 30, s.Area[kept].SquareMetres(), 1e-9)
	require.InDelta(t, 10, s.Border[kept][2].Metres(), 1e-9)
	require.InDelta(t, 10, s.Border[2][kept].Metres(), 1e-9)

	_, ok = s.Next()
	require.False(t, ok, "both were offered with the areas they had alone")
	s.Offer(kept, 0)
	s.Offer(2, 0) // large: it does not wait
	i, ok = s.Next()
	require.True(t, ok)
	require.Equal(t, kept, i)
	require.False(t, s.Waits())
}

// A border of several pieces adds up when these are joined.
func TestBordersOfJoinedPiecesAddUp(t *testing.T) {
	regions := row(t, 2, 2)
	b := orb.Bound{Min: orb.Point{0, 10}, Max: orb.Point{4, 12}}
	top, err := geo.RegionFromPolygons(regions[0].Plane(), orb.MultiPolygon{orb.Polygon{orb.Ring{{0, 10}, {2, 10}, {4, 10}, {4, 12}, {0, 12}, {0, 10}}}})
	require.NoError(t, err)
	require.Equal(t, b, top.Bound())
	s := Of(append(regions, top), unit.SquareMetres(100))
	s.Measure()
	kept := s.Join(0, 1)
	require.InDelta(t, 4, s.Border[kept][2].Metres(), 1e-9)
	require.InDelta(t, 4, s.Border[2][kept].Metres(), 1e-9)
	require.Len(t, s.Border[2], 1)
}
