package cover_test

import (
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo/cover"
)

// A pass whose bars all lie level and whose sides lean covers what its trapezoids cover,
// each once; the field has a hole of 4 square millimetres. Beside a block the left side of one swath begins where the right side of the
// one before ends, and in the block one of the two may go on alone.
func TestAPassOfLevelBarsCoversItsTrapezoids(t *testing.T) {
	for seed := range uint64(50) {
		rng := rand.New(rand.NewPCG(seed, 11))
		var pass []cover.Swath
		var want float64
		left, right := -2.0, 2.0
		for k := range 40 {
			y0, y1 := -10+float64(k)/2, -10+float64(k+1)/2
			l := left + rng.NormFloat64()
			r := l + 1 + 4*rng.Float64()
			s := cover.Swath{
				Quad: [4]orb.Point{{left, y0}, {right, y0}, {r, y1}, {l, y1}},
				From: float64(k) / 50, To: float64(k+1) / 50,
			}
			if k > 0 {
				s.Follows = 1
			}
			want += (right - left + r - l) / 2 * (y1 - y0)
			pass, left, right = append(pass, s), l, r
		}
		for _, patches := range []bool{false, true} {
			got, res := measure(cover.Input{Swaths: pass, Layers: []cover.Layer{{square(60, 1e-3)}}}, cover.Options{Patches: patches})
			require.InDelta(t, want, got.once+got.outside, 1e-9, "seed %d", seed)
			require.InDelta(t, 0, got.twice+got.lapped, 1e-9, "seed %d", seed)
			require.InDelta(t, 120*120-4e-6, got.once+got.bare, 1e-8, "seed %d", seed)
			if patches {
				checkPatches(t, res, got)
			}
		}
	}
}
