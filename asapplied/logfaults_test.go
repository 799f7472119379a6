package asapplied

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// TestBadLogs holds the message of each bad input: file, place, what, remedy.
func TestBadLogs(t *testing.T) {
	none := of(0)
	for _, c := range []struct {
		name, text, want string
		change           []func(*LogSpec)
	}{
		{"empty file", "", `line 1: the file is empty; a log starts with a line of column names`, nil},
		{"header only", "lon,lat,rate_kg_ha\n", `the log is empty: it has no rows; export it again, or leave the file out of logs:`, nil},
		{
			"rows without position", "lon,lat,fix\n-93.5,42.5,0\n-93.5,42.5,0\n,,\n",
			`none of the 3 rows gives a record (empty_row 1, no_fix 2); look at the file with inspect, and check which columns hold position and time`, nil,
		},
		{
			"missing column", positions("depth_cm", "10"), `there is no column "dept_cm" for the role depth; did you mean "depth_cm"?`,
			[]func(*LogSpec){columns(map[string][]string{"depth": {"dept_cm"}})},
		},
		{
			"missing column, none like it", positions("depth_cm", "10"), `there is no column "applied" for the role rate; the columns are lon, lat, depth_cm`,
			[]func(*LogSpec){columns(map[string][]string{"rate": {"applied"}})},
		},
		{
			"misspelt role", positions("depth_cm", "10"), `columns: "dept" is not a role of a log; did you mean "depth"?`,
			[]func(*LogSpec){columns(map[string][]string{"dept": {"depth_cm"}})},
		},
		{
			"two columns fit", positions("rate_kg_ha,rate_lb_ac", "10,9"),
			`columns "rate_kg_ha" and "rate_lb_ac" fit the role rate equally well; write which one under columns: {rate: NAME}, or rate: none`, nil,
		},
		{
			"a name twice", "lon,lat,rate,rate\n-93.5,42.5,1,2\n", `2 columns have the name "rate"; rename one of them`,
			[]func(*LogSpec){columns(map[string][]string{"rate": {"rate"}})},
		},
		{
			"no unit", positions("depth", "10"),
			`the unit of column "depth" (role depth) is not known; write units: {depth: UNIT}, such as m or ft, or columns: {depth: none} to leave it out`, nil,
		},
		{
			"a mapped column without unit", positions("v", "10"),
			`the unit of column "v" (role speed) is not known; write units: {speed: UNIT}, such as m/s or mph, or columns: {speed: none} to leave it out`,
			[]func(*LogSpec){columns(map[string][]string{"speed": {"v"}})},
		},
		{
			"wrong kind of unit", positions("rate", "10"), `role rate (column "rate"): unit "mph" makes it a speed, not a rate; write lb/ac, kg/ha`,
			[]func(*LogSpec){units(map[string]string{"rate": "mph"})},
		},
		{
			"a unit for a label", positions("load", "10"), `units: the role load has no unit; remove it`,
			[]func(*LogSpec){units(map[string]string{"load": "kg"})},
		},
		{
			"a form that is none", positions("sections", "10"), `units: "bits" is not a form of sections; write string, decimal or hex`,
			[]func(*LogSpec){units(map[string]string{"sections": "bits"})},
		},
		{
			"nitrogen or product", positions("rate_lb_ac", "10"),
			`it is not known whether column "rate_lb_ac" (role rate) counts nitrogen or product; write of: nitrogen or of: product, or columns: {rate: none} to leave it out`,
			[]func(*LogSpec){none},
		},
		{
			"a volume of nitrogen", positions("rate_gal_ac", "10"),
			`role rate (column "rate_gal_ac"): gal/ac is a volume of product and cannot count nitrogen; write of: product, or a unit of mass`, nil,
		},
		{
			"product of no source", positions("rate_lb_ac", "10"),
			`role rate (column "rate_lb_ac"): it counts product, and the source is not known; name the application's source`,
			[]func(*LogSpec){of(unit.Product)},
		},
		{
			"no density", positions("rate_gal_ac", "10"), `role rate (column "rate_gal_ac"): source urea has no density`,
			[]func(*LogSpec){none, source("urea")},
		},
		{
			"no position", "a,b\n1,2\n", `no column looks like lon (the columns are "a" and "b"); name it under columns: {lon: NAME}`, nil,
		},
		{
			"swapped", "x,y\n42.5,-93.5\n42.6,-93.6\n", `columns "x" (values 42.5 to 42.6) and "y" (values -93.6 to -93.5) look swapped; exchange them under columns: {lon: …, lat: …}`,
			[]func(*LogSpec){columns(map[string][]string{"lon": {"x"}, "lat": {"y"}})},
		},
		{
			"metres", "lon,lat\n450000,4650000\n", `look like metres or feet, not degrees; name the coordinate system under crs:, such as EPSG:26915`,
			[]func(*LogSpec){columns(map[string][]string{"lon": {"lon"}, "lat": {"lat"}})},
		},
		{
			"positions in words", "lon,lat\nwest,north\n", `do not hold numbers; write decimal degrees such as -93.5983251`,
			[]func(*LogSpec){columns(map[string][]string{"lon": {"lon"}, "lat": {"lat"}})},
		},
		{
			"unreadable times", positions("time", "half past two"),
			`the values of column "time", such as "half past two", are not readable as time; write RFC 3339 (2006-01-02T15:04:05Z)`,
			[]func(*LogSpec){columns(map[string][]string{"time": {"time"}})},
		},
		{
			"numbers that are no times", positions("time", "1309638597", "9309638597", "77", "4409638597"),
			`the values of column "time" run from 77 to 9309638597 and are not times: numbers are read as s, ms, us or ns since 1970, between 1980 and 2100; write such times throughout`,
			[]func(*LogSpec){columns(map[string][]string{"time": {"time"}})},
		},
		{
			"date without clock", positions("day", "2024-05-06"),
			`the role date has a column but the role clock has none; name it under columns: {clock: NAME}`,
			[]func(*LogSpec){columns(map[string][]string{"date": {"day"}})},
		},
		{
			"both orders of date", positions("time", "13/5/2024 10:00", "5/13/2024 10:00"),
			`column "time" has dates with the day first and dates with the month first; write one order throughout`, nil,
		},
		{
			"sections of two lengths", positions("sections", "111111", "1111"),
			`log.csv: line 3: column "sections": "1111" has 4 characters, but 6 is the length in 1 of the first 2 rows, such as "111111": the number of sections differs between rows; write every section in every row, or say the form with units: {sections: string}, decimal or hex`, nil,
		},
		{
			"sections that may be two things", positions("sections", "1023", "1023"),
			`column "sections": values such as "1023" may be states 0 to 3 or bit masks; write every section in every row, or say the form`, nil,
		},
		{
			"more sections than said", positions("sections", "5", "12"),
			`line 3: column "sections": "12" has section 4 on, but there are 3; write the state`,
			[]func(*LogSpec){units(map[string]string{"sections": "decimal of 3"})},
		},
		{
			"a list for a single role", positions("a,b", "1,2"), `2 columns are named for the role speed, which has one; name one`,
			[]func(*LogSpec){columns(map[string][]string{"speed": {"a", "b"}})},
		},
		{
			"a system that is none", positions("a", "1"), `crs: `, []func(*LogSpec){func(s *LogSpec) { s.CRS = "mars" }},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := readText(t, c.text, c.change...)
			require.ErrorContains(t, err, c.want)
		})
	}
}

func TestLaterRowsThatBreakTheForm(t *testing.T) {
	var b strings.Builder
	b.WriteString("lon,lat,sections,date,clock\n")
	for range sampleRows {
		b.WriteString("-93.5,42.5,1111,5/6/2024,10:00:00\n")
	}
	good := b.String()
	_, err := readText(t, good+"-93.5,42.5,11,5/6/2024,10:00:00\n")
	require.ErrorContains(t, err, `log.csv: line 1002: column "sections": "11" has 2 sections, most of the first rows have 4; write the state of every section in every row`)
	_, err = readText(t, good+"-93.5,42.5,1111,13/6/2024,10:00:00\n")
	require.ErrorContains(t, err, `log.csv: line 1002: the date "13/6/2024" does not fit the order of day and month of the rows before; say the order with units: {date: d/m/y} or m/d/y`)
	log := mustRead(t, good)
	require.Contains(t, strings.Join(log.Notes, "\n"), `dates such as "5/6/2024" are read with the month first; write units: {date: d/m/y} if the day comes first`)
}

func TestFilesThatAreNoLogs(t *testing.T) {
	_, err := ReadLog(LogSpec{})
	require.EqualError(t, err, "logs: no file is named; write files: [log.csv]")
	missing := filepath.Join(t.TempDir(), "gone.csv")
	_, err = ReadLog(LogSpec{Files: []string{missing}})
	require.EqualError(t, err, missing+": there is no such file; check the name; paths are relative to the job file")
	other := written(t, "log.xlsx", "PK")
	_, err = ReadLog(LogSpec{Files: []string{other}})
	require.EqualError(t, err, other+`: the ending ".xlsx" names no format that is read; save the sheet as CSV, with the seconds of its times`)
	for _, folder := range []string{t.TempDir(), filepath.Join(t.TempDir(), "day.csv")} {
		require.NoError(t, os.MkdirAll(folder, 0o700))
		_, err = ReadLog(LogSpec{Files: []string{folder}})
		require.EqualError(t, err, folder+": is a folder, not a file; name the files in it")
	}
}

// A column that is only guessed, decides nothing, and lacks its unit is left
// out and said so; the harvest logs that farms have are read without a word in
// the job about the columns of another trade.
func TestGuessesThatLackAUnitAreLeftOut(t *testing.T) {
	log := mustRead(t, positions("flow,distance", "16.5,116"), of(0))
	require.Nil(t, log.Flow)
	require.Nil(t, log.Distance)
	notes := strings.Join(log.Notes, "\n")
	require.Contains(t, notes, `"flow" was left out: the unit of column "flow" (role flow) is not known; write units: {flow: UNIT}, such as kg/s, lb/min or gal/min`)
	require.Contains(t, notes, `"distance" was left out`)
}

func TestNoneLeavesARoleOut(t *testing.T) {
	log := mustRead(t, positions("rate_kg_ha,rate_lb_ac,depth", "1,2,3"), columns(map[string][]string{"rate": {None}, "depth": {}}))
	require.Zero(t, log.Rate.N)
	require.Zero(t, log.Depth.N)
}

// TestTheRowThatDiffersIsNamed: of 60 rows one has another number of sections, and
// it is the one to repair, wherever it is and whether it is longer or shorter.
func TestTheRowThatDiffersIsNamed(t *testing.T) {
	for _, odd := range []int{2, 3, 41, 61} {
		for _, cell := range []string{"0111", "0", "01111011"} {
			rows := make([]string, 60)
			for i := range rows {
				rows[i] = "011011"
			}
			rows[odd-2] = cell
			text := "lon,lat,sections\n-93.5,42.5," + strings.Join(rows, "\n-93.5,42.5,") + "\n"
			_, err := readText(t, text)
			require.ErrorContains(t, err, fmt.Sprintf(
				`log.csv: line %d: column "sections": %q has %d characters, but 6 is the length in 59 of the first 60 rows, such as "011011"`, odd, cell, len(cell)))
			_, err = readText(t, text, units(map[string]string{"sections": "string"}))
			require.ErrorContains(t, err, fmt.Sprintf(
				`log.csv: line %d: column "sections": %q has %d sections, most of the first rows have 6;`, odd, cell, len(cell)))
			_, err = readText(t, text, units(map[string]string{"sections": "string of 6"}))
			require.ErrorContains(t, err, fmt.Sprintf(`log.csv: line %d: column "sections": %q has %d sections, units say 6;`, odd, cell, len(cell)))
			require.Contains(t, inspected(t, written(t, "log.csv", text)).Faults[0], fmt.Sprintf("line %d: ", odd))
		}
	}
}
