package surface

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// hilly is a smooth field with a little noise.
func hilly(n int, noise float64, seed uint64) []Sample {
	rng := rand.New(rand.NewPCG(seed, 1))
	s := make([]Sample, n)
	for i := range s {
		p := orb.Point{800 * rng.Float64(), 600 * rng.Float64()}
		s[i] = Sample{At: p, Value: 20 + 5*math.Sin(p[0]/120) + 4*math.Cos(p[1]/90) + noise*rng.NormFloat64()}
	}
	return s
}

func TestKrigingBeatsTheMeanWhereThereIsAPattern(t *testing.T) {
	s, err := Fit(hilly(150, 0.3, 3), DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, Kriging, s.Method)
	mean, _ := s.Skill(Mean)
	inverse, _ := s.Skill(InverseDistance)
	kriging, ok := s.Skill(Kriging)
	require.True(t, ok)
	require.Less(t, kriging.RMSE, 0.5*inverse.RMSE)
	require.Less(t, kriging.RMSE, 0.25*mean.RMSE)
	require.Contains(t, s.Words(), "150 samples by kriging")
	v, se := s.At(orb.Point{400, 300})
	require.InDelta(t, 20+5*math.Sin(400.0/120)+4*math.Cos(300.0/90), v, 1.5)
	require.Positive(t, se)
}

func TestNoiseAloneIsItsMean(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	samples := hilly(60, 0, 4)
	sum := 0.0
	for i := range samples {
		samples[i].Value = 10 + rng.NormFloat64()
		sum += samples[i].Value / 60
	}
	s, err := Fit(samples, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, Mean, s.Method)
	v, se := s.At(orb.Point{1, 2})
	require.InDelta(t, sum, v, 1e-12)
	require.True(t, math.IsNaN(se))
	require.Contains(t, strings.Join(s.Notes, "\n"), "no pattern in space")
	require.Contains(t, strings.Join(s.Notes, "\n"), "60 samples are few")
}

func TestAnExactVariogramHonoursTheSamples(t *testing.T) {
	samples := hilly(80, 0, 5)
	k := newKriger(newTree(samples), Variogram{"spherical", 0, 30, 300}, 20)
	for _, p := range samples {
		v, variance := k.at(p.At, -1)
		require.InDelta(t, p.Value, v, 1e-8)
		require.InDelta(t, 0, variance, 1e-8)
	}
}

// Two samples and a linear stretch of the variogram: the middle has the mean of both, and
// a place near one has more of it, by hand: weights (1 + (g1 - g2)/g12)/2 with gammas from the place.
func TestKrigingOfTwoSamplesByHand(t *testing.T) {
	v := Variogram{"spherical", 1, 9, 1000}
	samples := []Sample{{At: orb.Point{0, 0}, Value: 10}, {At: orb.Point{100, 0}, Value: 20}}
	k := newKriger(newTree(samples), v, 2)
	got, _ := k.at(orb.Point{50, 0}, -1)
	require.InDelta(t, 15, got, 1e-12)
	g1, g2, g12 := v.At(30), v.At(70), v.At(100)
	w1 := (1 + (g2-g1)/g12) / 2
	got, variance := k.at(orb.Point{30, 0}, -1)
	require.InDelta(t, 10*w1+20*(1-w1), got, 1e-12)
	// The variance is the weights times the gammas and the multiplier.
	mu := g1 - (1-w1)*g12
	require.InDelta(t, w1*g1+(1-w1)*g2+mu, variance, 1e-12)
}

func TestLawsOfSurfaces(t *testing.T) {
	base := hilly(120, 0.5, 6)
	places := []orb.Point{{10, 10}, {400, 300}, {790, 20}, {333, 555}}
	of := func(s []Sample, move func(orb.Point) orb.Point) []float64 {
		f, err := Fit(s, DefaultOptions())
		require.NoError(t, err)
		var out []float64
		for _, p := range places {
			v, _ := f.At(move(p))
			out = append(out, v)
		}
		return out
	}
	stay := func(p orb.Point) orb.Point { return p }
	want := of(base, stay)
	shifted, turned, mixed := make([]Sample, len(base)), make([]Sample, len(base)), make([]Sample, len(base))
	turn := func(p orb.Point) orb.Point {
		const a = 0.7
		return orb.Point{1000 + p[0]*math.Cos(a) - p[1]*math.Sin(a), -500 + p[0]*math.Sin(a) + p[1]*math.Cos(a)}
	}
	for i, s := range base {
		shifted[i] = Sample{At: s.At, Value: 3*s.Value + 7}
		turned[i] = Sample{At: turn(s.At), Value: s.Value}
		mixed[(i*37+5)%len(base)] = s
	}
	for i, v := range of(shifted, stay) {
		require.InDelta(t, 3*want[i]+7, v, 1e-6)
	}
	for i, v := range of(turned, turn) {
		require.InDelta(t, want[i], v, 1e-6)
	}
	for i, v := range of(mixed, stay) {
		require.InDelta(t, want[i], v, 1e-9)
	}
}

func TestSamplesThatAreNone(t *testing.T) {
	_, err := Fit(nil, DefaultOptions())
	require.ErrorContains(t, err, "0 places")
	_, err = Fit([]Sample{{Value: 1}, {Value: 2}, {Value: 3}}, DefaultOptions())
	require.ErrorContains(t, err, "1 places", "all at one place")
	same := hilly(50, 0, 7)
	for i := range same {
		same[i].Value = 4
	}
	s, err := Fit(same, DefaultOptions())
	require.NoError(t, err)
	v, _ := s.At(orb.Point{5, 5})
	require.InDelta(t, 4, v, 1e-12)

	few := append(hilly(6, 0, 8), Sample{Value: math.NaN()}, Sample{At: orb.Point{math.Inf(1), 0}, Value: 1})
	few = append(few, few[0])
	s, err = Fit(few, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, 6, s.Samples)
	notes := strings.Join(s.Notes, "\n")
	require.Contains(t, notes, "2 of 9 samples have no value")
	require.Contains(t, notes, "1 samples lie at the place of another")
	require.Contains(t, notes, "too few for a variogram")
	_, _, err = s.MeanOver(nil)
	require.Error(t, err)
	m, _, err := s.MeanOver([]orb.Point{{1, 1}, {2, 2}})
	require.NoError(t, err)
	require.False(t, math.IsNaN(m))
}

func TestTheModelThatMadeTheDataIsFound(t *testing.T) {
	var l lags
	want := Variogram{"spherical", 2, 8, 200}
	for k := range l.pairs {
		l.distance[k] = 20 + 30*float64(k)
		l.gamma[k] = want.At(l.distance[k])
		l.pairs[k] = 100
	}
	got, sse := l.fit("spherical", 200)
	require.InDelta(t, 0, sse, 1e-12)
	require.InDelta(t, 2, got.Nugget, 1e-9)
	require.InDelta(t, 8, got.Sill, 1e-9)
}

func BenchmarkKriging(b *testing.B) {
	s, err := Fit(hilly(500, 0.3, 2), DefaultOptions())
	require.NoError(b, err)
	require.Equal(b, Kriging, s.Method)
	for b.Loop() {
		for i := range 100_000 {
			s.At(orb.Point{float64(i%400) * 2, float64(i/400) * 2.4})
		}
	}
}
