package geo

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
)

// quarterM2 is the area of a quarter of a square of 10 m.
const quarterM2 = 25

// quarters tell which quarters of the squares of a grid a region holds. They meet in
// corners and middles, so that holes touch shells and each other, islands lie in holes,
// and regions touch from inside in single vertices; and what of them any rule takes can
// be counted.
type quarters []bool

func drawQuarters(rng *rand.Rand, side int, share float64) quarters {
	q := make(quarters, 4*side*side)
	together := 1 + 3*rng.IntN(2) // whole squares, or each for itself
	for c := 0; c < len(q); c += together {
		in := rng.Float64() < share
		for k := range together {
			q[c+k] = in
		}
	}
	return q
}

func (q quarters) region(t require.TestingT, side int, angle float64) Region {
	var mp orb.MultiPolygon
	for c, in := range q {
		if in {
			x, y := 10*float64(c/4/side), 10*float64(c/4%side)
			corners := []orb.Point{{x, y}, {x + 10, y}, {x + 10, y + 10}, {x, y + 10}}
			from, to := corners[c%4], corners[(c%4+1)%4]
			mp = append(mp, turned(orb.Polygon{{from, to, {x + 5, y + 5}, from}}, angle, 0, 0))
		}
	}
	p, err := NewPlane(LonLat{-93.6, 42})
	require.NoError(t, err)
	r, err := RegionFromPolygons(p, mp)
	require.NoError(t, err)
	return r
}

func countQuarters(all quarters, want func(c int) bool) (area unit.Area) {
	for c := range all {
		if want(c) {
			area += quarterM2
		}
	}
	return area
}

func TestWhatIsCombinedIsCountedInQuarters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 11))
		side, angle := 1+rng.IntN(5), rapid.SampledFrom([]float64{0, 0.4, 1e-9}).Draw(t, "angle")
		p, q := drawQuarters(rng, side, rng.Float64()), drawQuarters(rng, side, rng.Float64())
		a, b := p.region(t, side, angle), q.region(t, side, angle)
		for name, k := range map[string]struct {
			rule
			op func(Region) (Region, error)
		}{"both": {inBoth, a.Intersect}, "either": {inEither, a.Union}, "first": {inFirst, a.Subtract}} {
			want := countQuarters(p, func(c int) bool { return k.rule(p[c], q[c]) })
			r, err := k.op(b)
			require.NoError(t, err)
			requireValid(t, r)
			require.InDelta(t, float64(want), float64(r.Area()), 1e-7, name)
			near, ok := combine(a, b, k.rule)
			require.True(t, ok, name)
			require.InDelta(t, float64(want), float64(near.Area()), 1e-7, name)
		}
	})
}

// Regions are apart exactly where no quarter is in two of them, and where one is taken
// from another, none beyond it.
func TestRegionsAreApartWhereNoQuarterIsShared(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 12))
		side, angle := 1+rng.IntN(4), rapid.SampledFrom([]float64{0, 0.4}).Draw(t, "angle")
		ground := drawQuarters(rng, side, 0.95)
		held := make([]int, len(ground))
		share := 0.3 * rng.Float64()
		var zones []Region
		for range 1 + rng.IntN(3) {
			q := drawQuarters(rng, side, share)
			for c, in := range q {
				q[c] = in && (ground[c] || rng.IntN(40) == 0)
				if q[c] {
					held[c]++
				}
			}
			zones = append(zones, q.region(t, side, angle))
		}
		shared, beyond := false, false
		for c, n := range held {
			shared = shared || n > 1
			beyond = beyond || n > 0 && !ground[c]
		}
		all, ok := JoinApart(zones)
		require.Equal(t, !shared, ok)
		if ok {
			want := countQuarters(ground, func(c int) bool { return held[c] > 0 })
			require.InDelta(t, float64(want), float64(all.Area()), 1e-7)
		}
		field := ground.region(t, side, angle)
		if field.IsEmpty() {
			return
		}
		rest, ok := field.SubtractApart(zones)
		require.Equal(t, !shared && !beyond, ok)
		want := countQuarters(ground, func(c int) bool { return ground[c] && held[c] == 0 })
		if ok {
			requireValid(t, rest)
			require.InDelta(t, float64(want), float64(rest.Area()), 1e-7)
		}
		rest, err := field.SubtractAll(zones)
		require.NoError(t, err)
		require.InDelta(t, float64(want), float64(rest.Area()), 1e-7)
	})
}

// Many regions that overlap and whose vertices differ by about the noise make the
// overlay library fail in some of these scenes; they are joined all the same.
func TestRegionsThatDifferByNoiseAreJoined(t *testing.T) {
	const off = 1.6e-8 // m
	for _, scene := range []struct {
		seed          uint64
		side, regions int
	}{{29, 7, 16}, {87, 5, 10}} {
		rng := rand.New(rand.NewPCG(scene.seed, 13))
		held := make([]bool, 4*scene.side*scene.side)
		var all []Region
		for range scene.regions {
			q := drawQuarters(rng, scene.side, 0.5)
			for c, in := range q {
				held[c] = held[c] || in
			}
			mp := q.region(t, scene.side, math.Pi/4).Polygons()
			for _, poly := range mp {
				for _, ring := range poly {
					for i := range ring {
						ring[i][0] += off * rng.NormFloat64()
						ring[i][1] += off * rng.NormFloat64()
					}
					ring[len(ring)-1] = ring[0]
				}
			}
			p, err := NewPlane(LonLat{-93.6, 42})
			require.NoError(t, err)
			r, err := RegionFromPolygons(p, mp)
			require.NoError(t, err)
			all = append(all, r)
		}
		joined, err := UnionAll(all)
		require.NoError(t, err)
		requireValid(t, joined)
		require.InDelta(t, float64(countQuarters(held, func(c int) bool { return held[c] })), float64(joined.Area()), 1e-4)
	}
}
