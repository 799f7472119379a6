package asapplied

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/require"
)

// A patch around a corner of a field has the middle of its bounds on other ground.
func TestThePlaceOfAPatchLiesInIt(t *testing.T) {
	p := Patch{Polygons: orb.MultiPolygon{
		{{{-93.1, 41.9}, {-93.099, 41.9}, {-93.099, 41.9001}, {-93.0999, 41.9001}, {-93.0999, 41.901}, {-93.1, 41.901}, {-93.1, 41.9}}},
		{{{-93.2, 41.9}, {-93.1999, 41.9}, {-93.1999, 41.9001}, {-93.2, 41.9}}},
	}}
	require.False(t, planar.MultiPolygonContains(p.Polygons, p.Polygons[0].Bound().Center()))
	require.True(t, planar.PolygonContains(p.Polygons[0], p.Place()))
	require.Equal(t, orb.Point{}, Patch{}.Place())
}
