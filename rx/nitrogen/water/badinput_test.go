package water

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestBadWeatherIsRefusedInWords(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	soil := Soil{Group: "medium", Drainage: "well drained"}
	for words, change := range map[string]func([]Day) []Day{
		"there is no day":               func([]Day) []Day { return nil },
		"2025-04-04 stands where":       func(d []Day) []Day { return append(d[:2], d[3:]...) },
		"2025-04-02 stands where":       func(d []Day) []Day { d[2] = d[1]; return d },
		"2025-04-03: a value is":        func(d []Day) []Day { d[2].MaxC = nan; return d },
		"2025-04-01: a value is":        func(d []Day) []Day { d[0].SoilC = inf; return d },
		"2025-04-05: a value is":        func(d []Day) []Day { d[4].RainMM = nan; return d },
		"the minimum of 30":             func(d []Day) []Day { d[1].MinC = 30; return d },
		"-1 mm of rain":                 func(d []Day) []Day { d[1].RainMM = -1; return d },
		"1e+09 mm of rain":              func(d []Day) []Day { d[1].RainMM = 1e9; return d },
		"check that the values are in ": func(d []Day) []Day { d[1].MaxC = 88; return d },
	} {
		_, err := Run(soil, 42, change(even(5, 20, 10, nil)), Mid())
		require.ErrorContains(t, err, words)
	}
	for _, lat := range []float64{nan, inf, 91, -91} {
		_, err := Run(soil, lat, even(5, 20, 10, nil), Mid())
		require.ErrorContains(t, err, "latitude")
		_, err = Radiation(lat, 1)
		require.ErrorContains(t, err, "latitude")
	}
	s, err := Run(soil, 42, even(1, 10, 10, nil), Mid())
	require.NoError(t, err, "one day without a span of temperature")
	require.Len(t, s.Days, 1)
	_, err = Radiation(42, 0)
	require.Error(t, err)
	_, err = Runoff(nan, 70)
	require.Error(t, err)
	_, err = Mid().Reference(40, nan, 3)
	require.Error(t, err)
	_, err = Mid().Reference(40, 2, 3)
	require.Error(t, err)
	_, err = Mid().Reference(nan, 4, 3)
	require.Error(t, err)
}

func TestBadSoilsAreRefusedInWords(t *testing.T) {
	days := even(5, 20, 10, nil)
	for words, soil := range map[string]Soil{
		`texture group "loam"`:     {Group: "loam"},
		`texture group ""`:         {},
		`drainage class "wet"`:     {Group: "fine", Drainage: "wet"},
		`hydrologic group "E"`:     {Group: "fine", Hydrologic: "E"},
		`hydrologic group "A/B/C"`: {Group: "fine", Hydrologic: "A/B/C"},
	} {
		_, err := Run(soil, 42, days, Mid())
		require.ErrorContains(t, err, words)
	}
}

func TestBadCoefficientsAreRefused(t *testing.T) {
	for words, change := range map[string]func(*Coefficients){
		"depth_mm":         func(c *Coefficients) { c.DepthMM = 0 },
		"before it begins": func(c *Coefficients) { c.CropFull = 3 },
		"must rise":        func(c *Coefficients) { c.Fine.Capacity = c.Fine.Saturation },
		"fine_capacity of": func(c *Coefficients) { c.Fine.Capacity = math.NaN() },
		"drains_well of":   func(c *Coefficients) { c.Drains.Well = math.Inf(1) },
		"curve_b of":       func(c *Coefficients) { c.Curve.B = math.NaN() },
		"drying_days of":   func(c *Coefficients) { c.DryingDays = math.NaN() },
	} {
		c := Mid()
		change(&c)
		_, err := Run(Soil{Group: "fine"}, 42, even(5, 20, 10, nil), c)
		require.ErrorContains(t, err, words)
	}
	_, err := Run(Soil{Group: "fine"}, 42, even(5, 20, 10, nil), Coefficients{})
	require.Error(t, err)
}

func TestWhatIsNotKnownIsNoted(t *testing.T) {
	s, err := Run(Soil{Group: "fine"}, 42, even(5, 20, 10, nil), Mid())
	require.NoError(t, err)
	require.Len(t, s.Notes, 3)
	c := Mid()
	c.Planted = start
	s, err = Run(Soil{Group: "fine", Drainage: "Poorly  drained", Hydrologic: "c/d", Tiled: true}, 42, even(5, 20, 10, nil), c)
	require.NoError(t, err)
	require.Empty(t, s.Notes)
}

func TestIndexOfADate(t *testing.T) {
	s, err := Run(Soil{Group: "fine"}, 42, even(5, 20, 10, nil), Mid())
	require.NoError(t, err)
	i, ok := s.Index(start.AddDate(0, 0, 4).Add(20 * time.Hour))
	require.True(t, ok)
	require.Equal(t, 4, i)
	_, ok = s.Index(start.AddDate(0, 0, 5))
	require.False(t, ok)
	_, ok = s.Index(start.AddDate(0, 0, -1))
	require.False(t, ok)
}

func TestDrawsRepeat(t *testing.T) {
	require.Equal(t, Draw(3), Draw(3))
	low, high := Low(), High()
	require.Equal(t, low.DrainsScale, high.DrainsScale)
	seen := map[float64]bool{}
	for seed := range uint64(200) {
		c := Draw(seed)
		require.NoError(t, c.check())
		require.True(t, c.SaturatedAbove >= high.SaturatedAbove && c.SaturatedAbove <= low.SaturatedAbove)
		require.True(t, c.DrainsScale >= 0.5 && c.DrainsScale <= 2)
		seen[c.DrainsScale] = true
	}
	require.Len(t, seen, 200)
}

// The mean of a triangle is the mean of its three corners.
func TestTriangle(t *testing.T) {
	const n = 10000
	mean := 0.0
	for i := range n {
		mean += Triangle((float64(i)+0.5)/n, 1, 2, 6) / n
	}
	require.InDelta(t, 3, mean, 1e-3)
	require.Equal(t, 1.0, Triangle(0, 1, 2, 6))
	require.Equal(t, 6.0, Triangle(1, 1, 2, 6))
	require.InDelta(t, 2, Triangle(0.2, 1, 2, 6), 1e-12)
	require.Equal(t, 2.0, Triangle(0.5, 2, 2, 2))
}

func BenchmarkRun(b *testing.B) {
	days := even(200, 22, 10, map[int]float64{5: 20, 30: 40, 31: 10, 60: 5})
	c := Mid()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Run(Soil{Group: "fine", Drainage: "poorly drained", Hydrologic: "D"}, 42, days, c); err != nil {
			b.Fatal(err)
		}
	}
}

func TestCoefficientsByName(t *testing.T) {
	names := map[string]bool{}
	for _, n := range Names() {
		require.False(t, names[n.Name], n.Name)
		names[n.Name] = true
		c := Mid()
		require.Empty(t, c.Changed())
		require.Error(t, c.Set(n.Name, math.NaN()))
		require.NoError(t, c.Set(n.Name, n.High))
		require.Equal(t, n.High != n.Mid, c.Changed() != "", n.Name)
	}
	c := Mid()
	require.ErrorContains(t, c.Set("luck", 1), "luck")
	require.NoError(t, c.Set("curve_b", 70))
	require.Contains(t, c.Changed(), "curve_b 70 (else 78)")
}

// Each number reaches a result.
func TestEveryCoefficientCounts(t *testing.T) {
	days := even(120, 24, 10, map[int]float64{1: 5, 2: 30, 20: 60, 21: 60, 60: 40, 80: 1, 81: 0.9, 90: 90})
	days[89].MaxC, days[89].MinC = -1, -5
	outcome := func(c Coefficients) []State {
		var list []State
		for _, group := range []string{"coarse", "medium", "fine"} {
			for i, class := range []string{"excessively drained", "somewhat excessively drained", "well drained", "moderately well drained", "somewhat poorly drained", "poorly drained", "very poorly drained"} {
				c.Planted = start
				s, err := Run(Soil{Group: group, Drainage: class, Hydrologic: string("ABCD"[i%4])}, 42, days, c)
				require.NoError(t, err)
				list = append(list, s.Days...)
			}
		}
		return list
	}
	before := outcome(Mid())
	for _, n := range Names() {
		c := Mid()
		for _, p := range c.all() {
			if p.Name == n.Name {
				*p.At *= 0.9
			}
		}
		require.False(t, slices.Equal(before, outcome(c)), "%s changes nothing", n.Name)
	}
}
