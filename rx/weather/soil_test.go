package weather

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// By hand from the published coefficients (Kätterer & Andrén 2009, Acta Agric. Scand. B
// 59:77): at 10 cm a day goes 0.24 exp(-0.17) = 0.202480 of the way; bare ground is
// 0.95 + 0.05 exp(1.2) = 1.116006 times as warm as the air above 0 °C, 0.2 times below.
func TestSoilFollowsTheAir(t *testing.T) {
	s := DefaultSoil()
	require.InDelta(t, 0.202480, s.follow(), 1e-6)
	require.InDelta(t, 1.116006, s.warmth(), 1e-6)
	soil, err := s.Course([]float64{10, 10, 10, 10, 10, 10, 10, 20, 20, -10})
	require.NoError(t, err)
	for i := range 8 {
		require.InDelta(t, 11.16006, soil[i], 1e-5, "in balance with a surface of 11.16")
	}
	require.InDelta(t, 11.16006+0.202480*(22.32012-11.16006), soil[8], 1e-5)
	require.InDelta(t, soil[8]+0.202480*(22.32012-soil[8]), soil[9], 1e-5)
	end, err := s.Course([]float64{-10, -10, -10})
	require.NoError(t, err)
	require.InDelta(t, -2, end[2], 1e-9)
	require.Equal(t, 21, s.Settled()) // 0.7975^20 = 0.0108, ^21 = 0.0087

	s.Leaf = 3.75 // leaf area index 3: surface and air alike, the soil slower
	require.InDelta(t, 1, s.warmth(), 1e-12)
	require.InDelta(t, 0.24*math.Exp(-0.17-0.15*3.75), s.follow(), 1e-12)
	require.Contains(t, s.words(), "±2.9 °C")
}

func TestSoilLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := DefaultSoil()
		s.DepthCM, s.Leaf = rapid.Float64Range(0, 60).Draw(t, "depth"), rapid.Float64Range(0, 6).Draw(t, "leaf")
		air := rapid.SliceOfN(rapid.Float64Range(-30, 40), 1, 80).Draw(t, "air")
		low, high := math.Inf(1), math.Inf(-1)
		for _, a := range air {
			low, high = min(low, s.surface(a)), max(high, s.surface(a))
		}
		soil, err := s.Course(air)
		require.NoError(t, err)
		require.Len(t, soil, len(air))
		for _, c := range soil {
			require.True(t, c >= low-1e-9 && c <= high+1e-9, "soil lies between the coldest and the warmest surface")
		}
		warmer := append([]float64{}, air...)
		warmer[rapid.IntRange(0, len(air)-1).Draw(t, "at")] += 3
		more, err := s.Course(warmer)
		require.NoError(t, err)
		for i := range more {
			require.GreaterOrEqual(t, more[i], soil[i]-1e-9)
		}
		// Two beginnings meet: what is left after Settled days is below a hundredth.
		n := s.Settled()
		require.LessOrEqual(t, math.Pow(1-s.follow(), float64(n)), 0.01+1e-12)
	})
}

func TestRefusedSoil(t *testing.T) {
	for name, change := range map[string]func(*Soil){
		"no number":  func(s *Soil) { s.Air = math.NaN() },
		"below zero": func(s *Soil) { s.DepthCM = -1 },
		"infinite":   func(s *Soil) { s.Leaf = math.Inf(1) },
		"nothing":    func(s *Soil) { *s = Soil{} },
		"too fast":   func(s *Soil) { s.RatePerDay = 3 },
		"too warm":   func(s *Soil) { s.Bare = 5 },
		"too deep":   func(s *Soil) { s.DepthCM = 1e6 },
	} {
		s := DefaultSoil()
		change(&s)
		_, err := s.Course([]float64{10})
		require.ErrorContains(t, err, "soil temperature from air", name)
	}
	for _, air := range [][]float64{nil, {math.NaN()}, {1, math.Inf(-1)}} {
		_, err := DefaultSoil().Course(air)
		require.ErrorContains(t, err, "soil temperature from air")
	}
}

func TestSoilColumn(t *testing.T) {
	c := Columns{Date: "day", Max: "hi", Soil: "soil", TemperatureUnit: "F", Missing: []string{"M"}}
	s, err := ReadCSV(strings.NewReader("day,hi,soil\n2001-04-01,59,50\n2001-04-02,60,M\n2001-04-03,M,41\n2001-04-04,50,900\n"), "a.csv", c, Options{})
	require.NoError(t, err)
	addsUp(t, s)
	require.Equal(t, Reading{10, true}, s.Days[0].SoilC)
	require.False(t, s.Days[1].SoilC.Known)
	require.Equal(t, Reading{5, true}, s.Days[2].SoilC)
	require.Equal(t, 1, s.Counts.Dropped[tooHot])
	c.Max, c.TemperatureUnit, c.Rain, c.RainUnit = "", "", "hi", "in"
	_, err = ReadCSV(strings.NewReader("day,hi,soil\n2001-04-01,1,50\n"), "a.csv", c, Options{})
	require.ErrorContains(t, err, "unit of temperature")
}
