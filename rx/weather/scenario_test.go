package weather

import (
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/vector"
)

// marked is a whole record in which each day tells its date: the maximum is the day of
// the year over 10, the minimum 5 less, and the rain the year less 1990, in mm.
func marked(first, last int) Series {
	s := Series{Name: "a.dly"}
	for d := on(first, 1, 1); d.Year() <= last; d = d.AddDate(0, 0, 1) {
		warm := float64(d.YearDay()) / 10
		s.Days = append(s.Days, Day{Date: d, MaxC: Reading{warm, true}, MinC: Reading{warm - 5, true}, RainMM: Reading{float64(d.Year() - 1990), true}})
	}
	return s
}

func (s Series) index(d time.Time) int { return dayNumber(d) - dayNumber(s.Days[0].Date) }

func cold(s Series, from time.Time, n int) {
	for i := range n {
		s.Days[s.index(from)+i].MaxC = Reading{}
	}
}

func dry(s Series, from time.Time, n int) {
	for i := range n {
		s.Days[s.index(from)+i].RainMM = Reading{}
	}
}

func TestYearsBecomeScenarios(t *testing.T) {
	s := marked(2001, 2010)
	out, err := s.Scenarios(on(2026, 4, 15), on(2026, 7, 31), DefaultRules(), nil)
	require.NoError(t, err)
	require.Len(t, out.List, 10)
	require.Empty(t, out.LeftOut)
	for i, one := range out.List {
		require.Equal(t, 2001+i, one.Year)
		require.Len(t, one.Days, 108)
		for j, d := range one.Days {
			require.Equal(t, on(2026, 4, 15).AddDate(0, 0, j), d.Date)
			require.Equal(t, on(2001+i, 4, 15).AddDate(0, 0, j), d.Record)
			require.Equal(t, float64(d.Record.YearDay())/10, d.MaxC)
			require.Equal(t, float64(2001+i-1990), d.RainMM)
			require.False(t, d.Filled || d.Borrowed || d.Spread || d.Measured)
			require.InDelta(t, 1.116*(d.MaxC-2.5), d.SoilC, 1.2, "the soil lags behind a rising year")
		}
	}
	require.Len(t, out.Notes, 1)
	require.Contains(t, out.Notes[0], "Kätterer & Andrén 2009")
	require.Contains(t, out.Notes[0], "Zheng, Hunt & Running 1993")
	require.Empty(t, out.List[0].Notes)
}

// The last day keeps its date; the days before a 29 February that only one of the two
// years has lie one date off, none is lost and none taken twice.
func TestLeapDays(t *testing.T) {
	s := marked(2001, 2008)
	out, err := s.Scenarios(on(2027, 11, 1), on(2028, 6, 30), DefaultRules(), nil) // the plan has a leap day
	require.NoError(t, err)
	require.Len(t, out.List, 7) // 2001 lacks the fall before
	require.Equal(t, []LeftOut{{2001, "the record begins on 2001-01-01"}, {2009, "the record ends on 2008-12-31"}}, out.LeftOut)
	for _, one := range out.List {
		require.Len(t, one.Days, 243)
		require.Equal(t, on(one.Year, 6, 30), one.Days[242].Record)
		begin := on(one.Year-1, 10, 31)
		if one.Year%4 == 0 {
			begin = on(one.Year-1, 11, 1)
		}
		require.Equal(t, begin, one.Days[0].Record)
		for i := 1; i < len(one.Days); i++ {
			require.Equal(t, one.Days[i-1].Record.AddDate(0, 0, 1), one.Days[i].Record)
		}
	}
	out, err = s.Scenarios(on(2028, 2, 27), on(2028, 2, 29), DefaultRules(), nil)
	require.NoError(t, err)
	require.Equal(t, on(2001, 2, 28), out.List[0].Days[2].Record)
	require.Equal(t, on(2004, 2, 29), out.List[3].Days[2].Record)
}

func TestShortGapsAreFilledAndLongOnesLeaveAYearOut(t *testing.T) {
	s := marked(2001, 2006)
	cold(s, on(2002, 5, 10), 3)
	cold(s, on(2003, 5, 10), 4)
	cold(s, on(2005, 4, 29), 3) // reaches over the beginning of the span
	out, err := s.Scenarios(on(2026, 5, 1), on(2026, 6, 30), DefaultRules(), nil)
	require.NoError(t, err)
	require.Len(t, out.List, 5)
	require.Equal(t, []LeftOut{{2003, "no temperature on 4 days in gaps longer than the 3 that are filled, or without a day beside them"}}, out.LeftOut)
	for i, d := range out.List[1].Days {
		require.Equal(t, i >= 9 && i < 12, d.Filled)
		require.InDelta(t, float64(d.Record.YearDay())/10, d.MaxC, 1e-12, "a straight line gives back a ramp")
		require.InDelta(t, d.MaxC-5, d.MinC, 1e-12)
	}
	text := strings.Join(out.Notes, "\n")
	require.Contains(t, text, "a.dly: 1 year of 6 left out: 2003: no temperature")
	require.Contains(t, text, "a.dly: 5 years of weather make few scenarios; below 10")
	require.Contains(t, text, "on 4 days of 305 in the scenarios temperatures are by straight lines")
}

func TestRainIsNeverASilentZero(t *testing.T) {
	s := marked(2001, 2006)
	dry(s, on(2003, 5, 10), 3)
	dry(s, on(2002, 5, 11), 1) // so the nearest year with rain on that date is 2004
	dry(s, on(2005, 5, 10), 4)
	out, err := s.Scenarios(on(2026, 5, 1), on(2026, 6, 30), DefaultRules(), nil)
	require.NoError(t, err)
	require.Equal(t, []LeftOut{{2005, "no rain on 4 days of 61; 3 may be without"}}, out.LeftOut)
	got := out.List[2]
	require.Equal(t, 2003, got.Year)
	for i, want := range map[int]float64{8: 13, 9: 12, 10: 14, 11: 12, 12: 13} {
		require.Equal(t, want, got.Days[i].RainMM, "day %d", i)
		require.Equal(t, i >= 9 && i <= 11, got.Days[i].Borrowed)
	}
	require.Contains(t, strings.Join(out.Notes, "\n"), "on 4 days of 305 in the scenarios rain is missing and taken from the same date in the nearest other year")

	r := DefaultRules()
	r.BorrowDays = 0
	out, err = s.Scenarios(on(2026, 5, 1), on(2026, 6, 30), r, nil)
	require.NoError(t, err)
	require.Len(t, out.LeftOut, 3)

	alone := marked(2001, 2001)
	dry(alone, on(2001, 5, 10), 1)
	_, err = alone.Scenarios(on(2026, 5, 1), on(2026, 6, 30), DefaultRules(), nil)
	require.ErrorContains(t, err, "2001: no rain on 1 day, and none on the same date of another year")
}

func TestTotalsAreSpread(t *testing.T) {
	s := marked(2001, 2002)
	dry(s, on(2001, 5, 10), 3)
	s.Totals = []Total{{on(2001, 5, 10), on(2001, 5, 12), 24}}
	out, err := s.Scenarios(on(2026, 5, 1), on(2026, 6, 30), DefaultRules(), nil)
	require.NoError(t, err)
	require.Len(t, out.List, 2)
	for i := 9; i < 12; i++ {
		require.InDelta(t, 8, out.List[0].Days[i].RainMM, 1e-12)
		require.True(t, out.List[0].Days[i].Spread)
	}
	require.Contains(t, strings.Join(out.Notes, "\n"), "on 3 days of 122 in the scenarios rain is the even part of a total")
}

func TestObservedWeatherGoesBefore(t *testing.T) {
	s := marked(2001, 2010)
	now := Series{Name: "now.csv"}
	for d := on(2026, 3, 1); !d.After(on(2026, 5, 20)); d = d.AddDate(0, 0, 1) {
		now.Days = append(now.Days, Day{Date: d, MaxC: Reading{25, true}, MinC: Reading{15, true}, RainMM: Reading{99, true}})
	}
	from, to := on(2026, 4, 15), on(2026, 6, 30)
	out, err := s.Scenarios(from, to, DefaultRules(), &Actual{now, on(2026, 5, 20)})
	require.NoError(t, err)
	require.Len(t, out.List, 10)
	for _, one := range out.List {
		require.Equal(t, 36, one.Observed)
		for i, d := range one.Days {
			require.Equal(t, from.AddDate(0, 0, i), d.Date)
			if i < 36 {
				require.Equal(t, 99.0, d.RainMM)
				require.Equal(t, d.Date, d.Record)
				require.InDelta(t, 22.32, d.SoilC, 0.01, "45 days of 20 °C before are a run-up")
				continue
			}
			require.Equal(t, on(one.Year, 5, 21).AddDate(0, 0, i-36), d.Record)
			require.Equal(t, float64(one.Year-1990), d.RainMM)
		}
		require.InDelta(t, 22.32, one.Days[36].SoilC, 0.01, "the soil remembers the days before")
	}
	require.Contains(t, strings.Join(out.Notes, "\n"), "now.csv: the first 36 days of each scenario, through 2026-05-20, are observed weather")

	out, err = s.Scenarios(from, on(2026, 5, 10), DefaultRules(), &Actual{now, on(2026, 5, 20)})
	require.NoError(t, err)
	require.Len(t, out.List, 1)
	require.Equal(t, 26, out.List[0].Observed)
	require.Contains(t, strings.Join(out.Notes, "\n"), "one scenario and no years to compare")

	out, err = s.Scenarios(from, to, DefaultRules(), &Actual{now, on(2026, 4, 14)})
	require.NoError(t, err)
	require.Zero(t, out.List[0].Observed)

	refused := func(change func(Series), through time.Time, what string) {
		t.Helper()
		other := now
		other.Days = append([]Day{}, now.Days...)
		change(other)
		_, err := s.Scenarios(from, to, DefaultRules(), &Actual{other, through})
		var ie *vector.InputError
		require.ErrorAs(t, err, &ie)
		require.Equal(t, "now.csv", ie.File)
		require.ErrorContains(t, err, what)
	}
	refused(func(Series) {}, on(2026, 5, 21), "ends before 2026-05-21")
	refused(func(s Series) { cold(s, on(2026, 5, 1), 4) }, on(2026, 5, 20), "2026-05-01: no temperature")
	refused(func(s Series) { cold(s, on(2026, 5, 20), 1) }, on(2026, 5, 20), "without a day beside it")
	refused(func(s Series) { dry(s, on(2026, 5, 1), 4) }, on(2026, 5, 20), "2026-05-04: no rain")
	late := Series{Name: "now.csv", Days: now.Days[60:]}
	_, err = s.Scenarios(from, to, DefaultRules(), &Actual{late, on(2026, 5, 20)})
	require.ErrorContains(t, err, "begins after 2026-04-15")
}

func TestMeasuredSoilIsKept(t *testing.T) {
	s := marked(2001, 2001)
	s.Days[s.index(on(2001, 5, 3))].SoilC = Reading{7, true}
	out, err := s.Scenarios(on(2026, 5, 1), on(2026, 5, 31), DefaultRules(), nil)
	require.NoError(t, err)
	require.Equal(t, 7.0, out.List[0].Days[2].SoilC)
	require.True(t, out.List[0].Days[2].Measured)
	require.NotEqual(t, 7.0, out.List[0].Days[3].SoilC)

	early, err := s.Scenarios(on(2026, 1, 11), on(2026, 1, 31), DefaultRules(), nil)
	require.NoError(t, err)
	require.Equal(t, []string{"2001: 10 days before the span have temperatures, of 21 that make the soil's temperature independent of its beginning"}, early.List[0].Notes)
}

func TestRefusedScenarios(t *testing.T) {
	s := marked(2001, 2003)
	bad := DefaultRules()
	bad.FillDays = -1
	for _, c := range []struct {
		series   Series
		from, to time.Time
		rules    Rules
		what     string
	}{
		{s, on(2026, 5, 2), on(2026, 5, 1), DefaultRules(), "give a span"},
		{s, on(2026, 5, 2), on(2029, 5, 1), DefaultRules(), "give a span"},
		{s, on(2026, 5, 1), on(2026, 5, 2), bad, "not below zero"},
		{s, on(2026, 5, 1), on(2026, 5, 2), Rules{}, "soil temperature from air"},
		{Series{Name: "x"}, on(2026, 5, 1), on(2026, 5, 2), DefaultRules(), "no day of that time of the year"},
		{Series{Name: "x", Days: s.Days[:20]}, on(2026, 5, 1), on(2026, 5, 2), DefaultRules(), "no day of that time of the year"},
		{Series{Name: "x", Days: s.Days[:130]}, on(2026, 5, 1), on(2026, 6, 2), DefaultRules(), "2001: the record ends on 2001-05-10"},
	} {
		out, err := c.series.Scenarios(c.from, c.to, c.rules, nil)
		require.ErrorContains(t, err, c.what)
		require.Zero(t, out)
	}
	none := marked(2001, 2002)
	dry(none, on(2001, 1, 1), len(none.Days))
	_, err := none.Scenarios(on(2026, 5, 1), on(2026, 6, 2), DefaultRules(), nil)
	require.ErrorContains(t, err, "2001: no rain on 33 days of 33; 3 may be without")
}

func TestRefusedSeries(t *testing.T) {
	for what, change := range map[string]func(*Series){
		"do not follow one another":   func(s *Series) { s.Days[50].Date = s.Days[51].Date },
		"a reading of NaN":            func(s *Series) { s.Days[50].RainMM.Value = math.NaN() },
		"a reading of +Inf":           func(s *Series) { s.Days[50].MaxC.Value = math.Inf(1) },
		negative:                      func(s *Series) { s.Days[50].RainMM.Value = -1 },
		crossed:                       func(s *Series) { s.Days[50].MinC.Value = 50 },
		"a total of -1 mm":            func(s *Series) { s.Totals = []Total{{on(2001, 5, 1), on(2001, 5, 3), -1}} },
		"of rain since 2001-05-04 ca": func(s *Series) { s.Totals = []Total{{on(2001, 5, 4), on(2001, 5, 3), 1}} },
	} {
		s := marked(2001, 2002)
		change(&s)
		_, err := s.Scenarios(on(2026, 5, 1), on(2026, 6, 2), DefaultRules(), nil)
		require.ErrorContains(t, err, what)
		good := marked(2001, 2002)
		_, err = good.Scenarios(on(2002, 5, 1), on(2002, 6, 2), DefaultRules(), &Actual{s, on(2002, 5, 5)})
		require.ErrorContains(t, err, what)
	}
}

// Whatever is missing, each year is a scenario or left out with a reason, every value
// is a number, and rain that nobody borrowed is the record's.
func TestScenarioLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := marked(2000, 2004)
		for range rapid.IntRange(0, 12).Draw(t, "holes") {
			at := rapid.IntRange(0, len(s.Days)-8).Draw(t, "at")
			n := rapid.IntRange(1, 6).Draw(t, "n")
			if rapid.Bool().Draw(t, "rain") {
				dry(s, s.Days[at].Date, n)
			} else {
				cold(s, s.Days[at].Date, n)
			}
		}
		from := on(2027, 9, 1).AddDate(0, 0, rapid.IntRange(0, 300).Draw(t, "from"))
		to := from.AddDate(0, 0, rapid.IntRange(0, 300).Draw(t, "days"))
		out, err := s.Scenarios(from, to, DefaultRules(), nil)
		if err != nil {
			require.ErrorContains(t, err, "no year of the record covers")
			return
		}
		for _, one := range out.List {
			require.Len(t, one.Days, dayNumber(to)-dayNumber(from)+1)
			for _, d := range one.Days {
				require.False(t, math.IsNaN(d.MaxC+d.MinC+d.RainMM+d.SoilC) || math.IsInf(d.MaxC+d.MinC+d.RainMM+d.SoilC, 0))
				require.LessOrEqual(t, d.MinC, d.MaxC)
				if !d.Borrowed {
					require.Equal(t, float64(d.Record.Year()-1990), d.RainMM)
				}
				require.Positive(t, d.RainMM)
			}
		}
		for _, l := range out.LeftOut {
			require.NotEmpty(t, l.Why)
		}
		require.GreaterOrEqual(t, len(out.List)+len(out.LeftOut), 4)
	})
}

// Source: NOAA GHCN-Daily, station USC00305816, 1940 to 1960.
func TestScenariosOfOpenData(t *testing.T) {
	f, err := os.Open("../../../shared/data/weather/USC00305816_1940_1960.dly")
	if err != nil {
		t.Skip("the open data beside the project are absent; a made-up record of the same kind is tested above: ", err)
	}
	defer f.Close()
	s, err := ReadDLY(f, "USC00305816.dly", Options{})
	require.NoError(t, err)
	out, err := s.Scenarios(on(2026, 4, 15), on(2026, 9, 30), DefaultRules(), nil)
	require.NoError(t, err)
	require.Equal(t, 21, len(out.List)+len(out.LeftOut))
	require.Greater(t, len(out.List), 15)
	for _, one := range out.List {
		sum, borrowed := 0.0, 0
		for _, d := range one.Days {
			sum += d.RainMM
			if d.Borrowed {
				borrowed++
			}
		}
		rain, err := s.Rain(on(one.Year, 4, 15), on(one.Year, 9, 30))
		require.NoError(t, err)
		require.Equal(t, borrowed, rain.Missing)
		if borrowed == 0 {
			require.InDelta(t, rain.MM, sum, 1e-9)
		}
	}
	// The soil against the mean air of the last 11 days, the form of Zheng et al. 1993,
	// which is fitted to each place and here is not: the two lie apart by less than the
	// error that is stated for the estimate.
	squares, n := 0.0, 0.0
	for _, one := range out.List {
		for i := 10; i < len(one.Days); i++ {
			mean := 0.0
			for _, d := range one.Days[i-10 : i+1] {
				mean += (d.MaxC + d.MinC) / 2 / 11
			}
			squares += (one.Days[i].SoilC - mean) * (one.Days[i].SoilC - mean)
			n++
		}
	}
	t.Logf("soil and 11-day mean of the air lie %.2f °C apart", math.Sqrt(squares/n))
	require.Less(t, math.Sqrt(squares/n), float64(soilError))
	moved, err := s.Shifted(ReadInTheMorning())
	require.NoError(t, err)
	other, err := moved.Scenarios(on(2026, 4, 15), on(2026, 9, 30), DefaultRules(), nil)
	require.NoError(t, err)
	require.NotEqual(t, out.List[0].Days, other.List[0].Days)
}

func TestShifted(t *testing.T) {
	s := marked(2001, 2001)
	s.Days = s.Days[99:103] // 10 to 13 April
	s.Totals = []Total{{on(2001, 4, 11), on(2001, 4, 12), 20}}
	moved, err := s.Shifted(ReadInTheMorning())
	require.NoError(t, err)
	require.Equal(t, on(2001, 4, 9), moved.Days[0].Date)
	require.Len(t, moved.Days, 5)
	require.Equal(t, s.Days[0].MaxC, moved.Days[0].MaxC)
	require.Equal(t, s.Days[0].RainMM, moved.Days[0].RainMM)
	require.False(t, moved.Days[0].MinC.Known)
	require.Equal(t, s.Days[0].MinC, moved.Days[1].MinC)
	require.Equal(t, s.Days[1].MaxC, moved.Days[1].MaxC)
	require.False(t, moved.Days[4].MaxC.Known || moved.Days[4].RainMM.Known)
	require.Equal(t, []Total{{on(2001, 4, 10), on(2001, 4, 11), 20}}, moved.Totals)
	require.Contains(t, strings.Join(moved.Notes, "\n"), "maxima are moved by -1, minima by 0 and rain by -1 days")
	require.Equal(t, on(2001, 4, 10), s.Days[0].Date, "the series itself stays")

	back, err := moved.Shifted(Shift{MaxDays: 1, RainDays: 1})
	require.NoError(t, err)
	require.Equal(t, s.Days, back.Days)
	require.Equal(t, s.Totals, back.Totals)

	steep := marked(2001, 2001)
	steep.Days[50].MaxC.Value, steep.Days[50].MinC.Value = -20, -30
	moved, err = steep.Shifted(Shift{MaxDays: -1})
	require.NoError(t, err)
	at := moved.Days[moved.index(steep.Days[49].Date)]
	require.False(t, at.MaxC.Known || at.MinC.Known)
	require.Contains(t, strings.Join(moved.Notes, "\n"), "1 day lost both temperatures")

	same, err := s.Shifted(Shift{})
	require.NoError(t, err)
	require.Equal(t, s, same)
	_, err = s.Shifted(Shift{RainDays: 2})
	require.ErrorContains(t, err, "give -1, 0 or 1")
	_, err = Series{}.Shifted(ReadInTheMorning())
	require.NoError(t, err)
}
