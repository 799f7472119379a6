package layers

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/rx"
)

// mergeSlowly is the rule to the letter: after every merge all parts are sorted anew, and
// borders measured on the ground as it is then.
func mergeSlowly(t *testing.T, parts []part, least unit.Area) ([]part, merges) {
	t.Helper()
	var done merges
	list := slices.Clone(parts)
	for {
		slices.SortStableFunc(list, func(a, b part) int {
			return cmp.Or(cmp.Compare(a.region.Area(), b.region.Area()), slices.Compare(a.labels(), b.labels()))
		})
		at, into := -1, -1
		for i := 0; i < len(list) && list[i].region.Area() < least && into < 0; i++ {
			at, into = i, likestSlowly(list, i)
		}
		if into < 0 {
			return list, done
		}
		joined, err := list[into].region.Union(list[at].region)
		require.NoError(t, err)
		done.count++
		done.area += list[at].region.Area()
		list[into].region = joined
		list = slices.Delete(list, at, at+1)
	}
}

func likestSlowly(list []part, i int) int {
	best, fewest, longest := -1, math.MaxInt, 0.0
	for j := range list {
		border := list[i].region.SharedEdge(list[j].region).Metres()
		if i == j || border == 0 {
			continue
		}
		differ := 0
		for k := range list[i].of {
			if list[i].of[k].ID != list[j].of[k].ID {
				differ++
			}
		}
		if differ < fewest || differ == fewest && border > longest+1e-6 {
			best, fewest, longest = j, differ, border
		}
	}
	return best
}

// patches are n x n rectangles of random widths, m, each with a random label in each of
// three layers; an island lies apart.
func patches(t testing.TB, rng *rand.Rand, n int) []part {
	t.Helper()
	plane, err := geo.NewPlane(geo.LonLat{-93.6, 42})
	require.NoError(t, err)
	rectangle := func(x0, y0, x1, y1 float64) geo.Region {
		r, err := geo.RegionFromPolygons(plane, orb.MultiPolygon{orb.Bound{Min: orb.Point{x0, y0}, Max: orb.Point{x1, y1}}.ToPolygon()})
		require.NoError(t, err)
		return r
	}
	labels := func() (of []rx.Zone) {
		for range 3 {
			of = append(of, rx.Zone{ID: string(rune('A' + rng.IntN(3)))})
		}
		return of
	}
	edges := func() []float64 {
		at := []float64{0}
		for range n {
			at = append(at, at[len(at)-1]+1+9*rng.Float64())
		}
		return at
	}
	x, y := edges(), edges()
	parts := []part{{rectangle(-20, -20, -19, -19), labels()}}
	for i := range n {
		for j := range n {
			parts = append(parts, part{rectangle(x[i], y[j], x[i+1], y[j+1]), labels()})
		}
	}
	rng.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
	return parts
}

// described is what the parts are: labels, area and box of each.
func described(parts []part) []string {
	var out []string
	for _, p := range parts {
		b := p.region.Bound()
		out = append(out, fmt.Sprintf("%s %.5f m2, %.5f %.5f to %.5f %.5f", strings.Join(p.labels(), between), p.region.Area().SquareMetres(), b.Min[0], b.Min[1], b.Max[0], b.Max[1]))
	}
	slices.Sort(out)
	return out
}

func TestMergingIsTheRuleToTheLetter(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 3))
	merged := 0
	for range 25 {
		parts := patches(t, rng, 2+rng.IntN(6))
		least := unit.SquareMetres(200 * rng.Float64() * rng.Float64())
		slow, slowDone := mergeSlowly(t, parts, least)
		quick, done, err := mergeSmall(parts, least)
		require.NoError(t, err)
		require.Equal(t, slowDone.count, done.count)
		require.InDelta(t, slowDone.area.SquareMetres(), done.area.SquareMetres(), 1e-6)
		require.Equal(t, described(slow), described(quick))
		merged += done.count
	}
	require.Greater(t, merged, 50)
}

// Work grows with the number of parts: sorting anew and looking at all parts for each
// merge would take 16 times for 4 times the parts.
func TestMergingTakesAsLongAsThereAreParts(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 3))
	steps := func(n int) float64 {
		m := mergerOf(patches(t, rng, n), unit.SquareMetres(150))
		require.Greater(t, m.mergeAll().count, n*n/2)
		return float64(m.Steps)
	}
	few, many := steps(25), steps(50)
	require.Less(t, many, 5*few)
}

func BenchmarkMergeSmall(b *testing.B) {
	parts := patches(b, rand.New(rand.NewPCG(6, 3)), 100)
	for b.Loop() {
		if _, _, err := mergeSmall(parts, unit.SquareMetres(150)); err != nil {
			b.Fatal(err)
		}
	}
}
