package geo

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func mustPlane(t testing.TB, lon, lat float64) Plane {
	t.Helper()
	p, err := NewPlane(LonLat{lon, lat})
	require.NoError(t, err)
	return p
}

func box(x0, y0, x1, y1 float64) orb.Polygon {
	return orb.Polygon{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}}
}

func mustRegion(t testing.TB, p Plane, polys ...orb.Polygon) Region {
	t.Helper()
	r, err := RegionFromPolygons(p, polys)
	require.NoError(t, err)
	return r
}

func TestOverlayOfTwoSquares(t *testing.T) {
	p := mustPlane(t, -93.6, 42)
	a, b := mustRegion(t, p, box(0, 0, 100, 100)), mustRegion(t, p, box(50, 50, 150, 150))
	u, err := a.Union(b)
	require.NoError(t, err)
	i, err := a.Intersect(b)
	require.NoError(t, err)
	d, err := a.Subtract(b)
	require.NoError(t, err)
	require.InDelta(t, 17500, u.Area().SquareMetres(), 1e-9)
	require.InDelta(t, 2500, i.Area().SquareMetres(), 1e-9)
	require.InDelta(t, 7500, d.Area().SquareMetres(), 1e-9)
}
