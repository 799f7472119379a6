package geo

import (
	"math"
	"math/rand/v2"
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
			if isPlain(mp) {
				require.NoError(t, toGeom(mp).Validate(), c.name)
			}
		}
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
