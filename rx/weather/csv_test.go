package weather

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/vector"
)

func readStation(text string) (Series, error) {
	return ReadStationCSV(strings.NewReader(text), "a.csv", Options{})
}

// The same days in the native form, the long and the wide CSV are the same series.
func TestFormsAgree(t *testing.T) {
	native, err := readDLY(month("TMAX", map[int]string{1: cell(250, "  Z"), 2: cell(300, " SZ")}) +
		month("TMIN", map[int]string{1: cell(-11, "  Z"), 2: cell(100, "  Z")}) +
		month("PRCP", map[int]string{1: cell(0, "T Z"), 2: cell(376, "  Z")}))
	require.NoError(t, err)
	const long = station + ",20010601,TMAX,250,,,Z,0700\n" +
		station + ",20010601,TMIN,-11,,,Z,\n" +
		station + ",20010601,PRCP,0,T,,Z\n" +
		station + ",20010601,SNOW,0,,,Z\n" +
		station + ",20010602,TMAX,300,,S,Z,1800\n" +
		station + ",20010602,TMIN,100,,,Z,1800\n" +
		station + ",20010602,PRCP,376,,,Z,0700\n"
	const wide = `"STATION","DATE","LATITUDE","NAME","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES","PRCP","PRCP_ATTRIBUTES","SNOW","SNOW_ATTRIBUTES"` + "\n" +
		`"` + station + `","2001-06-01","42.1","A ""QUOTED"" NAME, NY US","  250",",,Z,0700","  -11",",,Z","    0","T,,Z","    0",",,Z"` + "\n" +
		`"` + station + `","2001-06-02","42.1","A ""QUOTED"" NAME, NY US","  300",",S,Z","  100",",,Z","  376",",,Z","",""` + "\n"
	for what, text := range map[string]string{
		"long":          long,
		"long, header":  "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n" + long,
		"long, CRLF":    "\xef\xbb\xbf" + strings.ReplaceAll(long, "\n", "\r\n"),
		"wide":          wide,
		"wide, no tick": strings.ReplaceAll(wide, `"STATION","DATE"`, "STATION,DATE"),
	} {
		s, err := readStation(text)
		require.NoError(t, err, what)
		addsUp(t, s)
		require.Equal(t, native.Days, s.Days, what)
		require.Equal(t, station, s.Station)
		require.Equal(t, Observed{Morning: 1}, s.Observed, what)
		require.Equal(t, 1, s.Counts.Dropped["failed NOAA's spatial consistency check (quality flag S)"])
	}
	s, err := readStation("STATION,DATE,TMAX\n" + station + ",2001-06-01,250\n")
	require.NoError(t, err)
	require.Contains(t, strings.Join(s.Notes, "\n"), "no column of flags for TMAX")
}

func TestRefusedStationCSV(t *testing.T) {
	const row = station + ",20010601,TMAX,250,,,Z,0700\n"
	const head = "STATION,DATE,TMAX,TMAX_ATTRIBUTES\n"
	tests := []struct{ text, place, what string }{
		{"", "", "empty"},
		{row + "\n" + station + ",20010601\n", "line 3", "has 2 fields"},
		{row + strings.Replace(row, "250", "251", 1), "lines 1 and 2", "given twice"},
		{strings.Replace(row, "20010601", "20010631", 1), "line 1", "date"},
		{strings.Replace(row, "20010601", "02010601", 1), "line 1", "out of reach"},
		{strings.Replace(row, "250", "25.0", 1), "line 1", "whole number"},
		{strings.Replace(row, "250", "", 1), "line 1", "whole number"},
		{strings.Replace(row, ",,,Z", ",,no,Z", 1), "line 1", "flag"},
		{strings.Replace(row, "TMAX", "T", 1), "line 1", "element"},
		{row + strings.Replace(row, station, "USC00000002", 1), "line 2", "follows station"},
		{strings.Replace(row, "TMAX", `"TMAX`, 1), "line 1", "not closed"},
		{strings.Replace(row, "TMAX", `"TMAX"x`, 1), "line 1", "closing quote"},
		{"STATION,TMAX\n", "line 1", "no column DATE"},
		{"STATION,DATE,SNOW\n", "line 1", "no column TMAX"},
		{"STATION,DATE,TMAX,TMAX\n", "line 1", "twice"},
		{head, "", "no temperature and no rain"},
		{head + station + ",2001-06-01,71.6,\n", "line 2", "whole number"},
		{head + station + ",06/01/2001,250,\n", "line 2", "date"},
		{head + station + ",2001-06-01,250\n", "line 2", "has 3 fields"},
		{head + station + ",2001-06-01,250,\"ab,,\"\n", "line 2", "flag"},
		{row + strings.Repeat("\"", 70000), "line 2", "longer than"},
		{row + "a\x00b\n", "line 2", "NUL"},
	}
	for _, tt := range tests {
		_, err := readStation(tt.text)
		var ie *vector.InputError
		require.ErrorAs(t, err, &ie, tt.what)
		require.Equal(t, tt.place, ie.Place, tt.text)
		require.Contains(t, ie.What, tt.what)
	}
}

var farm = Columns{Date: "day", DateForm: "mm/dd/yyyy", Max: "hi", Min: "lo", Rain: "rain", TemperatureUnit: "F", RainUnit: "in", Missing: []string{"M"}}

func TestPlainCSV(t *testing.T) {
	s, err := ReadCSV(strings.NewReader("day,note,hi,lo,rain\n6/1/2001,x,77,32,1\n06/03/2001,,M,50,T\n6/4/2001,,-99,-99,-99\n"), "farm.csv", farm, Options{})
	require.NoError(t, err)
	addsUp(t, s)
	require.Equal(t, []Day{
		{Date: on(2001, 6, 1), MaxC: Reading{25, true}, MinC: Reading{0, true}, RainMM: Reading{25.4, true}},
		{Date: on(2001, 6, 2)},
		{Date: on(2001, 6, 3), MinC: Reading{10, true}, RainMM: Reading{0, true}, Trace: true},
	}, s.Days)
	require.Equal(t, map[string]int{isMissing: 1, tooCold: 2, negative: 1}, s.Counts.Dropped, "-99 never is a reading")
	require.Equal(t, 9, s.Counts.Read)
	require.Equal(t, []Gap{{"temperature", on(2001, 6, 2), on(2001, 6, 3), 2}, {"rain", on(2001, 6, 2), on(2001, 6, 2), 1}}, s.Gaps)

	s, err = ReadCSV(strings.NewReader("d;p\n2001-06-02;12.5\n2001-06-01;0\n2001-06-01;0\n"), "r.csv",
		Columns{Date: "d", Rain: "p", RainUnit: "mm", Separator: ';'}, Options{})
	require.NoError(t, err)
	addsUp(t, s)
	require.Equal(t, 1, s.Counts.Dropped[repeated])
	sum, err := s.Rain(on(2001, 6, 1), on(2001, 6, 2))
	require.NoError(t, err)
	require.Equal(t, RainSum{MM: 12.5, Known: 2}, sum)
	require.Contains(t, s.Notes, "r.csv: no maximum temperature")
	require.Empty(t, s.Gaps, "what a file does not have at all is no gap")
}

func TestRefusedPlainCSV(t *testing.T) {
	const head = "day,hi,lo,rain\n"
	tests := []struct {
		text        string
		change      func(*Columns)
		place, what string
	}{
		{head, func(c *Columns) { c.TemperatureUnit = "" }, "", "unit of temperature"},
		{head, func(c *Columns) { c.TemperatureUnit = "in" }, "", "unit of temperature"},
		{head, func(c *Columns) { c.RainUnit = "F" }, "", "unit of rain"},
		{head, func(c *Columns) { c.Date = "" }, "", "column of dates"},
		{head, func(c *Columns) { c.Max, c.Min, c.Rain = "", "", "" }, "", "no column of temperature"},
		{head, func(c *Columns) { c.DateForm = "d.m.y" }, "", "form"},
		{head, func(c *Columns) { c.Separator = 'x' }, "", "separator"},
		{head, func(c *Columns) { c.Max = "high" }, "line 1", `no column "high"`},
		{head, func(c *Columns) { c.Max = "lo" }, "line 1", "two things"},
		{"day,hi,hi,lo,rain\n", nil, "line 1", "twice"},
		{head, nil, "", "no temperature and no rain"},
		{"", nil, "", "empty"},
		{head + "6/1/2001,77,32\n", nil, "line 2", "has 3 fields"},
		{head + "6/1/2001,77,x,0\n", nil, "line 2", "minimum of 2001-06-01 is \"x\""},
		{head + "6/1/2001,NaN,1,0\n", nil, "line 2", "not a number"},
		{head + "6/1/2001,1e999,1,0\n", nil, "line 2", "not a number"},
		{head + "6/1/2001,T,1,0\n", nil, "line 2", "not a number"},
		{head + "13/1/2001,77,1,0\n", nil, "line 2", "date"},
		{head + "6/1/2001,77,1,0\n\n6/1/2001,78,1,0\n", nil, "lines 2 and 4", "given twice"},
	}
	for _, tt := range tests {
		c := farm
		if tt.change != nil {
			tt.change(&c)
		}
		_, err := ReadCSV(strings.NewReader(tt.text), "farm.csv", c, Options{})
		var ie *vector.InputError
		require.ErrorAs(t, err, &ie, tt.what)
		require.Equal(t, tt.place, ie.Place, tt.what)
		require.Contains(t, ie.What, tt.what)
	}
}

// Fahrenheit that is taken for tenths of °C makes a summer without warmth.
func TestTooColdForCornIsTold(t *testing.T) {
	var b strings.Builder
	b.WriteString("STATION,DATE,TMAX\n")
	for i := range 200 {
		b.WriteString(station + "," + date(on(2001, 4, 1).AddDate(0, 0, i)) + ",85\n")
	}
	s, err := readStation(b.String())
	require.NoError(t, err)
	require.Contains(t, strings.Join(s.Notes, "\n"), "too cold for corn; check the unit")
}
