package cover_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo/cover"
)

// nearlyLevel are quads and triangles whose corners lie on whole places but for a few
// of the smallest steps of their heights: strips are as thin as heights can be told
// apart, and in them what lies side by side laps at its lower and upper ends.
func nearlyLevel(rng *rand.Rand, n int) (out []cover.Swath) {
	at := func() orb.Point {
		p := orb.Point{float64(rng.IntN(9)), float64(1 + rng.IntN(4))}
		for range rng.IntN(3) {
			p[1] = math.Nextafter(p[1], float64(8*rng.IntN(2)))
		}
		return p
	}
	for i := range n {
		out = append(out, cover.Swath{Quad: [4]orb.Point{at(), at(), at(), at()}, From: 3 * float64(i), To: 3*float64(i) + 1})
	}
	return out
}

func TestNearlyLevelSidesKeepEveryOutline(t *testing.T) {
	for seed := range uint64(400) {
		rng := rand.New(rand.NewPCG(seed, 1))
		in := cover.Input{Swaths: nearlyLevel(rng, 3+rng.IntN(12)), Layers: []cover.Layer{{square(6, 2)}}}
		res := cover.Sweep(in, func() cover.Judge { return parting{} }, cover.Options{Patches: true})
		for i, p := range res.Patches {
			require.InDelta(t, p.AreaM2, drawnArea(p.Polygons), 3e-5*length(p.Polygons), "seed %d, patch %d", seed, i)
		}
	}
}
