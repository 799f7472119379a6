package surface

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func rotate(p orb.Point, a float64) orb.Point {
	return orb.Point{1000 + p[0]*math.Cos(a) - p[1]*math.Sin(a), -500 + p[0]*math.Sin(a) + p[1]*math.Cos(a)}
}

// gridded are samples on a regular grid, as most fields are sampled.
func gridded(cols, rows int, spacing float64, seed uint64) []Sample {
	rng := rand.New(rand.NewPCG(seed, 2))
	var s []Sample
	for c := range cols {
		for r := range rows {
			p := orb.Point{spacing * float64(c), spacing * float64(r)}
			s = append(s, Sample{At: p, Value: 20 + 5*math.Sin(p[0]/120) + 4*math.Cos(p[1]/90) + 0.5*rng.NormFloat64()})
		}
	}
	return s
}

// On a grid many samples are equally near a place, and many pairs equally far apart. Which
// way the grid lies must not choose among them; 63.615 m is the side of an acre's square.
func TestAGridTurnedIsTheSame(t *testing.T) {
	for _, spacing := range []float64{50, 63.615} {
		base := gridded(12, 10, spacing, 1)
		var places []orb.Point
		for i := range 40 {
			places = append(places, orb.Point{spacing * float64(i%8) * 0.5, spacing * float64(i/8) * 0.5})
		}
		want, err := Fit(base, DefaultOptions())
		require.NoError(t, err)
		require.Equal(t, Kriging, want.Method)
		for _, a := range []float64{0.3, 0.7, 1.1, 2} {
			turned := make([]Sample, len(base))
			for i, s := range base {
				turned[i] = Sample{At: rotate(s.At, a), Value: s.Value}
			}
			got, err := Fit(turned, DefaultOptions())
			require.NoError(t, err)
			for i, p := range places {
				w, _ := want.At(p)
				g, _ := got.At(rotate(p, a))
				require.InDelta(t, w, g, 1e-9, "place %d, turned by %v, spacing %v: %+v %+v", i, a, spacing, want.Variogram, got.Variogram)
			}
		}
	}
}

func TestTheTreeFindsTheNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// Whole metres, so that many are equally near and some lie on one another.
		metre := rapid.Float64Range(0, 30)
		n, near := rapid.IntRange(1, 120).Draw(t, "samples"), rapid.IntRange(2, 20).Draw(t, "near")
		samples := make([]Sample, n)
		for i := range samples {
			samples[i].At = orb.Point{math.Floor(metre.Draw(t, "x")), math.Floor(metre.Draw(t, "y"))}
		}
		p := orb.Point{math.Floor(metre.Draw(t, "px")), metre.Draw(t, "py")}
		but := rapid.IntRange(-1, n-1).Draw(t, "but")
		chosen := newTree(samples).nearest(p, but, near)
		in := map[int]bool{}
		farthest := 0.0
		for _, i := range chosen {
			require.False(t, in[i])
			in[i] = true
			farthest = max(farthest, dist(p, samples[i].At))
		}
		require.False(t, in[but])
		left := n
		if but >= 0 {
			left--
		}
		require.GreaterOrEqual(t, len(chosen), min(near, left))
		require.LessOrEqual(t, len(chosen), 2*near)
		closer := 0
		for i, s := range samples {
			d := dist(p, s.At)
			if i == but || in[i] {
				if in[i] && d < farthest*(1-1e-8) {
					closer++
				}
				continue
			}
			require.GreaterOrEqual(t, d, farthest*(1-1e-8), "sample %d is nearer than one that was taken", i)
			if len(chosen) < 2*near {
				require.Greater(t, d, farthest, "sample %d is as near as one that was taken", i)
			}
		}
		if left > 0 {
			require.Less(t, closer, near, "no more than needed")
		}
	})
}

func BenchmarkFit(b *testing.B) {
	for _, n := range []int{500, 2000, 10_000, 100_000} {
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			s := hilly(n, 0.5, 6)
			for b.Loop() {
				_, err := Fit(s, DefaultOptions())
				require.NoError(b, err)
			}
		})
	}
}

func BenchmarkInverse(b *testing.B) {
	s, err := Fit(hilly(500, 0.3, 2), DefaultOptions())
	require.NoError(b, err)
	s.Method = InverseDistance
	for b.Loop() {
		for i := range 100_000 {
			s.At(orb.Point{float64(i%400) * 2, float64(i/400) * 2.4})
		}
	}
}
