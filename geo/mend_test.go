package geo

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func TestMendedDropsWhatAStepOfTheGridCutOff(t *testing.T) {
	const d = 1e-10
	good := orb.MultiPolygon{{{{0, 0}, {1e-3, 0}, {1e-3, 1e-3}, {0, 1e-3}, {0, 0}}}}
	same, ok := Mended(good, 10)
	require.True(t, ok)
	require.Equal(t, good, same)

	// The upper side dips a step below the lower one: two squares and a thread.
	crossed := orb.MultiPolygon{{{
		{0, 0}, {3e-3, 0}, {3e-3, 1e-3}, {2e-3, 1e-3}, {2e-3, -d}, {1e-3, -d}, {1e-3, 1e-3}, {0, 1e-3}, {0, 0},
	}}}
	require.Error(t, toGeom(crossed).Validate())
	mended, ok := Mended(crossed, 10)
	require.True(t, ok)
	require.NoError(t, toGeom(mended).Validate())
	var area float64
	for _, p := range mended {
		require.Positive(t, ringAreaM2(p[0]), "shells turn left")
		area += ringAreaM2(p[0])
	}
	require.InDelta(t, 2e-6, area, 1e-12)

	none, ok := Mended(nil, 10)
	require.True(t, ok)
	require.Empty(t, none)
}
