package water

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var start = time.Date(2025, 4, 1, 0, 0, 0, 0, time.UTC)

// even is so many days of one weather.
func even(n int, maxC, minC float64, rain map[int]float64) []Day {
	days := make([]Day, n)
	for i := range days {
		days[i] = Day{Date: start.AddDate(0, 0, i), MaxC: maxC, MinC: minC, SoilC: (maxC + minC) / 2, RainMM: rain[i+1]}
	}
	return days
}

// Three days by hand, medium soil of 600 mm: 75 at wilting, 177 at capacity, 288
// saturated, "poorly drained": a tenth drains. No evapotranspiration in them.
// Day 1: 177 + 40 = 217; drains 0.1*40 = 4; 213, which is 36 of 111 mm of pores: above
// 0.3, saturated. Day 2: 213 + 100 = 313; 25 run off; drains 11.1; 276.9. Day 3: drains
// 9.99; 266.91.
func TestThreeDaysByHand(t *testing.T) {
	c := Mid()
	c.EvaporationScale = 0
	s, err := Run(Soil{Group: "medium", Drainage: "Poorly drained"}, 42, even(3, 20, 10, map[int]float64{1: 40, 2: 100}), c)
	require.NoError(t, err)
	for i, want := range []State{
		{MeanC: 15, SoilC: 15, ArrivedMM: 40, DrainedMM: 4, SoilMM: 213, Saturated: true, WetDays: 1, Surface: 1},
		{MeanC: 15, SoilC: 15, ArrivedMM: 100, RunoffMM: 25, DrainedMM: 11.1, SoilMM: 276.9, Saturated: true, WetDays: 2, Surface: 1},
		{MeanC: 15, SoilC: 15, DrainedMM: 9.99, SoilMM: 266.91, Saturated: true, WetDays: 3, Surface: 1},
	} {
		got := s.Days[i]
		for _, p := range [][2]float64{{want.RunoffMM, got.RunoffMM}, {want.DrainedMM, got.DrainedMM}, {want.SoilMM, got.SoilMM}} {
			require.InDelta(t, p[0], p[1], 1e-9, "day %d", i+1)
		}
		got.RunoffMM, got.DrainedMM, got.SoilMM = want.RunoffMM, want.DrainedMM, want.SoilMM
		require.Equal(t, want, got)
	}
}

// Water above capacity falls off by a constant share: a geometric series.
func TestDrainageInClosedForm(t *testing.T) {
	c := Mid()
	c.EvaporationScale = 0
	s, err := Run(Soil{Group: "fine", Drainage: "somewhat poorly drained"}, 42, even(30, 20, 10, map[int]float64{1: 50}), c)
	require.NoError(t, err)
	sum := 0.0
	for i, d := range s.Days {
		require.InDelta(t, s.CapacityMM+50*math.Pow(0.8, float64(i+1)), d.SoilMM, 1e-9)
		sum += d.DrainedMM
	}
	require.InDelta(t, 50*(1-math.Pow(0.8, 30)), sum, 1e-9)
}

// Without rain and below the easy share a soil dries by a constant share of what is
// left. Source: FAO-56, equation 84.
func TestDryingInClosedForm(t *testing.T) {
	c := Mid()
	c.StartShare, c.Hargreaves = 0.3, 0.0005 // slow, so that no day takes all
	s, err := Run(Soil{Group: "medium", Drainage: "well drained"}, 0, even(3, 20, 10, nil), c)
	require.NoError(t, err)
	left := 0.3 * (s.CapacityMM - s.WiltingMM)
	for i, d := range s.Days {
		ra, err := Radiation(0, start.YearDay()+i)
		require.NoError(t, err)
		et, err := c.Reference(ra, 20, 10)
		require.NoError(t, err)
		left *= 1 - 0.5*et/(0.45*(s.CapacityMM-s.WiltingMM))
		require.InDelta(t, s.WiltingMM+left, d.SoilMM, 1e-9)
	}
}

func TestCropDrawsMoreAsItGrows(t *testing.T) {
	c := Mid()
	c.Planted = start
	b, err := newBucket(Soil{Group: "medium"}, 42, c)
	require.NoError(t, err)
	for day, want := range map[int]float64{-20: 0.5, 0: 0.5, 30: 0.5, 50: 0.85, 70: 1.2, 120: 1.2} {
		require.InDelta(t, want, b.crop(start.AddDate(0, 0, day)), 1e-12)
	}
}

// Snow lies, then melts at 2.7 mm a degree and day.
func TestSnowLiesAndMelts(t *testing.T) {
	days := even(6, 2, -6, map[int]float64{1: 10, 2: 10})
	for i := 2; i < 6; i++ {
		days[i].MaxC, days[i].MinC = 6, 0
	}
	s, err := Run(Soil{Group: "medium", Drainage: "well drained"}, 42, days, Mid())
	require.NoError(t, err)
	for i, want := range [][2]float64{{0, 10}, {0, 20}, {8.1, 11.9}, {8.1, 3.8}, {3.8, 0}, {0, 0}} {
		require.InDelta(t, want[0], s.Days[i].ArrivedMM, 1e-9)
		require.InDelta(t, want[1], s.Days[i].SnowMM, 1e-9)
		require.Equal(t, want[1] > 0, s.Days[i].UsedMM == 0, "none evaporates under snow")
	}
}

// A surface stays moist for three days after 2 mm, then dries over five.
func TestSurfaceDries(t *testing.T) {
	c := Mid()
	c.StartShare = 0.5
	s, err := Run(Soil{Group: "medium", Drainage: "well drained"}, 42, even(14, 24, 12, map[int]float64{3: 2}), c)
	require.NoError(t, err)
	for i, want := range []float64{0, 0, 1, 1, 1, 0.8, 0.6, 0.4, 0.2, 0, 0} {
		require.InDelta(t, want, s.Days[i].Surface, 1e-9, "day %d", i+1)
	}
}

func drawSoil(t *rapid.T) Soil {
	return Soil{
		Group:      rapid.SampledFrom([]string{"coarse", "medium", "fine"}).Draw(t, "group"),
		Drainage:   rapid.SampledFrom([]string{"", "excessively drained", "somewhat excessively drained", "well drained", "moderately well drained", "somewhat poorly drained", "poorly drained", "very poorly drained"}).Draw(t, "drainage"),
		Hydrologic: rapid.SampledFrom([]string{"", "A", "B", "C", "D", "A/D", "c/d"}).Draw(t, "hydrologic"),
		Tiled:      rapid.Bool().Draw(t, "tiled"),
	}
}

func drawDays(t *rapid.T) []Day {
	base, wet := rapid.Float64Range(-10, 25).Draw(t, "warmth"), rapid.Float64Range(0, 0.9).Draw(t, "wetness")
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "weather"), 1))
	days := make([]Day, rapid.IntRange(1, 200).Draw(t, "days"))
	for i := range days {
		c, span := base+16*r.Float64()-8, 20*r.Float64()
		days[i] = Day{Date: start.AddDate(0, 0, i), MaxC: c + span/2, MinC: c - span/2, SoilC: c}
		if r.Float64() < wet {
			days[i].RainMM = math.Pow(10*r.Float64(), 2)
		}
	}
	return days
}

func drawCoefficients(t *rapid.T) Coefficients {
	c := rapid.SampledFrom([]func() Coefficients{Low, Mid, High, func() Coefficients { return Draw(rapid.Uint64().Draw(t, "seed")) }}).Draw(t, "run")()
	c.StartShare = rapid.Float64Range(0, 1).Draw(t, "start")
	if rapid.Bool().Draw(t, "cropped") {
		c.Planted = start.AddDate(0, 0, rapid.IntRange(-60, 60).Draw(t, "planted"))
	}
	return c
}

// The same rules kept as a deficit below field capacity, the way FAO-56 chapter 8 words
// them, with all the day's terms written out.
func TestBalanceAgainstADeficit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		soil, days, c := drawSoil(t), drawDays(t), drawCoefficients(t)
		lat := rapid.Float64Range(25, 50).Draw(t, "latitude")
		got, err := Run(soil, lat, days, c)
		require.NoError(t, err)

		th := map[string]Texture{"coarse": c.Coarse, "medium": c.Medium, "fine": c.Fine}[soil.Group]
		taw := 1000 * (th.Capacity - th.Wilting) * c.DepthMM / 1000
		raw := c.EasyShare * taw
		room := (th.Saturation - th.Capacity) * c.DepthMM
		name := soil.Drainage
		if name == "" {
			name = "moderately well drained"
		}
		k := map[string]float64{
			"excessively drained": c.Drains.Excessively, "somewhat excessively drained": c.Drains.SomewhatExcessively, "well drained": c.Drains.Well,
			"moderately well drained": c.Drains.ModeratelyWell, "somewhat poorly drained": c.Drains.SomewhatPoorly, "poorly drained": c.Drains.Poorly, "very poorly drained": c.Drains.VeryPoorly,
		}[name]
		if soil.Tiled && k < c.Drains.ModeratelyWell {
			k = c.Drains.ModeratelyWell
		}
		k = math.Min(1, k*c.DrainsScale)
		group := strings.ToUpper(soil.Hydrologic)
		if strings.Contains(group, "/") {
			if soil.Tiled {
				group = group[:1]
			} else {
				group = group[2:]
			}
		}
		deficit, snow, wet, moisture := (1-c.StartShare)*taw, 0.0, 0, 0.0
		if 1-deficit/taw >= c.NearCapacity {
			moisture = 1
		}
		for i, d := range days {
			mean := 0.5 * (d.MaxC + d.MinC)
			rain, fromSnow := d.RainMM, 0.0
			if mean <= 0 {
				snow, rain = snow+rain, 0
			} else {
				fromSnow = math.Min(snow, c.MeltPerDegree*mean)
				snow -= fromSnow
			}
			water := rain + fromSnow
			ro := 0.0
			if group != "" {
				inches := water / 25.4
				s := 1000/map[string]float64{"A": c.Curve.A, "B": c.Curve.B, "C": c.Curve.C, "D": c.Curve.D}[group] - 10
				if inches > 0.2*s {
					ro = 25.4 * (inches - 0.2*s) * (inches - 0.2*s) / (inches + 0.8*s)
				}
			}
			deficit -= water - ro
			if -deficit > room {
				ro += -deficit - room
				deficit = -room
			}
			dp := 0.0
			if deficit < 0 {
				dp = -deficit * k
				deficit += dp
			}
			ra, err := Radiation(lat, d.Date.YearDay())
			require.NoError(t, err)
			et0 := math.Max(0, c.EvaporationScale*0.0023*(mean+17.8)*math.Sqrt(d.MaxC-d.MinC)*ra/2.45)
			kc := c.BareSoil
			if !c.Planted.IsZero() {
				age := d.Date.Sub(c.Planted).Hours() / 24
				kc += (c.FullCrop - c.BareSoil) * math.Max(0, math.Min(1, (age-c.CropStarts)/(c.CropFull-c.CropStarts)))
			}
			ks := 1.0
			if deficit > raw {
				ks = math.Max(0, (taw-deficit)/(taw-raw))
			}
			et := ks * kc * et0
			if snow > 0 {
				et = 0
			}
			et = math.Min(et, math.Max(0, taw-deficit))
			deficit += et
			if -deficit > c.SaturatedAbove*room {
				wet++
			} else {
				wet = 0
			}
			lately := water
			for j := i - 1; j >= 0 && j >= i-2; j-- {
				lately += got.Days[j].ArrivedMM
			}
			moisture = math.Max(0, moisture-1/c.DryingDays)
			if lately >= c.MoistMM || deficit <= (1-c.NearCapacity)*taw {
				moisture = 1
			}
			g := got.Days[i]
			require.InDelta(t, water, g.ArrivedMM, 1e-9)
			require.InDelta(t, snow, g.SnowMM, 1e-9)
			require.InDelta(t, ro, g.RunoffMM, 1e-9)
			require.InDelta(t, dp, g.DrainedMM, 0.01, "day %d", i)
			require.InDelta(t, et, g.UsedMM, 0.01, "day %d: 0.408 is 1/2.45 to four figures", i)
			require.InDelta(t, th.Capacity*c.DepthMM-deficit, g.SoilMM, 0.2)
			deficit = th.Capacity*c.DepthMM - g.SoilMM // so that figures do not drift apart
			if math.Abs(-deficit-c.SaturatedAbove*room) > 0.2 {
				require.Equal(t, wet > 0, g.Saturated)
			}
			if math.Abs(deficit-(1-c.NearCapacity)*taw) > 0.2 {
				require.InDelta(t, moisture, g.Surface, 1e-9)
			}
			wet, moisture = g.WetDays, g.Surface
		}
	})
}

// What comes in is there, or has left, day by day; the bucket stays between wilting
// point and saturation.
func TestWaterIsKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		soil, days, c := drawSoil(t), drawDays(t), drawCoefficients(t)
		s, err := Run(soil, 42, days, c)
		require.NoError(t, err)
		water, snow := s.WiltingMM+c.StartShare*(s.CapacityMM-s.WiltingMM), 0.0
		for i, d := range s.Days {
			require.InDelta(t, days[i].RainMM, d.ArrivedMM+d.SnowMM-snow, 1e-9)
			require.InDelta(t, d.ArrivedMM, d.SoilMM-water+d.RunoffMM+d.DrainedMM+d.UsedMM, 1e-9)
			water, snow = d.SoilMM, d.SnowMM
			require.True(t, d.SoilMM >= s.WiltingMM-1e-9 && d.SoilMM <= s.SaturationMM+1e-9)
			for _, v := range []float64{d.RunoffMM, d.DrainedMM, d.UsedMM, d.SnowMM, d.Surface} {
				require.GreaterOrEqual(t, v, 0.0)
			}
			require.Equal(t, d.Saturated, d.WetDays > 0)
			require.LessOrEqual(t, d.Surface, 1.0)
		}
	})
}

// Soil that drains less has no fewer saturated days.
func TestDrainageClassesAreInOrder(t *testing.T) {
	classes := []string{"excessively drained", "somewhat excessively drained", "well drained", "moderately well drained", "somewhat poorly drained", "poorly drained", "very poorly drained"}
	rapid.Check(t, func(t *rapid.T) {
		soil, days, c := drawSoil(t), drawDays(t), drawCoefficients(t)
		soil.Tiled = false
		before := -1
		for _, class := range classes {
			soil.Drainage = class
			s, err := Run(soil, 42, days, c)
			require.NoError(t, err)
			n := 0
			for _, d := range s.Days {
				if d.Saturated {
					n++
				}
			}
			require.GreaterOrEqual(t, n, before, class)
			before = n
		}
		soil.Tiled = true
		s, err := Run(soil, 42, days, c)
		require.NoError(t, err)
		soil.Drainage, soil.Tiled = "moderately well drained", true
		like, err := Run(soil, 42, days, c)
		require.NoError(t, err)
		require.Equal(t, like.Days, s.Days, "tile drains very poorly drained soil as moderately well drained")
	})
}

// The runs are in order for both that leads to a loss: saturated days, and water that
// drains.
func TestRunsAreInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		soil, days := drawSoil(t), drawDays(t)
		wet, drained := -1, -1.0
		for _, c := range []Coefficients{Low(), Mid(), High()} {
			s, err := Run(soil, 42, days, c)
			require.NoError(t, err)
			n, mm := 0, 0.0
			for _, d := range s.Days {
				mm += d.DrainedMM
				if d.Saturated {
					n++
				}
			}
			require.GreaterOrEqual(t, n, wet)
			require.GreaterOrEqual(t, mm, drained-1e-9)
			wet, drained = n, mm
		}
	})
}

// Source: Sawyer, Iowa State Univ. ICM News: in Illinois 4 in over 3 days or 6 in over 8
// cost 60 to 70 lb N/ac of nitrate on silt and clay loams. The nitrate there was is not
// told; of 150 to 200 lb that is 30 to 47 %. What makes a day saturated was set with
// this in view, so it is a regression: at 4.5 % a day after the first two, poorly
// drained fine soil loses 28 and 37 %, medium soil 21 and 34 %.
func TestWetSpellsOfIllinois(t *testing.T) {
	lost := func(group string, days int, mm float64, c Coefficients) float64 {
		rain := map[int]float64{}
		for i := range days {
			rain[3+i] = mm / float64(days)
		}
		weather := even(30, 24, 13, rain)
		for i := range weather {
			weather[i].Date = time.Date(2025, 5, 20+i, 0, 0, 0, 0, time.UTC)
		}
		c.Planted = time.Date(2025, 4, 28, 0, 0, 0, 0, time.UTC)
		s, err := Run(Soil{Group: group, Drainage: "poorly drained"}, 40, weather, c)
		require.NoError(t, err)
		left := 100.0
		for _, d := range s.Days {
			if d.WetDays > 2 {
				left *= 1 - 0.045
			}
		}
		return 100 - left
	}
	require.InDelta(t, 28, lost("fine", 3, 102, Mid()), 1)
	require.InDelta(t, 37, lost("fine", 8, 152, Mid()), 1)
	require.InDelta(t, 21, lost("medium", 3, 102, Mid()), 1)
	require.InDelta(t, 34, lost("medium", 8, 152, Mid()), 1)
	require.InDelta(t, 12.9, lost("fine", 3, 102, Low()), 0.1)
	require.InDelta(t, 24.1, lost("fine", 8, 152, Low()), 0.1)
	require.InDelta(t, 39.7, lost("fine", 3, 102, High()), 0.1)
	require.InDelta(t, 49.9, lost("fine", 8, 152, High()), 0.1)
}
