package geo

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Ground with a strip cut out is divided among zones, each cut from the ground
// and from the zones before; what is left of the ground and the zones add up to
// it. The zones' cut edges lie on the ground's edges to 1e-13 m and not exactly,
// which an overlay must bear.
func TestPiecesCutFromGroundAddUpToIt(t *testing.T) {
	p := mustPlane(t, -93.6, 42)
	quad := func(xy ...float64) Region {
		var r orb.Ring
		for i := 0; i < len(xy); i += 2 {
			r = append(r, orb.Point{xy[i], xy[i+1]})
		}
		return mustRegion(t, p, orb.Polygon{append(r, r[0])})
	}
	ground, err := quad(-200, -100, 200, -80, 180, 100, -190, 90).Subtract(quad(-220, -20, 210, 10, 210, 22, -220, -8))
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		var zones []Region
		sum := 0.0
		for range rapid.IntRange(1, 5).Draw(t, "zones") {
			x := rapid.Float64Range(-210, 150).Draw(t, "x")
			y := rapid.Float64Range(-110, 60).Draw(t, "y")
			w := rapid.Float64Range(20, 300).Draw(t, "w")
			h := rapid.Float64Range(20, 150).Draw(t, "h")
			lean := rapid.Float64Range(-8, 8).Draw(t, "lean")
			z, err := quad(x, y, x+w, y+lean, x+w-lean, y+h, x+lean, y+h-lean).Intersect(ground)
			require.NoError(t, err)
			for _, before := range zones {
				z, err = z.Subtract(before)
				require.NoError(t, err)
			}
			zones = append(zones, z)
			sum += z.Area().SquareMetres()
		}
		all, err := UnionAll(zones)
		require.NoError(t, err)
		require.InDelta(t, sum, all.Area().SquareMetres(), 1e-5)
		rest, err := ground.Subtract(all)
		require.NoError(t, err)
		require.LessOrEqual(t, math.Abs(rest.Area().SquareMetres()+sum-ground.Area().SquareMetres()), 1e-5)
	})
}
