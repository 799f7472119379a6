package course

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen"
	"ratewright/rx/nitrogen/guard"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/nitrogen/water"
	"ratewright/rx/weather"
)

func on(month time.Month, day int) time.Time {
	return time.Date(2026, month, day, 0, 0, 0, 0, time.UTC)
}

// year is made-up weather from 1 April on: warm, with so much rain every few days.
func year(name, days, every int, rainMM float64) weather.Scenario {
	s := weather.Scenario{Year: name}
	for i := range days {
		mean := 10 + 0.13*float64(i) + 3*math.Sin(float64(i*name%17))
		d := weather.ScenarioDay{Date: on(time.April, 1).AddDate(0, 0, i), MaxC: mean + 6, MinC: mean - 6, SoilC: mean}
		if i%every == name%every {
			d.RainMM = rainMM
		}
		s.Days = append(s.Days, d)
	}
	return s
}

func source(t testing.TB, name string) nitrogen.Source {
	t.Helper()
	s, ok := nitrogen.Known(name)
	require.True(t, ok)
	return s
}

// sample is UAN dribbled on three zones, of which two share a soil and one has none.
func sample(t testing.TB) Input {
	silt := water.Soil{Group: "medium", Drainage: "well drained", Hydrologic: "B"}
	clay := water.Soil{Group: "fine", Drainage: "poorly drained", Hydrologic: "D"}
	return Input{
		Application: loss.Application{Source: source(t, "uan-32"), Placement: loss.Dribbled, Date: on(time.June, 5)},
		Until:       on(time.July, 15), Latitude: 41.9,
		Zones: []Zone{
			{"A", unit.Hectares(10), unit.KgNPerHa(168), silt, loss.Site{PH: 6.4, Cover: 0.6}},
			{"B", unit.Hectares(20), unit.KgNPerHa(120), clay, loss.Site{PH: 7, Cover: 0.3}},
			{"C", unit.Hectares(5), unit.KgNPerHa(150), silt, loss.Site{PH: 5.8}},
			{"none", unit.Hectares(2), 0, silt, loss.Site{PH: 6}},
		},
		Years: []weather.Scenario{year(2021, 110, 9, 3), year(2022, 110, 4, 22), year(2023, 110, 6, 12)},
		Runs:  DefaultRuns(on(time.May, 2)), Draws: 40, Seed: 7,
	}
}

func follow(t testing.TB, in Input) Result {
	t.Helper()
	r, err := Follow(in)
	require.NoError(t, err)
	return r
}

// TestMassClosesInTheJSON adds up what loss.json says, after it was written and read.
func TestMassClosesInTheJSON(t *testing.T) {
	for _, name := range []string{"urea", "uan-28", "ammonium-nitrate", "anhydrous-ammonia"} {
		in := sample(t)
		in.Application.Source = source(t, name)
		in.Actual = &in.Years[1]
		if name == "anhydrous-ammonia" {
			in.Application.Placement, in.Application.Depth = loss.Injected, unit.Inches(5)
		}
		r := follow(t, in)
		data, err := json.Marshal(r.JSON(in.Application))
		require.NoError(t, err)
		var doc ApplicationJSON
		require.NoError(t, json.Unmarshal(data, &doc))
		days := 0
		closes := func(rate float64, f FateJSON) {
			t.Helper()
			days++
			require.InDelta(t, f.StillThere, f.Urea+f.Ammonium+f.Nitrate, 1e-12*rate)
			require.InDelta(t, f.Lost, f.Ammonia+f.AtInjection+f.Denitrified+f.Leached, 1e-12*rate)
			require.InDelta(t, rate, f.StillThere+f.Held+f.Lost, 1e-12*rate)
			require.LessOrEqual(t, f.StillLow, f.StillThere)
			require.GreaterOrEqual(t, f.StillHigh, f.StillThere)
			require.LessOrEqual(t, *f.StillP5, *f.StillP95)
			require.LessOrEqual(t, *f.LostP5, *f.LostP95)
			require.LessOrEqual(t, f.LostLow, f.Lost)
			require.GreaterOrEqual(t, f.LostHigh, f.Lost)
		}
		all := func(rate float64, list []DayJSON) {
			require.Len(t, list, 41)
			for _, d := range list {
				closes(rate, d.Years.FateJSON)
				closes(rate, *d.Actual)
			}
			require.Greater(t, list[40].Years.Lost, 0.0, "something is lost")
		}
		for _, z := range doc.Zones[:3] {
			all(z.NRateKgHa, z.Days)
		}
		require.Empty(t, doc.Zones[3].Days)
		all(doc.NRateKgHa, doc.Days)
		require.Equal(t, 4*41*2, days)
	}
}

// The potential loss of ammonia is the mean over the years, each at its own warmth, with
// the ends of the three runs; what is nitrate cannot be lost that way.
func TestPotentialIsTheMeanOverTheYears(t *testing.T) {
	in := sample(t)
	r := follow(t, in)
	doc := r.JSON(in.Application)
	for i, z := range in.Zones[:3] {
		var by [3]float64
		for k, run := range []loss.Coefficients{in.Runs.Low, in.Runs.Mid, in.Runs.High} {
			least, most := 1.0, 0.0
			for y := range in.Years {
				warm, days := 0.0, 0
				for _, d := range in.Years[y].Days {
					if !d.Date.Before(in.Application.Date) && days < 10 {
						warm += (d.MaxC + d.MinC) / 2
						days++
					}
				}
				p, err := run.Potential(in.Application, z.Site, z.Rate, warm/float64(days))
				require.NoError(t, err)
				least, most = min(least, p), max(most, p)
				by[k] += p / float64(len(in.Years))
			}
			require.Less(t, least, most, "years differ")
		}
		require.InDelta(t, by[1], doc.Zones[i].PotentialShare, 1e-12)
		require.InDelta(t, by[0], doc.Zones[i].PotentialShareLow, 1e-12)
		require.InDelta(t, by[2], doc.Zones[i].PotentialShareHigh, 1e-12)
		require.Less(t, by[0], by[1])
		require.Less(t, by[1], by[2])
	}
	require.Zero(t, doc.Zones[3].PotentialShareHigh, "no nitrogen")

	in.Application.Source = nitrogen.Source{Name: "nitrate", Label: "nitrate", PercentN: 15, NitrateN: 15}
	r = follow(t, in)
	doc = r.JSON(in.Application)
	require.Zero(t, doc.Zones[0].PotentialShare)
	require.Zero(t, doc.Zones[0].PotentialShareHigh)
	in.Application.Source = nitrogen.Source{Name: "urea", Label: "urea", PercentN: 46, UreaN: 46}
	in.Runs.High.ResidueGain, in.Runs.High.StudyShift = 9, 3
	r = follow(t, in)
	doc = r.JSON(in.Application)
	require.InDelta(t, in.Runs.High.MostPhi, doc.Zones[0].PotentialShareHigh, 1e-12, "no more than there is")
}

// byHand is the course on a zone under the first year, by packages water and loss alone.
func byHand(t *testing.T, in *Input, z Zone, l loss.Coefficients, w water.Coefficients) loss.Course {
	t.Helper()
	season, err := water.Run(z.Soil, in.Latitude, weatherDays(&in.Years[0]), w)
	require.NoError(t, err)
	c, err := loss.Follow(in.Application, z.Site, z.Rate, &season, in.Until, &l)
	require.NoError(t, err)
	return c
}

// TestOneYearIsWhatPackageLossSays holds a course against a run by hand.
func TestOneYearIsWhatPackageLossSays(t *testing.T) {
	in := sample(t)
	in.Years, in.Actual = in.Years[1:2], &in.Years[1]
	r := follow(t, in)
	for i, z := range in.Zones[:3] {
		mid, wet := loss.Mid(), water.Mid()
		wet.Planted = on(time.May, 2)
		c := byHand(t, &in, z, mid, wet)
		require.InDelta(t, c.Potential, r.Zones[i].Years.Potential, 1e-15)
		for k, d := range c.Days {
			require.Equal(t, d.Balance, r.Zones[i].Years.Days[k].Balance)
			require.InDelta(t, d.StillThere(), r.Zones[i].Years.Worst[k], 1e-12, "the only year is the worst")
		}
	}
	require.Equal(t, []int{2022}, r.Zones[0].Years.WorstOf)
	require.Contains(t, r.Notes, loss.Ranking)
	// Under one weather draws hold the coefficients alone, and so does the record.
	require.Equal(t, r.Zones[0].Years.Days, follow(t, sampleWith(t, in)).Zones[0].Actual.Days)
}

// sampleWith has the year of another input as its actual one.
func sampleWith(t *testing.T, in Input) Input {
	s := sample(t)
	s.Actual = &in.Years[0]
	return s
}

// TestYearsAreTheMeanOfEach compares the mean with runs of each year by itself, and the
// worst fifth with the least of them.
func TestYearsAreTheMeanOfEach(t *testing.T) {
	in := sample(t)
	all := follow(t, in)
	require.Equal(t, []int{2021, 2022, 2023}, all.Years)
	for i := range 3 {
		mean, least, worst := 0.0, math.Inf(1), 0
		for _, y := range in.Years {
			one := in
			one.Years = []weather.Scenario{y}
			r := follow(t, one)
			end := r.Zones[i].Years.Days[40].Still.Mid
			mean += end / 3
			if end < least {
				least, worst = end, y.Year
			}
		}
		z := all.Zones[i]
		require.InDelta(t, mean, z.Years.Days[40].Still.Mid, 1e-10)
		require.InDelta(t, least, z.Years.Worst[40], 1e-10)
		require.Equal(t, []int{worst}, z.Years.WorstOf)
	}
}

// TestFieldIsTheMeanByArea holds the field against its zones, zero rates included.
func TestFieldIsTheMeanByArea(t *testing.T) {
	in := sample(t)
	r := follow(t, in)
	ha := 0.0
	still, applied, low := 0.0, 0.0, 0.0
	for _, z := range r.Zones {
		a := z.Area.Hectares()
		ha += a
		applied += a * z.Rate.KgNPerHa()
		if len(z.Years.Days) > 0 {
			still += a * z.Years.Days[20].Still.Mid
			low += a * z.Years.Days[20].Still.Low
		}
	}
	require.InDelta(t, applied/ha, r.Field.Rate.KgNPerHa(), 1e-12)
	require.InDelta(t, still/ha, r.Field.Years.Days[20].Still.Mid, 1e-10)
	require.InDelta(t, low/ha, r.Field.Years.Days[20].Still.Low, 1e-10)
	d := r.Field.Years.Days[20]
	require.Less(t, d.Still.P5, d.Still.P95)
}

func TestDrawsFollowTheirSeed(t *testing.T) {
	in := sample(t)
	a, b := follow(t, in), follow(t, in)
	require.Equal(t, a, b)
	in.Seed = 8
	require.NotEqual(t, a.Zones[0].Years.Days[40].Still.P5, follow(t, in).Zones[0].Years.Days[40].Still.P5)
	in.Draws = 0
	r := follow(t, in)
	require.Equal(t, a.Zones[0].Years.Days[40].Balance, r.Zones[0].Years.Days[40].Balance)
	doc := r.JSON(in.Application)
	require.Nil(t, doc.Zones[0].Days[0].Years.StillP5)
	require.Nil(t, doc.Zones[0].Days[0].Actual)
	require.Equal(t, "no draws were made", Bands(0, 1).P5P95)
}

// TestNeighbouringSeedsDrawApart: whoever changes the seed by one sees what chance does to
// the band, and not the same draws but for one.
func TestNeighbouringSeedsDrawApart(t *testing.T) {
	seen := map[uint64]bool{}
	for seed := range uint64(20) {
		for k := range 1000 {
			n := drawNumber(seed, k)
			require.False(t, seen[n], "seed %d, draw %d", seed, k)
			seen[n] = true
		}
	}
	require.Equal(t, uint64(1), drawNumber(1, 0))
}

// TestZonesDoNotDependOnTheirOrder shuffles zones and soils.
func TestZonesDoNotDependOnTheirOrder(t *testing.T) {
	in := sample(t)
	in.Draws = 5
	want := map[string]ZoneCourse{}
	for _, z := range follow(t, in).Zones {
		want[z.ID] = z
	}
	rapid.Check(t, func(t *rapid.T) {
		mixed := in
		mixed.Zones = rapid.Permutation(slices.Clone(in.Zones)).Draw(t, "zones")
		r, err := Follow(mixed)
		require.NoError(t, err)
		for i, z := range r.Zones {
			require.Equal(t, mixed.Zones[i].ID, z.ID)
			require.Equal(t, want[z.ID], z)
		}
	})
}

// TestInhibitorAndDepthLowerTheLoss are orders that hold on every zone.
func TestInhibitorAndDepthLowerTheLoss(t *testing.T) {
	bare := sample(t)
	bare.Application.Source = source(t, "urea")
	bare.Application.Placement = loss.Broadcast
	slow, deep := bare, bare
	slow.Application.Inhibitor = loss.Urease
	deep.Application.Placement, deep.Application.Depth = loss.Injected, unit.Inches(4)
	a, b, c := follow(t, bare), follow(t, slow), follow(t, deep)
	for i := range 3 {
		end := func(r Result) float64 { return r.Zones[i].Years.Days[40].Balance.Ammonia }
		require.Greater(t, end(a), end(b))
		require.Greater(t, end(b), end(c))
	}
}

func TestQuantile(t *testing.T) {
	list := []float64{1, 2, 3, 4, 5}
	require.Equal(t, 1.0, quantile(list, 0))
	require.Equal(t, 5.0, quantile(list, 1))
	require.InDelta(t, 1.2, quantile(list, 0.05), 1e-12)
	require.InDelta(t, 4.8, quantile(list, 0.95), 1e-12)
	require.Equal(t, 3.0, quantile([]float64{3}, 0.05))
	// 11 years: the worst fifth are 3.
	tall := tally{mid: make([]loss.Balance, 1), byYear: grid(11, 1)}
	for i := range tall.byYear {
		tall.byYear[i][0] = float64((i * 7) % 11)
	}
	require.Equal(t, []int{0, 8, 5}, tall.worst())
}

func TestBadInput(t *testing.T) {
	for name, c := range map[string]struct {
		do   func(in *Input)
		says string
	}{
		"no zones":        {func(in *Input) { in.Zones = nil }, "no zone"},
		"no years":        {func(in *Input) { in.Years = nil }, "no year of weather"},
		"draws":           {func(in *Input) { in.Draws = -1 }, "-1 draws"},
		"many draws":      {func(in *Input) { in.Draws = 1e9 }, "draws cannot be"},
		"no way to draw":  {func(in *Input) { in.Runs.Draw = nil }, "runs at random"},
		"too long":        {func(in *Input) { in.Until = on(time.June, 1).AddDate(900, 0, 0) }, "too long"},
		"ends before":     {func(in *Input) { in.Until = on(time.June, 4) }, "later end"},
		"beyond weather":  {func(in *Input) { in.Until = on(time.December, 4) }, "weather reaches"},
		"area":            {func(in *Input) { in.Zones[0].Area = unit.Area(math.NaN()) }, "zone A has an area"},
		"rate":            {func(in *Input) { in.Zones[0].Rate = unit.NRate(math.NaN()) }, "rate of"},
		"negative rate":   {func(in *Input) { in.Zones[1].Rate = unit.KgNPerHa(-5) }, "rate of"},
		"pH":              {func(in *Input) { in.Zones[0].Site.PH = 70 }, "pH of 70"},
		"cover":           {func(in *Input) { in.Zones[2].Site.Cover = 30 }, "residue covers"},
		"soil":            {func(in *Input) { in.Zones[0].Soil.Group = "peat" }, "texture group"},
		"latitude":        {func(in *Input) { in.Latitude = math.Inf(1) }, "latitude"},
		"depth":           {func(in *Input) { in.Application.Depth = unit.Inches(4) }, "lies on the surface"},
		"hole in weather": {func(in *Input) { in.Years[0].Days = slices.Delete(in.Years[0].Days, 50, 51) }, "is due"},
		"NaN in weather":  {func(in *Input) { in.Years[0].Days[50].MaxC = math.NaN() }, "no number"},
		"other season":    {func(in *Input) { in.Actual = &weather.Scenario{} }, "no day of weather"},
	} {
		in := sample(t)
		for i := range in.Years {
			in.Years[i].Days = slices.Clone(in.Years[i].Days)
		}
		c.do(&in)
		_, err := Follow(in)
		require.ErrorContains(t, err, c.says, name)
	}
}

func TestCSVHasTheFiguresOfTheJSON(t *testing.T) {
	in := sample(t)
	r := follow(t, in)
	a := r.JSON(in.Application)
	a.Name = "side,dress"
	in.Actual = &in.Years[0]
	r = follow(t, in)
	b := r.JSON(in.Application)
	doc := JSON{Applications: []ApplicationJSON{a, b}}
	var text bytes.Buffer
	require.NoError(t, doc.WriteCSV(&text))
	rows, err := csv.NewReader(&text).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+2*3*41)
	at := func(row int, column string) string { return rows[row][slices.Index(rows[0], column)] }
	require.Equal(t, "side,dress", at(1, "application"))
	require.Equal(t, "2026-07-15", at(41, "date"))
	v, err := strconv.ParseFloat(at(41, "years_still_there_kg_ha"), 64)
	require.NoError(t, err)
	require.Equal(t, a.Zones[0].Days[40].Years.StillThere, v)
	require.Empty(t, at(41, "actual_still_there_kg_ha"))
	require.NotEmpty(t, at(200, "actual_leached_kg_ha"))
	require.NotContains(t, text.String(), "NaN")
	// Every figure of the JSON is a column.
	data, err := json.Marshal(a.Zones[0].Days[0].Years)
	require.NoError(t, err)
	var keys map[string]any
	require.NoError(t, json.Unmarshal(data, &keys))
	for key := range keys {
		require.Contains(t, rows[0], "years_"+key)
	}
	require.Equal(t, len(keys), len(slices.DeleteFunc(slices.Clone(rows[0]), func(s string) bool { return !strings.HasPrefix(s, "years_") })))
}

func TestWarningsAreToldOnce(t *testing.T) {
	warn := guard.Warning{Key: guard.SurfaceUrea, Level: guard.Warn, Words: "w"}
	note := guard.Warning{Key: guard.AmmoniaDepth, Level: guard.Note, Words: "n"}
	other := guard.Warning{Key: guard.AmmoniaDepth, Level: guard.Note, Words: "m"}
	list := WarningsJSON([]string{"A", "B", "C"}, [][]guard.Warning{{note, warn}, nil, {other, warn}})
	require.Len(t, list, 3)
	require.Equal(t, []string{"A", "C"}, list[0].Zones, "what warns stands first")
	require.Equal(t, "warn", list[0].Level)
	require.Equal(t, []string{"A"}, list[1].Zones)
	require.Equal(t, []string{"C"}, list[2].Zones)
	require.NotNil(t, WarningsJSON(nil, nil))
}

// BenchmarkFollow is an application on 12 zones of 6 soils over 30 years and 60 days
// with 200 draws.
func BenchmarkFollow(b *testing.B) {
	in := sample(b)
	in.Zones, in.Years, in.Draws = in.Zones[:0], nil, 200
	for i := range 12 {
		in.Zones = append(in.Zones, Zone{
			strconv.Itoa(i), unit.Hectares(5), unit.KgNPerHa(150),
			water.Soil{Group: []string{"coarse", "medium", "fine"}[i%3], Drainage: []string{"well drained", "poorly drained"}[i%2]},
			loss.Site{PH: 6.5, Cover: 0.4},
		})
	}
	for y := range 30 {
		in.Years = append(in.Years, year(1990+y, 130, 3+y%7, 10))
	}
	in.Until = on(time.August, 4)
	for b.Loop() {
		_, err := Follow(in)
		require.NoError(b, err)
	}
}

// What is lost by every way is in the course: nitrate put on early in a wet spring goes by
// water and by saturated soil, as package loss has it.
func TestEveryWayOfLossIsInTheCourse(t *testing.T) {
	in := sample(t)
	in.Application = loss.Application{Source: source(t, "ammonium-nitrate"), Date: on(time.May, 1)}
	in.Years = []weather.Scenario{year(2022, 110, 2, 30)}
	r := follow(t, in)
	var leached, denitrified float64
	for i, z := range in.Zones[:3] {
		mid, wet := loss.Mid(), water.Mid()
		wet.Planted = on(time.May, 2)
		c := byHand(t, &in, z, mid, wet)
		want, got := c.Days[len(c.Days)-1].Balance, r.Zones[i].Years.Days[len(c.Days)-1].Balance
		require.Equal(t, want, got)
		leached, denitrified = max(leached, got.Leached), max(denitrified, got.Denitrified)
	}
	require.Greater(t, leached, 5.0)
	require.Greater(t, denitrified, 5.0)
}

// The band is what runs of low and of high losses leave, in soil that drains less and more,
// and its ends by draws are those that 5 and 95 % of the draws lie below.
func TestTheBandIsOfTheRunsAndTheDraws(t *testing.T) {
	in := sample(t)
	in.Years = in.Years[1:2]
	r := follow(t, in)
	runs := DefaultRuns(on(time.May, 2))
	end := func(z Zone, l loss.Coefficients, w water.Coefficients) float64 {
		c := byHand(t, &in, z, l, w)
		return c.Days[len(c.Days)-1].StillThere()
	}
	for i, z := range in.Zones[:3] {
		got := r.Zones[i].Years.Days[40].Still
		low, high := end(z, runs.High, runs.HighWater), end(z, runs.Low, runs.LowWater)
		require.InDelta(t, low, got.Low, 1e-9)
		require.InDelta(t, high, got.High, 1e-9)
		require.Greater(t, high-low, 1.0)
		var drawn []float64
		for k := range in.Draws {
			l, w := runs.Draw(drawNumber(in.Seed, k))
			drawn = append(drawn, end(z, l, w))
		}
		slices.Sort(drawn)
		require.InDelta(t, drawn[1]+0.95*(drawn[2]-drawn[1]), got.P5, 1e-9, "39 x 0.05 = 1.95")
		require.InDelta(t, drawn[37]+0.05*(drawn[38]-drawn[37]), got.P95, 1e-9)
	}
}
