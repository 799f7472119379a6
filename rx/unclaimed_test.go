package rx

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
)

// Ground that no zone claims is a gap from a ten-thousand-millionth of the field on;
// below, it is what rounding left, however it is found.
func TestAGapOfRoundingIsNone(t *testing.T) {
	plane, err := geo.NewPlane(geo.LonLat{-93.6, 42})
	require.NoError(t, err)
	region := func(ring orb.Ring) geo.Region {
		r, err := geo.RegionFromPolygons(plane, orb.MultiPolygon{{ring}})
		require.NoError(t, err)
		return r
	}
	f := Field{Plane: plane, Ground: region(orb.Ring{{0, 0}, {1000, 0}, {1000, 1000}, {0, 1000}, {0, 0}})}
	for side, want := range map[float64]float64{0.005: 0, 0.05: 0.0025} { // 1e-4 m2 of 1e6
		zone := region(orb.Ring{{0, 0}, {1000, 0}, {1000, 1000 - side}, {1000 - side, 1000 - side}, {1000 - side, 1000}, {0, 1000}, {0, 0}})
		b := zoneBuilder{field: f, zones: []Zone{{ID: "1", Region: zone}}}
		found, err := b.unclaimed()
		require.NoError(t, err)
		require.InDelta(t, want, found.Area().SquareMetres(), 1e-8)
		require.NoError(t, b.separate())
		require.NotNil(t, b.gaps)
		known, err := b.unclaimed()
		require.NoError(t, err)
		require.InDelta(t, want, known.Area().SquareMetres(), 1e-8)
	}
}
