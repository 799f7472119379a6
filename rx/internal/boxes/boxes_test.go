package boxes

import (
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
)

// Every region whose box meets the one asked for is found, and few others are.
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
		for i, r := range regions {
			if !r.IsEmpty() && r.Bound().Intersects(b) {
				require.Contains(t, near, i)
			}
		}
		require.NotContains(t, near, 0, "an empty region is nowhere")
		listed += len(near)
	}
	require.Less(t, listed, 200*400/10)
	require.Empty(t, Of(nil).Near(box(0, 0, 1, 1)))
}
