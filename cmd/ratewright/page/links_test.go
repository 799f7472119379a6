package page

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Links are those that a look at every end with every begin finds, in the same order.
func TestLinksAreThoseOfAllPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := func(name string) orb.Point { // on a grid, so that many are as far off
			return orb.Point{
				float64(rapid.IntRange(0, 30).Draw(t, name+" x")) * 1.5,
				float64(rapid.IntRange(0, 30).Draw(t, name+" y")) * 1.5,
			}
		}
		chains := make([]orb.Ring, rapid.IntRange(0, 40).Draw(t, "chains"))
		for i := range chains {
			chains[i] = orb.Ring{at("begin"), at("end")}
		}
		var want []link
		for i, c := range chains {
			for j, o := range chains {
				if d := math.Hypot(c[1][0]-o[0][0], c[1][1]-o[0][1]); d <= hairReachM {
					want = append(want, link{i, j, d})
				}
			}
		}
		slices.SortStableFunc(want, func(a, b link) int { return cmp.Compare(a.d, b.d) })
		require.Equal(t, want, links(chains))
	})
}
