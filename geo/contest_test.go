package geo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// everywhere is a box that all edges are near.
var everywhere = orb.Bound{Min: orb.Point{-1e5, -1e5}, Max: orb.Point{1e5, 1e5}}

// requireNearAsWhole puts two regions together by the edges near both, by all edges, and
// by looking at each of those near for what it meets: the results are the same to the
// last bit.
func requireNearAsWhole(t require.TestingT, a, b Region) {
	for name, k := range map[string]struct {
		a, b Region
		keep rule
	}{"both": {a, b, inBoth}, "only a": {a, b, inFirst}, "only b": {b, a, inFirst}, "either": {a, b, inEither}} {
		near, ok := contestOf(k.a, k.b).combine(k.keep)
		require.True(t, ok, name)
		whole, ok := contestIn(k.a, k.b, everywhere).combine(k.keep)
		require.True(t, ok, name)
		require.Equal(t, inOrder(whole), inOrder(near), name)
		each := contestOf(k.a, k.b)
		for i := range each.near {
			each.near[i].mayMeet = true
		}
		looked, ok := each.combine(k.keep)
		require.True(t, ok, name)
		require.Equal(t, looked.Polygons(), near.Polygons(), name)
	}
}

// inOrder is a region's polygons with each ring from its least vertex on, the least
// first.
func inOrder(r Region) orb.MultiPolygon {
	byRing := func(p, q orb.Ring) int { return slices.CompareFunc(p, q, comparePoints) }
	var out orb.MultiPolygon
	for _, poly := range r.Polygons() {
		var p orb.Polygon
		for _, ring := range poly {
			open := slices.Clone(ring[1:])
			i := slices.Index(open, slices.MinFunc(open, comparePoints))
			open = append(open[i:len(open):len(open)], open[:i]...)
			p = append(p, append(open, open[0]))
		}
		slices.SortFunc(p[1:], byRing)
		out = append(out, p)
	}
	slices.SortFunc(out, func(p, q orb.Polygon) int { return byRing(p[0], q[0]) })
	return out
}

func TestCombinedNearIsCombinedWhole(t *testing.T) {
	t.Run("polygons with holes", func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) {
			requireNearAsWhole(t, regionOf(t, drawPolygon(t, "a")), regionOf(t, drawPolygon(t, "b")))
		})
	})
	t.Run("blocks that share edges and corners", func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) {
			requireNearAsWhole(t, drawBlocks(t, "a"), drawBlocks(t, "b"))
		})
	})
	// A small one beside, in, on the edge of, or in a hole of many: their boxes touch in
	// edges and corners, and level edges lie on the sides of the box.
	t.Run("a block and what is around it", func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) {
			whole := drawSquares(t, "squares", rapid.SampledFrom([]float64{0, 0.4, math.Atan2(oddY, oddX)}).Draw(t, "angle"))
			x, y := rapid.Float64Range(-10, 60).Draw(t, "x"), rapid.Float64Range(-10, 60).Draw(t, "y")
			if rapid.Bool().Draw(t, "on the grid") {
				x, y = 5*math.Round(x/5), 5*math.Round(y/5)
			}
			side := rapid.SampledFrom([]float64{0.01, 5, 10, 25}).Draw(t, "side")
			block := orb.Polygon{{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}, {x, y}}}
			requireNearAsWhole(t, whole, regionOf(t, block))
			requireNearAsWhole(t, whole, regionOf(t, turned(block, 0.4, 0, 0)))
			requireNearAsWhole(t, whole, regionOf(t, turned(block, 0.4, 3e-9, -2e-9)))
		})
	})
	t.Run("what was cut from it", func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) {
			a, b := regionOf(t, drawPolygon(t, "a")), regionOf(t, drawPolygon(t, "b"))
			both, onlyA, _, _ := pieces(t, a, b)
			requireNearAsWhole(t, a, both)
			requireNearAsWhole(t, onlyA, both)
			requireNearAsWhole(t, onlyA, b)
		})
	})
	t.Run("zones and long teeth", func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) {
			teeth := regionOf(t, turned(comb(4*rapid.IntRange(2, 60).Draw(t, "teeth")), rapid.Float64Range(0, 2*math.Pi).Draw(t, "angle"), 0, 0))
			x, y := rapid.Float64Range(-600, 500).Draw(t, "x"), rapid.Float64Range(-600, 500).Draw(t, "y")
			side := rapid.SampledFrom([]float64{1, 20, 300}).Draw(t, "side")
			requireNearAsWhole(t, teeth, regionOf(t, orb.Polygon{{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}, {x, y}}}))
		})
	})
}

// drawSquares is blocks of a grid of 10 m, some left out.
func drawSquares(t *rapid.T, name string, angle float64) Region {
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, name), 4))
	var squares []Region
	for i := range 5 {
		for j := range 5 {
			if rng.IntN(5) > 1 {
				x, y := float64(10*i), float64(10*j)
				squares = append(squares, regionOf(t, turned(orb.Polygon{{{x, y}, {x + 10, y}, {x + 10, y + 10}, {x, y + 10}, {x, y}}}, angle, 0, 0)))
			}
		}
	}
	r, err := UnionAll(squares)
	require.NoError(t, err)
	return r
}

func BenchmarkZonesOfAWavyField(b *testing.B) {
	for _, n := range []int{25_000, 50_000, 100_000} {
		var ring orb.Ring
		for i := range n {
			a := 2 * math.Pi * float64(i) / float64(n)
			d := 400 + 3*math.Sin(a*float64(n)/50)
			ring = append(ring, orb.Point{d * math.Cos(a), d * math.Sin(a)})
		}
		field := regionOf(b, orb.Polygon{append(ring, ring[0])})
		for _, side := range []int{50, 100} {
			var zones []Region
			w := 810 / float64(side)
			for i := range side {
				for j := range side {
					x, y := -405+w*float64(i), -405+w*float64(j)
					zones = append(zones, regionOf(b, orb.Polygon{{{x, y}, {x + w, y}, {x + w, y + w}, {x, y + w}, {x, y}}}))
				}
			}
			b.Run(fmt.Sprintf("vertices=%d/zones=%d", n, len(zones)), func(b *testing.B) {
				for range b.N {
					for _, z := range zones {
						_, err := z.Intersect(field)
						require.NoError(b, err)
					}
				}
			})
		}
	}
}

// What is looked at grows with the edges beside a zone, not with the boundary.
func TestFewEdgesAreNearAZone(t *testing.T) {
	const n = 64_000
	field := regionOf(t, toothedDisc(n))
	zone := regionOf(t, orb.Polygon{{{400, -4}, {410, -4}, {410, 4}, {400, 4}, {400, -4}}})
	c := contestOf(zone, field)
	inBox := n * 8 / 2513 // of its way round
	require.Greater(t, len(c.near), inBox/2)
	require.Less(t, len(c.near), 2*inBox)
	require.True(t, c.isLocal())
	in, err := zone.Intersect(field)
	require.NoError(t, err)
	require.Less(t, vertices(in.Polygons()), 3*inBox)
	out, err := zone.Subtract(field)
	require.NoError(t, err)
	require.InDelta(t, 80, (in.Area() + out.Area()).SquareMetres(), 1e-8)
}
