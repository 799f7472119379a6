package boxes

import (
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
)

// Every region whose box meets the one asked for is found, and no other.
func TestEveryBoxThatMeetsIsFound(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	plane, err := geo.NewPlane(geo.LonLat{-93.6, 42})
	require.NoError(t, err)
	box := func(x, y, w, h float64) orb.Bound {
		return orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{x + w, y + h}}
	}
	regions := []geo.Region{{}}
	for range 400 {
		b := box(1000*rng.Float64(), 1000*rng.Float64(), 1+50*rng.Float64(), 1+50*rng.Float64())
		r, err := geo.RegionFromPolygons(plane, orb.MultiPolygon{b.ToPolygon()})
		require.NoError(t, err)
		regions = append(regions, r)
	}
	index := Of(regions)
	listed := 0
	for range 200 {
		b := box(1200*rng.Float64()-100, 1200*rng.Float64()-100, 60*rng.Float64(), 60*rng.Float64())
		near := index.Near(b)
		require.IsIncreasing(t, append([]int{-1}, near...))
		var want []int
		for i, r := range regions {
			if !r.IsEmpty() && r.Bound().Intersects(b) {
				want = append(want, i)
			}
		}
		require.Equal(t, want, near)
		listed += len(near)
	}
	require.Positive(t, listed)
	require.Empty(t, Of(nil).Near(box(0, 0, 1, 1)))
}

// Neighbours are found whose boxes miss each other by rounding, and a region itself.
func TestBesideIsWhatMayTouch(t *testing.T) {
	plane, err := geo.NewPlane(geo.LonLat{-93.6, 42})
	require.NoError(t, err)
	var regions []geo.Region
	for _, x := range []float64{0, 10 + 1e-9, 20.1, 0} {
		b := orb.Bound{Min: orb.Point{x, 0}, Max: orb.Point{x + 10, 10}}
		r, err := geo.RegionFromPolygons(plane, orb.MultiPolygon{b.ToPolygon()})
		require.NoError(t, err)
		regions = append(regions, r)
	}
	require.Equal(t, []int{0, 1, 3}, Of(regions).Beside(regions[0]))
}
