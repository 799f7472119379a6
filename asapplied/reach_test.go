package asapplied

import (
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
)

func TestReachIsTheDistanceToTheBoundary(t *testing.T) {
	p := testPlane(t)
	// An L with a hole, so that cells of every kind occur.
	r, err := geo.RegionFromPolygons(p, orb.MultiPolygon{{
		{{0, 0}, {900, 0}, {900, 100}, {80, 100}, {80, 1500}, {0, 1500}, {0, 0}},
		{{20, 40}, {60, 40}, {60, 70}, {20, 70}, {20, 40}},
	}})
	require.NoError(t, err)
	near := newReach(r)
	rng := rand.New(rand.NewPCG(1, 1))
	seen := map[bool]int{}
	for range 20000 {
		q := orb.Point{rng.Float64()*1300 - 200, rng.Float64()*1900 - 200}
		want := r.DistanceTo(q).Metres() <= otherFieldM
		require.Equal(t, want, near.holds(q), "%v", q)
		seen[want]++
	}
	require.Positive(t, seen[true])
	require.Positive(t, seen[false])
	kinds := map[cellReach]int{}
	for i := range near.cells {
		kinds[near.cells[i].Load()]++
	}
	require.Positive(t, kinds[allNear])
	require.Positive(t, kinds[allFar])
	require.Positive(t, kinds[mixed])
}
