package geo

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func square(x, y, side float64) orb.Ring {
	return orb.Ring{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}, {x, y}}
}

func TestPlainOrNot(t *testing.T) {
	hole := func(x, y, side float64) orb.Ring { return wound(square(x, y, side), false) }
	for _, c := range []struct {
		name  string
		mp    orb.MultiPolygon
		plain bool
	}{
		{"a square", orb.MultiPolygon{{square(0, 0, 10)}}, true},
		{"with a hole", orb.MultiPolygon{{square(0, 0, 10), hole(2, 2, 2)}}, true},
		{"with an island in the hole", orb.MultiPolygon{{square(0, 0, 10), hole(2, 2, 5)}, {square(3, 3, 1)}}, true},
		{"holes that touch in a corner", orb.MultiPolygon{{square(0, 0, 10), hole(2, 2, 2), hole(4, 4, 2)}}, true},
		{"squares that touch in a corner", orb.MultiPolygon{{square(0, 0, 10)}, {square(10, 10, 5)}}, true},
		{"holes in a ring that cut the ground", orb.MultiPolygon{{square(0, 0, 10), hole(2, 2, 2), hole(4, 4, 2), hole(2, 6, 2), {{2, 4}, {1, 5}, {2, 6}, {2.5, 5}, {2, 4}}}}, false},
		{"a hole outside", orb.MultiPolygon{{square(0, 0, 10), hole(20, 2, 2)}}, false},
		{"a hole in a hole", orb.MultiPolygon{{square(0, 0, 10), hole(2, 2, 5), hole(3, 3, 1)}}, false},
		{"a hole of nothing but the ground", orb.MultiPolygon{{square(0, 0, 10), hole(0, 0, 10)}}, false},
		{"one on the other", orb.MultiPolygon{{square(0, 0, 10)}, {square(2, 2, 2)}}, false},
		{"one twice", orb.MultiPolygon{{square(0, 0, 10)}, {square(0, 0, 10)}}, false},
		{"two across", orb.MultiPolygon{{square(0, 0, 10)}, {square(5, 5, 10)}}, false},
		{"two that share an edge", orb.MultiPolygon{{square(0, 0, 10)}, {square(10, 0, 10)}}, false},
		{"two that share part of an edge", orb.MultiPolygon{{square(0, 0, 10)}, {square(10, 2, 5)}}, false},
		{"two across where both have corners", orb.MultiPolygon{{square(0, 0, 10)}, {{{10, 0}, {20, 5}, {10, 10}, {5, 5}, {10, 0}}}}, false},
		{"a corner on an edge", orb.MultiPolygon{{square(0, 0, 10)}, {{{10, 5}, {12, 4}, {12, 6}, {10, 5}}}}, false},
		{"a bow-tie", orb.MultiPolygon{{{{0, 0}, {10, 10}, {10, 0}, {0, 12}, {0, 0}}}}, false},
		{"a spike", orb.MultiPolygon{{{{0, 0}, {10, 0}, {10, 10}, {10, 20}, {10, 10}, {0, 10}, {0, 0}}}}, false},
		{"a point passed twice", orb.MultiPolygon{{{{0, 0}, {4, 0}, {5, 5}, {6, 0}, {10, 0}, {10, 10}, {5, 5}, {0, 10}, {0, 0}}}}, false},
		{"turned the wrong way", orb.MultiPolygon{{hole(0, 0, 10)}}, false},
	} {
		for _, angle := range []float64{0, 0.4, math.Atan2(-oddY, oddX), math.Atan2(oddX, oddY)} {
			mp := make(orb.MultiPolygon, len(c.mp))
			for i, p := range c.mp {
				mp[i] = turned(p, angle, 0, 0)
			}
			if c.plain || angle == 0 {
				require.Equal(t, c.plain, isPlain(mp), "%s, turned by %v", c.name, angle)
			}
			if isPlain(mp) || areApart(mp) {
				require.NoError(t, toGeom(mp).Validate(), c.name)
			}
		}
	}
}

func areApart(mp orb.MultiPolygon) bool {
	var x edgeIndex
	x.build(mp)
	return x.areApart(mp)
}

func TestApartOrNot(t *testing.T) {
	hole := func(x, y, side float64) orb.Ring { return wound(square(x, y, side), false) }
	for name, mp := range map[string]orb.MultiPolygon{
		"nothing":                   nil,
		"a square":                  {{square(0, 0, 10)}},
		"with holes":                {{square(0, 0, 10), hole(2, 2, 2), hole(5, 2, 2), hole(2, 5, 4)}},
		"with islands in the holes": {{square(0, 0, 10), hole(2, 2, 5)}, {square(3, 3, 3), hole(4, 4, 1)}},
		"squares side by side":      {{square(0, 0, 10)}, {square(11, 0, 10)}, {square(0, 11, 10)}},
	} {
		for angle := 0.0; angle < 2*math.Pi; angle += math.Pi / 6 {
			turn := func(mp orb.MultiPolygon) (out orb.MultiPolygon) {
				for _, p := range mp {
					out = append(out, turned(p, angle, 0, 0))
				}
				return out
			}
			require.True(t, areApart(turn(mp)), "%s, turned by %v", name, angle)
			for i := range mp {
				twice := append(slices.Clone(mp), mp[i])
				require.False(t, areApart(turn(twice)), "%s, %d twice", name, i)
				within := append(slices.Clone(mp), orb.Polygon{square(1, 1, 0.5)})
				require.False(t, areApart(turn(within)), "%s, one more within", name)
				for j, ring := range mp[i] {
					wrong := slices.Clone(mp)
					wrong[i] = slices.Clone(mp[i])
					wrong[i][j] = wound(ring, j > 0)
					require.False(t, areApart(turn(wrong)), "%s, ring %d of %d the wrong way", name, j, i)
				}
			}
		}
	}
	nan := square(0, 0, 10)
	nan[2][0] = math.NaN()
	require.False(t, areApart(orb.MultiPolygon{{nan}}))
}

// Of squares on a grid many touch or overlap; those that are apart are valid, and those
// that are valid and touch nowhere are apart.
func TestApartIsValid(t *testing.T) {
	apart := 0
	rapid.Check(t, func(t *rapid.T) {
		var mp orb.MultiPolygon
		corners := map[orb.Point]bool{}
		touch := false
		angle := rapid.SampledFrom([]float64{0, 0.4, math.Pi / 2, 3}).Draw(t, "angle")
		for range rapid.IntRange(1, 5).Draw(t, "polygons") {
			x, y := rapid.IntRange(0, 6).Draw(t, "x"), rapid.IntRange(0, 6).Draw(t, "y")
			side := rapid.IntRange(1, 4).Draw(t, "side")
			p := orb.Polygon{square(float64(x), float64(y), float64(side))}
			for _, q := range p[0][1:] {
				touch = touch || corners[q]
				corners[q] = true
			}
			mp = append(mp, turned(p, angle, 0, 0))
		}
		valid := fault(mp) == nil
		if areApart(mp) {
			apart++
			require.True(t, valid)
		} else if valid && angle == 0 {
			require.True(t, touch)
		}
	})
	require.Positive(t, apart)
}

// Sides that run on each other but for rounding make the overlay library contradict
// itself, which is no fault of ours.
func TestPartsThatNearlyShareSidesAreOneGround(t *testing.T) {
	plane := mustPlane(t, -93.6, 42)
	for angle := 0.0; angle < 3; angle += 0.1 {
		var mp orb.MultiPolygon
		for _, s := range []orb.Ring{square(0, 0, 1), square(2, 0, 1), square(0, 2, 1), square(2, 1, 4)} {
			mp = append(mp, turned(orb.Polygon{s}, angle, 0, 0))
		}
		r, err := RegionFromPolygons(plane, mp)
		require.NoError(t, err)
		require.InDelta(t, 19, float64(r.Area()), 1e-7)
	}
}

// Whatever is plain is valid, and stars are where none crosses another.
func TestPlainIsValid(t *testing.T) {
	plain := 0
	rapid.Check(t, func(t *rapid.T) {
		var mp orb.MultiPolygon
		for range rapid.IntRange(1, 4).Draw(t, "polygons") {
			mp = append(mp, windRings(drawPolygon(t, "polygon")))
		}
		valid := toGeom(mp).Validate() == nil
		require.Equal(t, valid, isPlain(mp))
		require.Equal(t, valid, areApart(mp))
		if valid {
			plain++
		}
	})
	require.Positive(t, plain)
}

// chains are edges of a set that share ends and cross none of their own: the sides
// of stars that lie apart.
func chains(rng *rand.Rand) []segment {
	var out []segment
	for i := range 1 + rng.IntN(6) {
		r := star(rng, 3+rng.IntN(40), 100*float64(i), 100*rng.Float64(), 50)
		for k := range r[1:] {
			out = append(out, segment{r[k], r[k+1]})
		}
	}
	return out
}

func TestSlabsFindWhatAPlainSearchFinds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 5))
		sets := [2][]segment{chains(rng), chains(rng)}
		found := map[[2]int32]bool{}
		s := &slabs{sets: 2, meet: func(e, f segmentID) bool {
			require.Equal(t, [2]int32{0, 1}, [2]int32{e.set, f.set})
			found[[2]int32{e.edge, f.edge}] = true
			return true
		}}
		for set, edges := range sets {
			for i, e := range edges {
				s.add(segmentID{int32(set), int32(i)}, e.a, e.b)
			}
		}
		var places []orb.Point
		for range 50 {
			places = append(places, orb.Point{600 * rng.Float64(), 200*rng.Float64() - 50})
		}
		winding := make([]int32, len(places))
		for i, q := range places {
			s.ask(int32(i%2), q, &winding[i])
		}
		s.run()
		for i, e := range sets[0] {
			for j, f := range sets[1] {
				if _, crossed := properCrossing(e, f); crossed {
					require.True(t, found[[2]int32{int32(i), int32(j)}], "%v and %v", e, f)
				}
			}
		}
		for i, q := range places {
			in := false
			for _, e := range sets[i%2] {
				if e.rightOf(q) {
					in = !in
				}
			}
			require.Equal(t, in, winding[i] == 1, "at %v", q)
			require.Equal(t, !in, winding[i] == 0, "at %v", q)
		}
	})
}
