package weather

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ratewright/geo/vector"
)

const station = "USC00000001"

// month is a .dly line of June 2001 whose days are as given, the others missing.
func month(element string, days map[int]string) string {
	return monthOf("200106", element, days)
}

func monthOf(ym, element string, days map[int]string) string {
	var b strings.Builder
	b.WriteString(station + ym + element)
	for d := 1; d <= 31; d++ {
		cell, ok := days[d]
		if !ok {
			cell = "-9999   "
		}
		b.WriteString(cell)
	}
	return b.String() + "\n"
}

// cell is a value with its three flags.
func cell(v int, flags string) string { return fmt.Sprintf("%5d%3s", v, flags) }

func on(y int, m time.Month, d int) time.Time { return time.Date(y, m, d, 0, 0, 0, 0, time.UTC) }

func readDLY(text string) (Series, error) {
	return ReadDLY(strings.NewReader(text), "a.dly", Options{})
}

// addsUp holds that every value is used or counted with a reason.
func addsUp(t *testing.T, s Series) {
	t.Helper()
	n := s.Counts.Used
	for _, k := range s.Counts.Dropped {
		require.Positive(t, k)
		n += k
	}
	require.Equal(t, s.Counts.Read, n)
	used := 0
	for i, d := range s.Days {
		require.Equal(t, s.Days[0].Date.AddDate(0, 0, i), d.Date)
		for _, r := range []Reading{d.MaxC, d.MinC, d.RainMM, d.SoilC} {
			if r.Known {
				used++
			} else {
				require.Zero(t, r.Value)
			}
		}
	}
	require.Equal(t, s.Counts.Used, used+2*len(s.Totals))
}

// Source: NOAA, GHCN-Daily readme, section III; the cells are of the record of
// station USC00305816, January 1940 and June 1948.
func TestDLY(t *testing.T) {
	s, err := readDLY(month("TMAX", map[int]string{1: cell(-28, "  Z"), 2: cell(-11, "  Z"), 4: cell(0, "  Z")}) +
		month("TMIN", map[int]string{1: cell(-106, "  Z"), 2: cell(-89, "  Z"), 4: cell(-10, "  Z")}) +
		month("PRCP", map[int]string{1: cell(0, "T Z"), 2: cell(376, "  Z"), 3: cell(373, " LZ"), 4: cell(0, "P Z")}) +
		month("SNOW", map[int]string{1: cell(51, "  Z")}))
	require.NoError(t, err)
	addsUp(t, s)
	require.Equal(t, station, s.Station)
	require.Equal(t, []Day{
		{Date: on(2001, 6, 1), MaxC: Reading{-2.8, true}, MinC: Reading{-10.6, true}, RainMM: Reading{0, true}, Trace: true},
		{Date: on(2001, 6, 2), MaxC: Reading{-1.1, true}, MinC: Reading{-8.9, true}, RainMM: Reading{37.6, true}},
		{Date: on(2001, 6, 3)},
		{Date: on(2001, 6, 4), MaxC: Reading{0, true}, MinC: Reading{-1, true}},
	}, s.Days)
	require.Equal(t, 4*30, s.Counts.Read)
	require.Equal(t, map[string]int{
		isMissing: 27 + 27 + 26 + 29, presumed: 1, ofNoUse: 1,
		"failed NOAA's check on the length of a multi-day period (quality flag L)": 1,
	}, s.Counts.Dropped)
	require.Equal(t, []Gap{
		{"temperature", on(2001, 6, 3), on(2001, 6, 3), 1},
		{"rain", on(2001, 6, 3), on(2001, 6, 4), 2},
	}, s.Gaps)
	text := strings.Join(s.Notes, "\n")
	require.Contains(t, text, "a.dly: no rain on 2 days: 2001-06-03 to 2001-06-04")
	require.Contains(t, text, "time of observation of 3 of 3 maxima is not known")
	require.Contains(t, text, "a.dly: 1 value of rain a trace, counted as 0 mm")
	require.Equal(t, Observed{Unknown: 3}, s.Observed)
}

func TestDLYEndsOfLines(t *testing.T) {
	plain := monthOf("200107", "TMAX", map[int]string{31: cell(200, "")}) + monthOf("200107", "TMIN", map[int]string{31: cell(100, "  Z")})
	want, err := readDLY(plain)
	require.NoError(t, err)
	require.Len(t, want.Days, 1)
	for what, text := range map[string]string{
		"CRLF":            strings.ReplaceAll(plain, "\n", "\r\n"),
		"BOM":             "\xef\xbb\xbf" + plain,
		"no last end":     strings.TrimSuffix(plain, "\n"),
		"blanks cut off":  strings.ReplaceAll(plain, "   \n", "\n"),
		"blanks appended": strings.ReplaceAll(plain, "\n", "    \n"),
		"blank lines":     "\n" + plain + "\n \n",
	} {
		s, err := readDLY(text)
		require.NoError(t, err, what)
		require.Equal(t, want.Days, s.Days, what)
	}
}

func TestImpossibleValues(t *testing.T) {
	s, err := readDLY(month("TMAX", map[int]string{1: cell(600, ""), 2: cell(100, ""), 3: cell(250, ""), 4: cell(100, "")}) +
		month("TMIN", map[int]string{1: cell(100, ""), 2: cell(101, ""), 3: cell(-999, ""), 4: cell(100, "")}) +
		month("PRCP", map[int]string{1: cell(-1, ""), 2: cell(18251, ""), 3: cell(0, ""), 4: cell(18250, "")}))
	require.NoError(t, err)
	addsUp(t, s)
	require.Equal(t, map[string]int{isMissing: 26 * 3, tooHot: 1, crossed: 2, tooCold: 1, negative: 1, tooWet: 1}, s.Counts.Dropped)
	require.Equal(t, []Day{
		{Date: on(2001, 6, 1), MinC: Reading{10, true}},
		{Date: on(2001, 6, 2)},
		{Date: on(2001, 6, 3), MaxC: Reading{25, true}, RainMM: Reading{0, true}},
		{Date: on(2001, 6, 4), MaxC: Reading{10, true}, MinC: Reading{10, true}, RainMM: Reading{1825, true}},
	}, s.Days)
	require.Contains(t, strings.Join(s.Notes, "\n"), "a.dly: 2 values not used: minimum above the maximum of its day")

	s, err = ReadDLY(strings.NewReader(month("TMAX", map[int]string{1: cell(600, "")})), "a.dly", Options{Limits: Limits{-20, 70, 100}})
	require.NoError(t, err)
	require.Equal(t, Reading{60, true}, s.Days[0].MaxC)
}

func TestMultiDayRain(t *testing.T) {
	prcp := month("PRCP", map[int]string{1: cell(10, ""), 5: cell(20, "")})
	s, err := readDLY(prcp + month("MDPR", map[int]string{4: cell(373, ""), 9: cell(50, ""), 12: cell(50, ""), 6: cell(70, "")}) +
		month("DAPR", map[int]string{4: cell(3, ""), 10: cell(2, ""), 12: cell(99, ""), 6: cell(2, "")}))
	require.NoError(t, err)
	addsUp(t, s)
	require.Equal(t, []Total{{on(2001, 6, 2), on(2001, 6, 4), 37.3}}, s.Totals)
	require.Equal(t, map[string]int{isMissing: 28 + 26 + 26, noSpan: 2, noTotal: 1, badSpan: 1, overlapping: 2}, s.Counts.Dropped)
	require.Empty(t, s.Gaps, "the total covers the days between")

	sum, err := s.Rain(on(2001, 6, 1), on(2001, 6, 6))
	require.NoError(t, err)
	require.InDelta(t, 1+2+37.3, sum.MM, 1e-12)
	require.Equal(t, RainSum{MM: sum.MM, Known: 2, InTotal: 3, Missing: 1}, sum)
	sum, err = s.Rain(on(2001, 6, 3), on(2001, 6, 5))
	require.NoError(t, err)
	require.Equal(t, RainSum{MM: 2, Known: 1, Missing: 2}, sum, "a total that reaches out of the span is not in it")
	_, err = s.Rain(on(2001, 7, 1), on(2001, 7, 5))
	require.ErrorContains(t, err, "no reading")
	_, err = s.Rain(on(2001, 6, 5), on(2001, 6, 1))
	require.ErrorContains(t, err, "ends before it begins")
	_, err = Series{}.Rain(on(2001, 6, 1), on(2001, 6, 1))
	require.Error(t, err)
}

func TestDuplicates(t *testing.T) {
	line := month("TMAX", map[int]string{1: cell(250, "")})
	s, err := readDLY(line + line)
	require.NoError(t, err)
	addsUp(t, s)
	require.Equal(t, 1, s.Counts.Dropped[repeated])

	_, err = readDLY(line + month("TMIN", map[int]string{1: cell(50, "")}) + month("TMAX", map[int]string{1: cell(260, "")}))
	require.Equal(t, &vector.InputError{
		File: "a.dly", Place: "lines 1 and 3",
		What: "maximum is given twice for 2001-06-01, as 25 and as 26", Fix: "keep the right one",
	}, err)

	s, err = readDLY(line + month("TMAX", map[int]string{1: cell(990, ""), 2: cell(200, "")}))
	require.NoError(t, err, "a value that cannot be contradicts nothing")
	require.Equal(t, 1, s.Counts.Dropped[tooHot])
}

func TestRefusedDLY(t *testing.T) {
	good := month("TMAX", map[int]string{1: cell(250, "")})
	tests := []struct{ text, place, what string }{
		{"", "", "no temperature and no rain"},
		{month("SNOW", map[int]string{1: cell(1, "")}), "", "no temperature and no rain"},
		{month("TMAX", map[int]string{1: cell(250, " X ")}), "", "bounds check"},
		{good + good[:100] + "\n", "line 2", "has 100 characters"},
		{good[:269] + "x\n", "line 1", "has 270 characters"},
		{good + "US1ZZ000002" + good[11:], "line 2", "follows station"},
		{strings.Repeat(" ", 11) + good[11:], "line 1", "no id"},
		{strings.Replace(good, "200106", "200113", 1), "line 1", "no month"},
		{strings.Replace(good, "200106", "000106", 1), "line 1", "no month"},
		{strings.Replace(good, "200106", "20+106", 1), "line 1", "no month"},
		{strings.Replace(good, "TMAX", "tmax", 1), "line 1", "element"},
		{strings.Replace(good, "  250", " 25.0", 1), "line 1", "not a whole number"},
		{strings.Replace(good, "  250", " +250", 1), "line 1", "not a whole number"},
		{strings.Replace(good, "  250", "     ", 1), "line 1", "not a whole number"},
		{month("TMAX", map[int]string{1: cell(1, ""), 31: cell(250, "")}), "line 1", "on day 31, the month has 30"},
		{"\x00" + good[1:], "line 1", "NUL"},
		{good + strings.Repeat("9", 70000), "line 2", "longer than"},
		{"\xff\xfeU\x00S\x00", "line 1", "NUL"},
	}
	for _, tt := range tests {
		s, err := readDLY(tt.text)
		var ie *vector.InputError
		require.ErrorAs(t, err, &ie, tt.what)
		require.Equal(t, "a.dly", ie.File)
		require.Equal(t, tt.place, ie.Place, tt.what)
		require.Contains(t, ie.What, tt.what)
		require.Zero(t, s)
	}
}

func TestRefusedOptions(t *testing.T) {
	for _, o := range []Options{
		{ObservedAt: "7"},
		{ObservedAt: "0760"},
		{ObservedAt: "2401"},
		{ObservedAt: "-700"},
		{Limits: Limits{10, 10, 5}},
		{Limits: Limits{10, 20, -5}},
	} {
		_, err := ReadDLY(strings.NewReader(""), "a.dly", o)
		require.Error(t, err)
		require.NotContains(t, err.Error(), "holds no")
	}
}

func TestTimeOfObservation(t *testing.T) {
	line := month("TMAX", map[int]string{1: cell(250, ""), 2: cell(260, "")})
	for at, want := range map[string]Observed{
		"": {Unknown: 2}, "0700": {Morning: 2}, "07:00": {Morning: 2}, "1200": {Morning: 2},
		"1201": {Later: 2}, "1800": {Later: 2}, "2400": {Later: 2}, "0000": {Later: 2},
	} {
		s, err := ReadDLY(strings.NewReader(line), "a.dly", Options{ObservedAt: at})
		require.NoError(t, err)
		require.Equal(t, want, s.Observed, at)
		require.Equal(t, want.Morning > 0, strings.Contains(strings.Join(s.Notes, "\n"), "2 of 2 maxima were read in the morning"), at)
	}
}

const open = "../../../shared/data/weather/USC00305816_1940_1960.dly"

// Source: NOAA GHCN-Daily, station USC00305816, 1940-1960; rain and counts as
// computed beside the file: 38,358 values and 87 missing, four with a quality flag.
func TestOpenData(t *testing.T) {
	f, err := os.Open(open)
	if err != nil {
		t.Skip("the open data beside the project are absent: ", err)
	}
	defer f.Close()
	s, err := ReadDLY(f, "USC00305816.dly", Options{})
	require.NoError(t, err)
	addsUp(t, s)
	require.Equal(t, 38358+87, s.Counts.Read)
	require.Equal(t, 87, s.Counts.Dropped[isMissing])
	require.Equal(t, 4, s.Counts.Dropped["failed NOAA's check on the length of a multi-day period (quality flag L)"])
	for year, want := range map[int]float64{1950: 973.7, 1955: 1086.7} {
		sum, err := s.Rain(on(year, 1, 1), on(year, 12, 31))
		require.NoError(t, err)
		require.InDelta(t, want, sum.MM, 1e-9)
		require.Equal(t, 365, sum.Known)
	}
	require.Equal(t, on(1940, 1, 1), s.Days[0].Date)
	require.Equal(t, on(1960, 12, 31), s.Days[len(s.Days)-1].Date)
	require.Equal(t, []Gap{{"rain", on(1948, 6, 18), on(1948, 6, 19), 2}}, s.Gaps)
	require.Len(t, s.Between(on(1950, 5, 1), on(1950, 9, 30)), 153)
}
