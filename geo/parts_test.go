package geo

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func TestPartsOfARegion(t *testing.T) {
	p, err := NewPlane(LonLat{-93.6, 42.03})
	require.NoError(t, err)
	square := func(x, side float64) orb.Polygon {
		return orb.Polygon{{{x, 0}, {x + side, 0}, {x + side, side}, {x, side}, {x, 0}}}
	}
	r, err := RegionFromPolygons(p, orb.MultiPolygon{square(0, 10), square(50, 20)})
	require.NoError(t, err)
	parts := r.Parts()
	require.Len(t, parts, 2)
	require.InDelta(t, 100, parts[0].Area().SquareMetres(), 1e-9)
	require.InDelta(t, 400, parts[1].Area().SquareMetres(), 1e-9)
	require.Empty(t, Region{}.Parts())
}
