package geo

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func TestNearbyProjectionAgreesWithTheExactOne(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	worst := 0.0
	for _, lat := range []float64{-60, -33, 0, 27.5, 42.03, 55, 72} {
		p, err := NewPlane(LonLat{-93.6, lat})
		require.NoError(t, err)
		require.True(t, p.near.ok)
		for range 2000 {
			l := LonLat{-93.6 + nearDeg*(2*rng.Float64()-1), lat + nearDeg*(2*rng.Float64()-1)}
			x, y := p.tm.Forward(l[0], l[1])
			q := p.Project(l)
			worst = max(worst, math.Hypot(q[0]-x, q[1]-y))
		}
		far := LonLat{-93.6 + 1.01*nearDeg, lat}
		x, y := p.tm.Forward(far[0], far[1])
		require.Equal(t, x, p.Project(far)[0])
		require.Equal(t, y, p.Project(far)[1])
	}
	t.Logf("worst %.3g m", worst)
	require.Less(t, worst, 5e-9)
}

func TestNearbyWayBackAgreesWithTheExactOne(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	worst := 0.0
	for _, lat := range []float64{-60, -33, 0, 27.5, 42.03, 55, 72} {
		p, err := NewPlane(LonLat{-93.6, lat})
		require.NoError(t, err)
		for range 2000 {
			m := orb.Point{nearM * (2*rng.Float64() - 1), nearM * (2*rng.Float64() - 1)}
			lon, lt := p.tm.Inverse(m[0], m[1])
			q := p.Unproject(m)
			worst = max(worst, math.Hypot((q[0]-lon)*math.Cos(lat*math.Pi/180), q[1]-lt)*111320)
		}
	}
	t.Logf("worst %.3g m", worst)
	require.Less(t, worst, 1e-8)
}

func TestGridAzimuthNearTheOriginIsTheExactOne(t *testing.T) {
	for _, lat := range []float64{-60, 0, 42.03, 72} {
		p, err := NewPlane(LonLat{10, lat})
		require.NoError(t, err)
		for _, d := range []LonLat{{0.04, 0.03}, {-0.05, -0.05}, {0.01, -0.02}} {
			l := LonLat{10 + d[0], lat + d[1]}
			// The way from a place to one just north of it, in the plane.
			a, b := p.Project(l), p.Project(LonLat{l[0], l[1] + 1e-4})
			north := math.Atan2(b[0]-a[0], b[1]-a[1]) * 180 / math.Pi
			require.InDelta(t, north, p.GridAzimuth(l, 0), 2e-7)
		}
	}
}
