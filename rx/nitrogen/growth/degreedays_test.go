package growth

import (
	"bufio"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func celsius(f float64) float64 { return (f - 32) * 5 / 9 }

// Sources: 80/55 Purdue Pest & Crop newsletter; the others Waushara Argus, Univ. of
// Wisconsin 2018, second hand.
func TestPublishedDays(t *testing.T) {
	for _, c := range []struct{ high, low, want float64 }{{80, 55, 17.5}, {90, 65, 25.5}, {72, 46, 11}, {63, 42, 6.5}} {
		f, err := Method{}.Day(celsius(c.high), celsius(c.low))
		require.NoError(t, err)
		require.InDelta(t, c.want, f, 1e-9)
	}
	from := on(2018, 5, 1)
	s, err := DegreeDays([]Day{at(from, 90, 65), at(from.AddDate(0, 0, 1), 72, 46), at(from.AddDate(0, 0, 2), 63, 42)}, from, on(2018, 5, 3), Method{}, 0)
	require.NoError(t, err)
	require.InDelta(t, 43, s.F, 1e-9)
	require.Empty(t, s.Notes)
}

func on(y int, m time.Month, d int) time.Time { return time.Date(y, m, d, 0, 0, 0, 0, time.UTC) }

func at(date time.Time, high, low float64) Day {
	return Day{Date: date, MaxC: celsius(high), MinC: celsius(low), Known: true}
}

func TestDayLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(-60, 60).Draw(t, "low")
		high := rapid.Float64Range(low, 60).Draw(t, "high")
		f, err := Method{}.Day(high, low)
		require.NoError(t, err)
		require.True(t, f >= 0 && f <= 36)
		if low*9/5+32 >= 50 && high*9/5+32 <= 86 {
			require.InDelta(t, (high+low)/2*9/5+32-50, f, 1e-9)
		}
		warmer, err := Method{}.Day(high+1, low)
		require.NoError(t, err)
		require.GreaterOrEqual(t, warmer, f)
		wider, err := Method{CapF: 90, FloorF: 50}.Day(high, low)
		require.NoError(t, err)
		require.GreaterOrEqual(t, wider, f)
	})
}

func TestRefusedDays(t *testing.T) {
	for _, c := range []struct{ high, low float64 }{{math.NaN(), 1}, {1, math.NaN()}, {math.Inf(1), 1}, {1, 2}} {
		_, err := Method{}.Day(c.high, c.low)
		require.ErrorContains(t, err, "leave the day missing")
	}
	for _, m := range []Method{{50, 86}, {50, 50}, {CapF: 86, FloorF: math.NaN()}, {math.Inf(1), 0}} {
		_, err := m.Day(20, 10)
		require.ErrorContains(t, err, "cap above the floor")
	}
}

// A ramp of temperatures between cap and floor is filled exactly.
func TestMissingDaysAreFilled(t *testing.T) {
	from := on(2001, 6, 1)
	ramp := make([]Day, 12)
	for i := range ramp {
		ramp[i] = at(from.AddDate(0, 0, i), 70+float64(i), 55+float64(i)/2)
	}
	whole, err := DegreeDays(ramp, from, on(2001, 6, 12), Method{}, 0)
	require.NoError(t, err)

	holes := append([]Day{}, ramp...)
	holes[3].Known = false
	holes[4] = Day{Date: holes[4].Date}
	holes = append(holes[:8], holes[9:]...)
	s, err := DegreeDays(holes, from, on(2001, 6, 12), Method{}, 2)
	require.NoError(t, err)
	require.InDelta(t, whole.F, s.F, 1e-9)
	require.Equal(t, []time.Time{on(2001, 6, 4), on(2001, 6, 5), on(2001, 6, 9)}, s.Filled)
	require.Equal(t, []string{"degree days from 2001-06-01 to 2001-06-12: no temperature on 3 of 12 days, filled by straight lines between their neighbours: 2001-06-04, 2001-06-05, 2001-06-09"}, s.Notes)

	_, err = DegreeDays(holes, from, on(2001, 6, 12), Method{}, 1)
	require.EqualError(t, err, "no temperature for 2001-06-04 to 2001-06-05: 2 days are missing in a row and at most 1 may be filled; take a nearby station")

	inside, err := DegreeDays(holes, on(2001, 6, 5), on(2001, 6, 9), Method{}, 2)
	require.NoError(t, err, "neighbours outside the span serve to fill it")
	part, err := DegreeDays(ramp, on(2001, 6, 5), on(2001, 6, 9), Method{}, 0)
	require.NoError(t, err)
	require.InDelta(t, part.F, inside.F, 1e-9)

	half, err := DegreeDays(holes, on(2001, 6, 5), on(2001, 6, 5), Method{}, 1)
	require.ErrorContains(t, err, "2 days are missing in a row", "the whole gap counts, not the part of it that is asked for")
	require.Zero(t, half)
}

func TestRefusedSpans(t *testing.T) {
	days := []Day{at(on(2001, 6, 2), 80, 60), at(on(2001, 6, 3), 80, 60)}
	refused := func(days []Day, from, to time.Time, fill int, what string) {
		t.Helper()
		s, err := DegreeDays(days, from, to, Method{}, fill)
		require.ErrorContains(t, err, what)
		require.Zero(t, s)
	}
	refused(days, on(2001, 6, 3), on(2001, 6, 2), 0, "ends before it begins")
	refused(days, on(2001, 6, 2), on(2001, 6, 3), -1, "missing days filled: -1")
	refused(days, on(2001, 6, 1), on(2001, 6, 3), 9, "none on one side to fill from")
	refused(days, on(2001, 6, 2), on(2001, 6, 4), 9, "no temperature for 2001-06-04, and none on one side")
	refused(nil, on(2001, 6, 2), on(2001, 6, 4), 9, "no temperature for 2001-06-02 to 2001-06-04")
	refused(append(days, days[0]), on(2001, 6, 2), on(2001, 6, 3), 0, "2001-06-02 is given twice")
	refused([]Day{{Date: on(2001, 6, 2), MaxC: math.NaN(), Known: true}}, on(2001, 6, 2), on(2001, 6, 2), 0, "2001-06-02: a temperature of NaN")
	refused([]Day{{Date: on(2001, 6, 2), MaxC: 1, MinC: 2, Known: true}}, on(2001, 6, 2), on(2001, 6, 2), 0, "above the maximum")
}

// Sums of neighbouring spans add up, whatever the order of the days.
func TestSumsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 60).Draw(t, "n")
		days := make([]Day, n)
		for i := range days {
			low := rapid.Float64Range(-10, 30).Draw(t, "low")
			days[i] = Day{Date: on(2001, 4, 20).AddDate(0, 0, i), MaxC: low + 10, MinC: low, Known: i == 0 || i == n-1 || rapid.IntRange(0, 3).Draw(t, "known") > 0}
		}
		cut := rapid.IntRange(0, n-2).Draw(t, "cut")
		mixed := rapid.Permutation(days).Draw(t, "mixed")
		whole, err := DegreeDays(days, days[0].Date, days[n-1].Date, Method{}, n)
		require.NoError(t, err)
		a, err := DegreeDays(mixed, days[0].Date, days[cut].Date, Method{}, n)
		require.NoError(t, err)
		b, err := DegreeDays(mixed, days[cut+1].Date, days[n-1].Date, Method{}, n)
		require.NoError(t, err)
		require.InDelta(t, whole.F, a.F+b.F, 1e-9)
		require.Len(t, whole.Filled, len(a.Filled)+len(b.Filled))
	})
}

// Source: NOAA GHCN-Daily, station USC00305816: 2767.23 degree days (86/50 °F) from 1
// May to 30 September 1950 and 3185.82 in 1955, every day of both present.
func TestOpenData(t *testing.T) {
	f, err := os.Open("../../../../shared/data/weather/USC00305816_1940_1960.dly")
	if err != nil {
		t.Skip("the open data beside the project are absent: ", err)
	}
	defer f.Close()
	days := map[string]*Day{}
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		line := lines.Text()
		element := line[17:21]
		if element != "TMAX" && element != "TMIN" {
			continue
		}
		for i := range 31 {
			v, err := strconv.Atoi(strings.TrimSpace(line[21+8*i : 26+8*i]))
			require.NoError(t, err)
			if v == -9999 {
				continue
			}
			key := line[11:17] + strconv.Itoa(101 + i)[1:]
			if days[key] == nil {
				date, err := time.Parse("20060102", key)
				require.NoError(t, err)
				days[key] = &Day{Date: date, MaxC: math.NaN(), MinC: math.NaN()}
			}
			if element == "TMAX" {
				days[key].MaxC = float64(v) / 10
			} else {
				days[key].MinC = float64(v) / 10
			}
		}
	}
	require.NoError(t, lines.Err())
	var list []Day
	for _, d := range days {
		d.Known = !math.IsNaN(d.MaxC + d.MinC)
		list = append(list, *d)
	}
	for year, want := range map[int]float64{1950: 2767.23, 1955: 3185.82} {
		s, err := DegreeDays(list, on(year, 5, 1), on(year, 9, 30), Method{}, 0)
		require.NoError(t, err)
		require.InDelta(t, want, s.F, 0.005)
	}
}
