package loss

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/water"
)

// year is a made-up spring and summer of so many days.
func year(b *testing.B, seed uint64, n int) []water.Day {
	b.Helper()
	r := rand.New(rand.NewPCG(seed, 2))
	days := make([]water.Day, n)
	for i := range days {
		c := 12 + 12*math.Sin(float64(i)/120*math.Pi/2) + 6*r.Float64() - 3
		days[i] = water.Day{Date: spring.AddDate(0, 0, i), MaxC: c + 6, MinC: c - 6, SoilC: c}
		if r.Float64() < 0.3 {
			days[i].RainMM = 25 * r.Float64()
		}
	}
	return days
}

func benchSeason(b *testing.B, n int) *water.Season {
	b.Helper()
	s, err := water.Run(water.Soil{Group: "medium", Drainage: "poorly drained"}, 42, year(b, 1, n), water.Mid())
	require.NoError(b, err)
	return &s
}

// One shape: 100 days of one application.
func BenchmarkPrepare(b *testing.B) {
	season, c := benchSeason(b, 120), Mid()
	a := Application{Source: known(b, "uan-32"), Date: spring.AddDate(0, 0, 10)}
	end := a.Date.AddDate(0, 0, 99)
	var s Shape
	b.ReportAllocs()
	for b.Loop() {
		require.NoError(b, s.Prepare(a, season, end, &c))
	}
}

// One zone and rate on a shape.
func BenchmarkAt(b *testing.B) {
	season, c := benchSeason(b, 120), Mid()
	a := Application{Source: known(b, "uan-32"), Date: spring.AddDate(0, 0, 10)}
	s, err := Prepare(a, season, a.Date.AddDate(0, 0, 99), &c)
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.At(Site{PH: 6.4, Cover: 0.5}, unit.KgNPerHa(150), 90); err != nil {
			b.Fatal(err)
		}
	}
}

// One field of 6 zones in 2 soil classes, 8 strategies, 30 years, low, mid and high,
// its weather its own: multiply by 500 for a season of fields that share nothing.
func BenchmarkField(b *testing.B) {
	const years, strategies, zones = 30, 8, 6
	runs := []struct {
		water water.Coefficients
		loss  Coefficients
	}{{water.Low(), Low()}, {water.Mid(), Mid()}, {water.High(), High()}}
	weather := make([][]water.Day, years)
	for y := range weather {
		weather[y] = year(b, uint64(y), 120)
	}
	source := known(b, "uan-32")
	var s Shape
	b.ReportAllocs()
	for b.Loop() {
		for _, days := range weather {
			for _, run := range runs {
				for _, group := range []string{"medium", "fine"} {
					season, err := water.Run(water.Soil{Group: group, Drainage: "somewhat poorly drained"}, 42, days, run.water)
					if err != nil {
						b.Fatal(err)
					}
					for n := range strategies {
						a := Application{Source: source, Date: spring.AddDate(0, 0, n)}
						if err := s.Prepare(a, &season, spring.AddDate(0, 0, 110), &run.loss); err != nil {
							b.Fatal(err)
						}
						for z := range zones / 2 {
							if _, err := s.At(Site{PH: 6.4, Cover: 0.1 * float64(z)}, unit.KgNPerHa(150), 90); err != nil {
								b.Fatal(err)
							}
						}
					}
				}
			}
		}
	}
}
