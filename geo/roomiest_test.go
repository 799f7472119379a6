package geo

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestRoomiestLiesInside holds for rings of any shape that do not cross themselves.
func TestRoomiestLiesInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 40).Draw(t, "vertices")
		stretch := rapid.Float64Range(0.05, 20).Draw(t, "stretch")
		shell := make(orb.Ring, n)
		hole := make(orb.Ring, n)
		for i := range shell {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			d := rapid.Float64Range(20, 100).Draw(t, "radius")
			shell[i] = orb.Point{d * cos * stretch, d * sin}
			hole[n-1-i] = orb.Point{0.3 * d * cos * stretch, 0.3 * d * sin}
		}
		p, depth := Roomiest([]orb.Ring{shell, hole}, 1, 400)
		require.Positive(t, depth)
		require.Positive(t, Inside(p, []orb.Ring{shell}))
		require.Negative(t, Inside(p, []orb.Ring{hole}))
		require.InDelta(t, depth, Inside(p, []orb.Ring{shell, hole}), 1e-9)
	})
	p, depth := Roomiest([]orb.Ring{{{0, 0}, {10, 0}, {10, 40}, {0, 40}}}, 1, 400)
	require.InDelta(t, 5, depth, 1)
	require.InDelta(t, 5, p[0], 1)
}

// Edges that are passed over for being far change no distance.
func TestInsideIsTheDistanceToTheNearestEdge(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	for range 200 {
		ring := make(orb.Ring, 3+rng.IntN(40))
		for i := range ring {
			ring[i] = orb.Point{rng.Float64() * 100, float64(rng.IntN(20)) * 5}
		}
		p := orb.Point{rng.Float64()*140 - 20, rng.Float64()*140 - 20}
		want := math.Inf(1)
		for i, a := range ring {
			want = min(want, segment{a, ring[(i+1)%len(ring)]}.distance(p))
		}
		require.Equal(t, want, math.Abs(Inside(p, []orb.Ring{ring})))
	}
}

// Of many edges the depth is looked up in a tree and is the same.
func TestDepthByTreeIsInside(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 9))
	star := make(orb.Ring, 0, 500)
	hole := make(orb.Ring, 0, 100)
	for i := range 500 {
		a, r := 2*math.Pi*float64(i)/500, 80+20*random.Float64()
		star = append(star, orb.Point{r * math.Cos(a), r * math.Sin(a)})
		if i%5 == 0 {
			hole = append(hole, orb.Point{r / 4 * math.Cos(a), r / 4 * math.Sin(a)})
		}
	}
	rings := []orb.Ring{star, hole}
	tree, seen := depth(rings), map[bool]int{}
	for range 2000 {
		p := orb.Point{220*random.Float64() - 110, 220*random.Float64() - 110}
		want := Inside(p, rings)
		require.Equal(t, want, tree(p), p)
		seen[want > 0]++
	}
	require.Greater(t, seen[true], 500)
	require.Greater(t, seen[false], 500)
}
