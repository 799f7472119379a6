package geo

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// ringsInRings are n squares around one middle, each with a hole half a metre within it,
// from the widest in.
func ringsInRings(n int) []orb.Ring {
	var rings []orb.Ring
	for r := float64(n); r > 0; r-- {
		h := r - 0.5
		rings = append(rings,
			orb.Ring{{-r, -r}, {r, -r}, {r, r}, {-r, r}, {-r, -r}},
			orb.Ring{{-h, -h}, {-h, h}, {h, h}, {h, -h}, {-h, -h}})
	}
	return rings
}

// However rings in rings come, each hole goes to the shell right around it.
func TestHolesGoToTheSmallestShellAroundThem(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	rings := ringsInRings(60)
	for range 20 {
		rng.Shuffle(len(rings), func(i, j int) { rings[i], rings[j] = rings[j], rings[i] })
		mp, ok := nest(rings)
		require.True(t, ok)
		require.Len(t, mp, 60)
		for _, poly := range mp {
			require.Len(t, poly, 2)
			require.Equal(t, poly[0].Bound().Max[0]-0.5, poly[1].Bound().Max[0])
		}
	}
}

// A small shell whose box is around a hole but which does not hold it, does not take it.
func TestAHoleIsNotOfAShellThatOnlyItsBoxLiesIn(t *testing.T) {
	wide := orb.Ring{{0, 0}, {20, 0}, {20, 20}, {0, 20}, {0, 0}}
	hook := orb.Ring{{2, 2}, {12, 2}, {12, 3}, {3, 3}, {3, 12}, {2, 12}, {2, 2}} // in another hole
	around := orb.Ring{{1, 1}, {1, 13}, {4, 13}, {4, 4}, {13, 4}, {13, 1}, {1, 1}}
	hole := orb.Ring{{6, 6}, {6, 9}, {9, 9}, {9, 6}, {6, 6}}
	for _, rings := range [][]orb.Ring{{wide, hook, around, hole}, {hole, around, hook, wide}} {
		mp, ok := nest(rings)
		require.True(t, ok)
		slices.SortFunc(mp, func(a, b orb.Polygon) int { return len(a) - len(b) })
		require.Equal(t, orb.Polygon{hook}, mp[0])
		require.ElementsMatch(t, orb.Polygon{wide, around, hole}, mp[1])
	}
	_, ok := nest([]orb.Ring{hook, hole})
	require.False(t, ok, "no shell holds it")
}

// Where a hole's edge runs on a shell's, another of its edges tells on which side it is.
func TestAHoleBesideAShellIsNotInIt(t *testing.T) {
	wide := orb.Ring{{0, 0}, {20, 0}, {20, 20}, {0, 20}, {0, 0}}
	hook := orb.Ring{{2, 12}, {2, 11}, {11, 11}, {11, 2}, {12, 2}, {12, 12}, {2, 12}}
	hole := orb.Ring{{6, 11}, {9, 11}, {9, 8}, {6, 8}, {6, 11}}
	mp, ok := nest([]orb.Ring{wide, hook, hole})
	require.True(t, ok)
	require.Equal(t, orb.MultiPolygon{{wide, hole}, {hook}}, mp)
}

// What encloses only noise is neither a shell nor a hole, which would want a shell.
func TestRingsThinnerThanNoiseAreLeftOut(t *testing.T) {
	square := orb.Ring{{0, 0}, {20, 0}, {20, 20}, {0, 20}, {0, 0}}
	const w = noiseM / 4
	mp, ok := nest([]orb.Ring{
		{{30, 0}, {40, 0}, {40, w}, {30, w}, {30, 0}},
		square,
		{{50, 0}, {50, w}, {60, w}, {60, 0}, {50, 0}},
	})
	require.True(t, ok)
	require.Equal(t, orb.MultiPolygon{{square}}, mp)
}

func BenchmarkNestRingsInRings(b *testing.B) {
	rings := ringsInRings(2000)
	for b.Loop() {
		nest(rings)
	}
}
