package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/rx/allot"
	"ratewright/rx/nitrogen"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/nitrogen/response"
	"ratewright/rx/nitrogen/water"
	"ratewright/rx/weather"
)

func day(month time.Month, d int) time.Time { return time.Date(2026, month, d, 0, 0, 0, 0, time.UTC) }

// madeUp is a station with invented weather: warm days from April on, rain in showers.
func madeUp(years int, seed uint64) Station {
	rng := rand.New(rand.NewPCG(seed, 1))
	s := Station{Name: "made up", Latitude: 42}
	for y := range years {
		wet := 0.5 + rng.Float64()
		sc := weather.Scenario{Year: 1990 + y}
		for t := day(time.February, 1); !t.After(day(time.August, 15)); t = t.AddDate(0, 0, 1) {
			season := -2 + 26*math.Sin(math.Pi*float64(t.YearDay()-40)/330)
			mean := season + 4*rng.NormFloat64()
			d := weather.ScenarioDay{Date: t, Record: t, MaxC: mean + 6, MinC: mean - 6, SoilC: season}
			if rng.Float64() < 0.3 {
				d.RainMM = 9 * wet * rng.ExpFloat64()
			}
			sc.Days = append(sc.Days, d)
		}
		s.Years = append(s.Years, sc)
	}
	return s
}

func source(t testing.TB, name string) nitrogen.Source {
	s, ok := nitrogen.Known(name)
	require.True(t, ok, name)
	return s
}

func curve(t testing.TB, a, b, c float64) response.Curve {
	k, err := response.New(response.QuadraticPlateau, response.Coefficients{A: a, B: b, C: c}, response.Units{RateKgHa: 1, YieldKgHa: 1}, 0, unit.KgNPerHa(250))
	require.NoError(t, err)
	return k
}

// spring is a field of zones with eight strategies.
func spring(t testing.TB, fields, zones, years int) Input {
	uan, urea, nh3, an := source(t, "uan-32"), source(t, "urea"), source(t, "anhydrous-ammonia"), source(t, "ammonium-nitrate")
	in := Input{
		Stations: []Station{madeUp(years, 7)}, By: day(time.July, 1), Grain: unit.GrainPrice(0.165),
		Step: unit.KgNPerHa(10), Most: unit.KgNPerHa(240), Runs: DefaultRuns(),
	}
	trip := func(name string, s nitrogen.Source, p loss.Placement, cm float64, on time.Time, i loss.Inhibitor, share, cost float64) Trip {
		return Trip{
			Name: name, Application: loss.Application{Source: s, Placement: p, Depth: unit.Metres(cm / 100), Date: on, Inhibitor: i},
			Share: share, NPrice: unit.NPrice(1.1), PerHa: cost,
		}
	}
	in.Strategies = []Strategy{
		{"ammonia early", []Trip{trip("nh3", nh3, loss.Injected, 18, day(time.April, 12), loss.NoInhibitor, 1, 35)}},
		{"ammonia early, inhibitor", []Trip{trip("nh3", nh3, loss.Injected, 18, day(time.April, 12), loss.Nitrification, 1, 55)}},
		{"UAN broadcast", []Trip{trip("uan", uan, loss.Broadcast, 0, day(time.April, 25), loss.NoInhibitor, 1, 20)}},
		{"UAN dribbled", []Trip{trip("uan", uan, loss.Dribbled, 0, day(time.June, 5), loss.NoInhibitor, 1, 25)}},
		{"UAN injected", []Trip{trip("uan", uan, loss.Injected, 10, day(time.June, 5), loss.NoInhibitor, 1, 30)}},
		{"urea", []Trip{trip("urea", urea, loss.Broadcast, 0, day(time.May, 20), loss.NoInhibitor, 1, 20)}},
		{"urea, inhibitor", []Trip{trip("urea", urea, loss.Broadcast, 0, day(time.May, 20), loss.Urease, 1, 30)}},
		{"split", []Trip{trip("an", an, loss.Broadcast, 0, day(time.May, 1), loss.NoInhibitor, 0.4, 20), trip("uan", uan, loss.Injected, 10, day(time.June, 10), loss.NoInhibitor, 0.6, 30)}},
	}
	practice := in.Strategies[4].Trips[0].Application
	k := curve(t, 5500, 60, -0.15)
	soils := []water.Soil{{Group: "medium", Drainage: "well drained"}, {Group: "fine", Drainage: "poorly drained"}, {Group: "coarse", Drainage: "excessively drained"}}
	for f := range fields {
		for z := range zones {
			in.Zones = append(in.Zones, Zone{
				Field: fmt.Sprintf("f%d", f), ID: string(rune('A' + z)), AreaHa: 4 + float64(z), Soil: soils[(f+z)%3],
				Site: loss.Site{PH: 6 + 0.1*float64(z), Cover: 0.1 * float64(z%8)}, Curve: k, Practice: &practice,
			})
		}
	}
	return in
}

func TestTheTrialsOwnWayReadsTheCurveAsItIs(t *testing.T) {
	in := spring(t, 1, 3, 6)
	in.Strategies = in.Strategies[4:5]
	rate := unit.KgNPerHa(150)
	for i := range in.Zones {
		in.Zones[i].Target = &rate
	}
	r, err := Compare(in)
	require.NoError(t, err)
	for i, z := range in.Zones {
		o := r.Outcomes[i][0]
		require.InEpsilon(t, z.Curve.Yield(rate).KgPerHa(), o.Yield.KgPerHa(), 1e-9)
		require.InEpsilon(t, o.Yield.KgPerHa(), o.YieldWorst.KgPerHa(), 1e-9)
		require.InDelta(t, 150, o.Lost.Total()+o.Lost.Held+o.Left, 1e-9)
	}
}

// A plain loop over years with the courses themselves agrees.
func TestCompareAgreesWithAPlainLoop(t *testing.T) {
	in := spring(t, 1, 2, 5)
	rate := unit.KgNPerHa(155) // on no rung of the ladder
	for i := range in.Zones {
		in.Zones[i].Target = &rate
	}
	r, err := Compare(in)
	require.NoError(t, err)
	follow := func(z Zone, a loss.Application, n unit.NRate, year int, lc loss.Coefficients, wc water.Coefficients) loss.Balance {
		season, err := water.Run(z.Soil, 42, days(in.Stations[0].Years[year].Days), wc)
		require.NoError(t, err)
		c, err := loss.Follow(a, z.Site, n, &season, in.By, &lc)
		require.NoError(t, err)
		return c.Days[len(c.Days)-1].Balance
	}
	for i, z := range in.Zones {
		for s, strategy := range in.Strategies {
			var left, yields []float64
			low, high, lowReturn, highReturn := 0.0, 0.0, 0.0, 0.0
			var lost Lost
			for y := range in.Stations[0].Years {
				kept := follow(z, *z.Practice, rate, y, loss.Mid(), water.Mid()).StillThere() / 155
				keptLow := follow(z, *z.Practice, rate, y, loss.High(), water.High()).StillThere() / 155
				keptHigh := follow(z, *z.Practice, rate, y, loss.Low(), water.Low()).StillThere() / 155
				sum, sumLow, sumHigh, z := 0.0, 0.0, 0.0, z
				for _, trip := range strategy.Trips {
					n := unit.KgNPerHa(155 * trip.Share)
					z.Site.Part = trip.Share // residue takes once
					b := follow(z, trip.Application, n, y, loss.Mid(), water.Mid())
					sum += b.StillThere()
					lost.Ammonia += b.Ammonia / 5
					lost.AtInjection += b.AtInjection / 5
					lost.Denitrified += b.Denitrified / 5
					lost.Leached += b.Leached / 5
					lost.Held += b.Held / 5
					sumHigh += follow(z, trip.Application, n, y, loss.Low(), water.Low()).StillThere()
					sumLow += follow(z, trip.Application, n, y, loss.High(), water.High()).StillThere()
				}
				left = append(left, sum)
				low += sumLow / 5
				high += sumHigh / 5
				lowReturn += 0.165 * z.Curve.Yield(unit.KgNPerHa(sumHigh/keptHigh)).KgPerHa() / 5
				highReturn += 0.165 * z.Curve.Yield(unit.KgNPerHa(sumLow/keptLow)).KgPerHa() / 5
				yields = append(yields, z.Curve.Yield(unit.KgNPerHa(sum/kept)).KgPerHa())
			}
			o := r.Outcomes[i][s]
			require.InEpsilon(t, mean(left), o.Left, 1e-9)
			require.InEpsilon(t, worstFifth(left), o.LeftWorst, 1e-9)
			require.InEpsilon(t, low, o.LeftLow, 1e-9)
			require.InEpsilon(t, high, o.LeftHigh, 1e-9)
			require.InEpsilon(t, lowReturn-o.Cost, o.ReturnLow, 1e-9)
			require.InEpsilon(t, highReturn-o.Cost, o.ReturnHigh, 1e-9)
			require.InDeltaSlice(t, lost.parts(), o.Lost.parts(), 1e-9)
			require.InEpsilon(t, mean(yields), o.Yield.KgPerHa(), 1e-9)
			require.InEpsilon(t, 0.165*mean(yields)-o.Cost, o.Return, 1e-9)
			require.LessOrEqual(t, o.LeftLow, o.Left)
			require.LessOrEqual(t, o.Left, o.LeftHigh)
		}
	}
}

func TestTheResultDoesNotDependOnWorkersOrCompany(t *testing.T) {
	in := spring(t, 3, 4, 4)
	in.Workers = 1
	one, err := Compare(in)
	require.NoError(t, err)
	in.Workers = 4
	four, err := Compare(in)
	require.NoError(t, err)
	require.Equal(t, one.Outcomes, four.Outcomes)
	in.Zones = in.Zones[5:6]
	alone, err := Compare(in)
	require.NoError(t, err)
	require.Equal(t, one.Outcomes[5], alone.Outcomes[0])
}

// Without limits each zone gets what pays best on it.
func TestAFreeChoiceTakesTheBestOfEachZone(t *testing.T) {
	in := spring(t, 1, 3, 5)
	r, err := Compare(in)
	require.NoError(t, err)
	c, err := r.Choose(allot.DefaultOptions())
	require.NoError(t, err)
	require.True(t, c.Proven)
	for i := range in.Zones {
		best := math.Inf(-1)
		for s := range in.Strategies {
			best = max(best, r.Outcomes[i][s].Return) // compared at the rate that pays best
		}
		require.InEpsilon(t, best, c.Zones[i].Return, 1e-9)
	}
}

// Under limits the choice is the best of all that keep to them, by trying all.
func TestAChoiceUnderLimitsIsTheBestOfAll(t *testing.T) {
	in := spring(t, 1, 2, 3)
	in.Strategies = in.Strategies[3:6]
	in.Step, in.Most = unit.KgNPerHa(40), unit.KgNPerHa(200)
	in.Limits = []Limit{{Name: "nitrogen of UAN", Unit: "kg", Amount: 900}, {Name: "field total", Unit: "kg N", Amount: 1300, PerKgN: 1, Field: "f0"}, {Name: "sprayer", Unit: "ha", Amount: 7}}
	in.Strategies[0].Trips[0].Uses = []Use{{Limit: 0, PerKgN: 1}, {Limit: 2, PerHa: 1}}
	in.Strategies[1].Trips[0].Uses = []Use{{Limit: 0, PerKgN: 1}}
	r, err := Compare(in)
	require.NoError(t, err)
	c, err := r.Choose(allot.DefaultOptions())
	require.NoError(t, err)
	best := math.Inf(-1)
	for _, a := range r.options[0] {
		for _, b := range r.options[1] {
			used := make([]float64, 3)
			for z, l := range []level{a, b} {
				for _, u := range in.uses(&in.Zones[z], l) {
					used[u.Limit] += u.Amount
				}
			}
			if used[0] <= 900+1e-9 && used[1] <= 1300+1e-9 && used[2] <= 7+1e-9 {
				best = max(best, a.ret*in.Zones[0].AreaHa+b.ret*in.Zones[1].AreaHa)
			}
		}
	}
	require.InEpsilon(t, best, c.Value, 1e-12)
	require.Len(t, c.Worth, 3)
}

func TestWhenNitrogenIsShortMarginalReturnsMeet(t *testing.T) {
	in := spring(t, 4, 3, 3)
	in.Strategies = in.Strategies[4:5]
	in.Step = unit.KgNPerHa(5)
	in.Strategies[0].Trips[0].PerHa = 0
	// Half of the zones respond more steeply.
	for i := range in.Zones {
		if i%2 == 0 {
			in.Zones[i].Curve = curve(t, 4000, 80, -0.2)
		}
	}
	in.Limits = []Limit{{Name: "nitrogen", Unit: "kg", Amount: 6000, PerKgN: 1, More: 200}}
	r, err := Compare(in)
	require.NoError(t, err)
	c, err := r.Choose(allot.DefaultOptions())
	require.NoError(t, err)
	require.LessOrEqual(t, c.Used[0], 6000.0)
	low, high := math.Inf(1), 0.0
	for i, z := range c.Zones {
		slope := in.Zones[i].Curve.(response.Curve).Slope(z.Rate)
		low, high = min(low, slope), max(high, slope)
	}
	// A step of 5 kg moves the slope by 2 x 0.2 x 5 at the most.
	assert.Less(t, high-low, 2*2.0+1e-9)
	require.Positive(t, c.Worth[0].Dollars)
}

func TestZonesWithoutACurveHavePhysicalFiguresOnly(t *testing.T) {
	in := spring(t, 1, 3, 3)
	in.Zones[1].Curve = nil
	in.Zones[2].Practice = nil
	r, err := Compare(in)
	require.NoError(t, err)
	for _, i := range []int{1, 2} {
		require.False(t, r.Outcomes[i][0].HasYield)
		require.Positive(t, r.Outcomes[i][0].Left)
	}
	require.Contains(t, fmt.Sprint(r.Notes), "zone B")
	require.Contains(t, fmt.Sprint(r.Notes), "zone C")
	f := r.Fields()
	require.Equal(t, -1, f[0].Best)
	c, err := r.Choose(allot.DefaultOptions())
	require.NoError(t, err)
	require.True(t, c.Zones[0].In)
	require.False(t, c.Zones[1].In)
}

// Nothing is gained beyond the plateau: there the way of putting it down is nil.
func TestOnThePlateauTheWayMakesNoDifference(t *testing.T) {
	in := spring(t, 1, 2, 4)
	rate := unit.KgNPerHa(600)
	in.Most = rate
	in.Step = unit.KgNPerHa(100)
	for i := range in.Zones {
		in.Zones[i].Target = &rate
		in.Zones[i].Soil.Drainage, in.Zones[i].Soil.Group = "well drained", "medium"
	}
	r, err := Compare(in)
	require.NoError(t, err)
	for s := range in.Strategies {
		require.InEpsilon(t, 11500, r.Outcomes[0][s].Yield.KgPerHa(), 1e-9, in.Strategies[s].Name)
	}
}

func TestWhatCannotBePlannedIsRefused(t *testing.T) {
	for name, spoil := range map[string]func(*Input){
		"no zone":                   func(in *Input) { in.Zones = nil },
		"no strategy":               func(in *Input) { in.Strategies = nil },
		"nothing says by which":     func(in *Input) { in.By = time.Time{} },
		"no ladder":                 func(in *Input) { in.Step = 0 },
		"more than all there is":    func(in *Input) { in.Strategies[7].Trips[0].Share = 0.9 },
		"what of the rest":          func(in *Input) { in.Strategies[0].Trips[0].Share = 0.9 },
		"after 2026-07-01":          func(in *Input) { in.Strategies[0].Trips[0].Date = day(time.July, 2) },
		"has no weather":            func(in *Input) { in.Zones[0].Station = 4 },
		"over the same days":        func(in *Input) { in.Stations[0].Years[1].Days = in.Stations[0].Years[1].Days[1:] },
		"both a rate and a share":   func(in *Input) { in.Strategies[0].Trips[0].Rate = 5 },
		"two strategies are called": func(in *Input) { in.Strategies[1].Name = in.Strategies[0].Name },
		"a cost of":                 func(in *Input) { in.Strategies[0].Trips[0].PerHa = math.NaN() },
		"an area of":                func(in *Input) { in.Zones[0].AreaHa = math.NaN() },
	} {
		in := spring(t, 1, 2, 2)
		spoil(&in)
		_, err := Compare(in)
		require.ErrorContains(t, err, name)
	}
}

func TestFixedRatesAboveTheHighestAreTold(t *testing.T) {
	in := spring(t, 1, 1, 2)
	in.Strategies[0].Trips[0].Share, in.Strategies[0].Trips[0].Rate = 0, unit.KgNPerHa(400)
	r, err := Compare(in)
	require.NoError(t, err)
	require.Contains(t, fmt.Sprint(r.Notes), "the fixed rates of ammonia early together lie above")
	require.InDelta(t, 400, r.Outcomes[0][0].Rate.KgNPerHa(), 1e-9)
}

func BenchmarkCompare(b *testing.B) {
	for _, size := range []struct{ fields, zones, years int }{{1, 12, 30}, {500, 6, 30}} {
		b.Run(fmt.Sprintf("%dx%dx8x%d", size.fields, size.zones, size.years), func(b *testing.B) {
			in := spring(b, size.fields, size.zones, size.years)
			for b.Loop() {
				r, err := Compare(in)
				require.NoError(b, err)
				require.Len(b, r.Outcomes, size.fields*size.zones)
			}
		})
	}
}

func BenchmarkChoose(b *testing.B) {
	in := spring(b, 500, 6, 5)
	in.Limits = []Limit{{Name: "nitrogen", Unit: "kg", Amount: 2_000_000, PerKgN: 1}, {Name: "UAN", Unit: "kg N", Amount: 600_000}}
	for _, s := range []int{2, 3, 4} {
		in.Strategies[s].Trips[0].Uses = []Use{{Limit: 1, PerKgN: 1}}
	}
	r, err := Compare(in)
	require.NoError(b, err)
	for b.Loop() {
		_, err := r.Choose(allot.DefaultOptions())
		require.NoError(b, err)
	}
}

func (l Lost) parts() []float64 {
	return []float64{l.Ammonia, l.AtInjection, l.Denitrified, l.Leached, l.Held}
}

// A field's figures are those of its zones by area.
func TestAFieldIsItsZonesByArea(t *testing.T) {
	in := spring(t, 1, 3, 4)
	for y := range in.Stations[0].Years {
		for i := range in.Stations[0].Years[y].Days {
			in.Stations[0].Years[y].Days[i].RainMM *= 4 // so that nitrogen goes by every way
		}
	}
	r, err := Compare(in)
	require.NoError(t, err)
	doc := r.JSON(nil).Fields[0]
	figures := func(rate, left, low, high, cost, yield, ret, retLow, retHigh float64, l Lost) []float64 {
		return append(l.parts(), rate, left, low, high, cost, yield, ret, retLow, retHigh)
	}
	for s, total := range r.Fields()[0].Totals {
		want, ha := make([]float64, 14), 0.0
		for i, z := range in.Zones {
			o := r.Outcomes[i][s]
			ha += z.AreaHa
			said := doc.Zones[i].Strategies[s]
			require.Equal(t, StillThereJSON{o.Left, o.LeftLow, o.LeftHigh, o.LeftWorst}, said.StillThere)
			require.Equal(t, o.Lost.Leached, said.Lost.Leached)
			require.Equal(t, returns(o.Return, o.ReturnWorst, o.ReturnLow, o.ReturnHigh), *said.ReturnPerHa)
			for k, v := range figures(o.Rate.KgNPerHa(), o.Left, o.LeftLow, o.LeftHigh, o.Cost, o.Yield.KgPerHa(), o.Return, o.ReturnLow, o.ReturnHigh, o.Lost) {
				want[k] += z.AreaHa * v
			}
		}
		for k := range want {
			want[k] /= ha
		}
		require.InDelta(t, ha, total.AreaHa, 1e-9)
		said := doc.Strategies[s]
		require.Equal(t, StillThereJSON{total.Left, total.LeftLow, total.LeftHigh, total.LeftWorst}, said.StillThere)
		require.Equal(t, returns(total.Return, total.ReturnWorst, total.ReturnLow, total.ReturnHigh), *said.ReturnPerHa)
		require.InDeltaSlice(t, want, figures(total.RateKgHa, total.Left, total.LeftLow, total.LeftHigh, total.Cost, total.Yield, total.Return, total.ReturnLow, total.ReturnHigh, total.Lost), 1e-8)
	}
}

// A solution of urea and its grains are two applications, though their nitrogen is the same.
func TestASolutionIsNotItsGrains(t *testing.T) {
	in := spring(t, 1, 1, 3)
	grains := in.Strategies[5]
	in.Strategies = []Strategy{grains, {"in water", slices.Clone(grains.Trips)}}
	in.Strategies[1].Trips[0].Source.Density, in.Strategies[1].Trips[0].Source.HasDensity = unit.KgPerLitre(1.12), true
	require.False(t, in.Strategies[0].Trips[0].Same(in.Strategies[1].Trips[0]))
	r, err := Compare(in)
	require.NoError(t, err)
	require.NotEqual(t, r.Outcomes[0][0].Lost.Ammonia, r.Outcomes[0][1].Lost.Ammonia)
}
