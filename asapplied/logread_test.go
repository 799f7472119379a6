package asapplied

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx/nitrogen"
)

// written puts a log into a folder of its own and returns its path.
func written(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

// readText reads a CSV text as a log that counts nitrogen.
func readText(t *testing.T, text string, change ...func(*LogSpec)) (Log, error) {
	t.Helper()
	spec := LogSpec{Files: []string{written(t, "log.csv", text)}, Of: unit.Nitrogen, HasOf: true}
	for _, c := range change {
		c(&spec)
	}
	return ReadLog(spec)
}

func mustRead(t *testing.T, text string, change ...func(*LogSpec)) Log {
	t.Helper()
	log, err := readText(t, text, change...)
	require.NoError(t, err)
	requireWhole(t, &log)
	return log
}

// requireWhole checks what holds for every log: rows are records or dropped,
// columns have one entry a record, positions are on the globe.
func requireWhole(t *testing.T, l *Log) {
	t.Helper()
	dropped := 0
	for _, n := range l.Dropped {
		dropped += n
	}
	n := l.Len()
	require.Equal(t, l.Read, n+dropped, "read = records + dropped")
	for name, c := range map[string][]float64{
		"heading": l.Heading, "speed": l.Speed, "distance": l.Distance, "duration": l.Duration, "width": l.Width,
		"target": l.Target, "flow": l.Flow, "product": l.Product,
	} {
		require.True(t, c == nil || len(c) == n, name)
		requireNoInf(t, c)
	}
	require.Len(t, l.Lon, n)
	require.Len(t, l.Lat, n)
	require.Len(t, l.File, n)
	require.True(t, l.TimeNS == nil || len(l.TimeNS) == n)
	require.True(t, l.Working == nil || len(l.Working) == n)
	require.True(t, l.Rate.N == 0 || l.Rate.Len() == n)
	require.True(t, l.Depth.N == 0 || l.Depth.Len() == n)
	require.True(t, l.Sections.N == 0 || l.Sections.Len() == n)
	requireNoInf(t, l.Rate.V)
	requireNoInf(t, l.Depth.V)
	for i := range l.Lon {
		require.True(t, math.Abs(l.Lon[i]) <= 180 && math.Abs(l.Lat[i]) <= 90)
	}
}

func requireNoInf(t *testing.T, c []float64) {
	t.Helper()
	for _, v := range c {
		require.False(t, math.IsInf(v, 0))
	}
}

func columns(c map[string][]string) func(*LogSpec) { return func(s *LogSpec) { s.Columns = c } }
func units(u map[string]string) func(*LogSpec)     { return func(s *LogSpec) { s.Units = u } }

func of(o unit.Of) func(*LogSpec) { return func(s *LogSpec) { s.Of, s.HasOf = o, o != 0 } }

func source(name string) func(*LogSpec) {
	return func(s *LogSpec) { s.Source, _ = nitrogen.Known(name) }
}

// positions writes n rows of lon and lat, each with a further cell.
func positions(header string, cells ...string) string {
	var b strings.Builder
	b.WriteString("lon,lat," + header + "\n")
	for i, c := range cells {
		b.WriteString("-93." + string(rune('1'+i)) + ",42.5," + c + "\n")
	}
	return b.String()
}

func TestEveryRoleInItsUnit(t *testing.T) {
	log := mustRead(t, strings.Join([]string{
		"time,lon,lat,heading,speed_mph,distance (in),duration_ms,width_ft,sections,working,rate_lb_ac,target_lb_ac,flow_lb_min,depth_in,product_total_lb,load,machine,fix",
		"2024-05-06T12:00:00Z,-93.6,42.03,-90,10,12,500,60,1100,on,100,180,60,4,1000,L1,west,4",
		"2024-05-06T12:00:01Z,-93.6,42.04,90,-1,24,500,60,0011,off,0,180,0,3.5,1001,L2,west,1",
	}, "\n"))
	require.Equal(t, 2, log.Len())
	require.Equal(t, []int32{2, 3}, log.Line)
	require.Equal(t, time.Date(2024, 5, 6, 12, 0, 0, 0, time.UTC).UnixNano(), log.TimeNS[0])
	require.Equal(t, []float64{270, 90}, log.Heading)
	require.InDeltaSlice(t, []float64{4.4704, -0.44704}, log.Speed, 1e-12) // 1 mph = 0.44704 m/s exactly
	require.InDeltaSlice(t, []float64{0.3048, 0.6096}, log.Distance, 1e-12)
	require.Equal(t, []float64{0.5, 0.5}, log.Duration)
	require.InDeltaSlice(t, []float64{18.288, 18.288}, log.Width, 1e-12)
	require.Equal(t, 4, log.Sections.N)
	require.Equal(t, []uint64{0b0011, 0b1100}, log.Sections.Words) // section 0 is the leftmost character
	require.True(t, log.Sections.On(0, 0) && log.Sections.On(0, 1) && !log.Sections.On(0, 2) && log.Sections.Any(1))
	require.Equal(t, []int8{1, 0}, log.Working)
	// 100 lb/ac = 45.359237 kg / 0.40468564224 ha
	require.InDeltaSlice(t, []float64{45.359237 / 0.40468564224, 0}, log.Rate.V, 1e-9)
	require.InDelta(t, 1.8*45.359237/0.40468564224, log.Target[0], 1e-9)
	require.InDeltaSlice(t, []float64{0.45359237, 0}, log.Flow, 1e-12) // 60 lb/min = 1 lb/s
	require.InDeltaSlice(t, []float64{0.1016, 0.0889}, log.Depth.V, 1e-12)
	require.InDeltaSlice(t, []float64{453.59237, 454.04596237}, log.Product, 1e-9)
	require.Equal(t, []string{"L1", "L2"}, log.Load)
	require.Equal(t, []string{"west", "west"}, log.Machine)
	require.Equal(t, []int8{4, 1}, log.Fix)
	require.Len(t, log.Mapping, 18)
	for _, u := range log.Mapping {
		require.True(t, u.Guessed && u.Why != "", u.Role)
	}
}

// UAN 32 has 11.06 lb/gal and 32 % N, so 50 gal/ac carry 50·11.06·0.32 = 176.96
// lb N/ac (nitrogen-content arithmetic as on any label: pounds a gallon times
// percent N).
func TestProductBecomesNitrogen(t *testing.T) {
	const lbPerAcre = 0.45359237 / 0.40468564224 // kg/ha
	log := mustRead(t, positions("rate_gal_ac", "50", "0"), of(0), source("uan-32"))
	require.InDelta(t, 176.96*lbPerAcre, log.Rate.V[0], 1e-9)
	require.Equal(t, ColumnUse{
		Role: "rate", Columns: []string{"rate_gal_ac"}, Unit: "gal/ac", Of: "product", Guessed: true,
		Why: "its name says so; values 0 to 50",
	}, log.Mapping[2])

	log = mustRead(t, positions("rate", "100"), of(unit.Product), units(map[string]string{"rate": "lb/ac"}), source("urea"))
	require.InDelta(t, 46*lbPerAcre, log.Rate.V[0], 1e-9)

	log = mustRead(t, positions("flow_gal_min", "6"), of(unit.Nitrogen), source("uan-32"))
	require.InDelta(t, 0.1*11.06*0.32*0.45359237, log.Flow[0], 1e-12)
	require.Contains(t, strings.Join(log.Notes, "\n"), `column "flow_gal_min" is in gal/min, a volume, and is taken as product`)

	log = mustRead(t, positions("depth_m", "1"), units(map[string]string{"rate": "lb/ac"}))
	require.Contains(t, log.Notes[0], "a unit is given for the role rate, which no column has")

	log = mustRead(t, positions("LB_N_AC", "180"), of(0), columns(map[string][]string{"rate": {"LB_N_AC"}}))
	require.InDelta(t, 180*lbPerAcre, log.Rate.V[0], 1e-9)
}

func TestListsOfColumns(t *testing.T) {
	log := mustRead(t, "lon,lat,Section 1 on,Section 2 on,Section 10 on,depth_2_cm,depth_1_cm\n-93.5,42.5,1,off,2,12,10\n-93.6,42.5,0,true,on,,8\n",
		columns(map[string][]string{"sections": {"Section 1 on", "Section 2 on", "section 10 on"}}))
	require.Equal(t, 3, log.Sections.N)
	require.Equal(t, []uint64{0b001, 0b110}, log.Sections.Words)
	require.Contains(t, strings.Join(log.Notes, "\n"), `(sections) has 1 states of error or not installed, taken as off`)
	require.Equal(t, 2, log.Depth.N)
	require.InDeltaSlice(t, []float64{0.10, 0.12}, log.Depth.Row(0), 1e-15) // by number, not by place in the file
	require.InDelta(t, 0.08, log.Depth.Row(1)[0], 1e-15)
	require.True(t, math.IsNaN(log.Depth.Row(1)[1]))
}

func TestFormsOfSections(t *testing.T) {
	for _, c := range []struct {
		name, unit string
		cells      []string
		n          int
		words      []uint64
		atLeast    bool
	}{
		{"string", "", []string{"110", "011"}, 3, []uint64{3, 6}, false},
		{"string kept as text", "", []string{"'110", "'011"}, 3, []uint64{3, 6}, false},
		{"string with marks", "", []string{"1 1 0", "0 1 1"}, 3, []uint64{3, 6}, false},
		{"error states are off", "", []string{"0123", "1111"}, 4, []uint64{2, 15}, false},
		{"one section", "", []string{"1", "0"}, 1, []uint64{1, 0}, false},
		{"words", "", []string{"on", "off"}, 1, []uint64{1, 0}, false},
		{"decimal mask", "", []string{"5", "12"}, 4, []uint64{5, 12}, true},
		{"decimal mask with a count", "decimal of 12", []string{"5", "12"}, 12, []uint64{5, 12}, false},
		{"hex mask", "", []string{"0x0F", "0xF0"}, 8, []uint64{15, 240}, true},
		{"hex mask without 0x", "", []string{"0F", "F0"}, 8, []uint64{15, 240}, true},
		{"mask said", "decimal", []string{"10", "11"}, 4, []uint64{10, 11}, true},
		{"empty is off", "", []string{"110", ""}, 3, []uint64{3, 0}, false},
		{"longer than a word", "", []string{strings.Repeat("0", 69) + "1", strings.Repeat("1", 70)}, 70, []uint64{0, 1 << 5, 1<<64 - 1, 1<<6 - 1}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			u := map[string]string{}
			if c.unit != "" {
				u["sections"] = c.unit
			}
			log := mustRead(t, positions("sections", c.cells...), units(u))
			require.Equal(t, c.n, log.Sections.N)
			require.Equal(t, c.words, log.Sections.Words)
			require.Equal(t, c.atLeast, log.SectionsAtLeast)
		})
	}
}

func TestDroppedRowsAreCounted(t *testing.T) {
	log := mustRead(t, strings.Join([]string{
		"time,lon,lat,fix,rate_kg_ha",
		"1715000000,-93.5,42.5,4,100",
		"1715000001,-93.5,42.5,4",             // a cell short
		"1715000002,-93.5,42.5,4,100,7",       // a cell too many
		"1715000003,-93.5,42.5,4,100,",        // an empty cell too many is none
		"time,lon,lat,fix,rate_kg_ha",         // header again
		",,,,",                                // nothing
		"1715000004,,42.5,4,100",              // no longitude
		"1715000005,NaN,42.5,4,100",           // no longitude
		"1715000006,-93.5,142.5,4,100",        // off the globe
		"1715000007,0,0,4,100",                // a receiver without position
		"1715000008,-93.5,42.5,0,100",         // no fix
		"noon,-93.5,42.5,4,100",               // no time
		"1715000009,-93.5,42.5,4,NaN",         // no rate, still a record
		"1715000010,\"-93.5\",42.5,4,\"100\"", // quoted numbers
		"1715000011,-93.5,42.5,4,1\"00",       // broken quoting
		"1715000012,-93.5,42.5,,",             // no fix said, no rate
		"",
	}, "\r\n"))
	require.Equal(t, map[string]int{
		DropRagged: 2, DropHeaderAgain: 1, DropEmpty: 1, DropNoPosition: 4, DropNoFix: 1, DropNoTime: 1, DropUnreadable: 1,
	}, log.Dropped)
	require.Equal(t, []int32{2, 5, 14, 15, 17}, log.Line)
	require.Equal(t, []int8{4, 4, 4, 4, -1}, log.Fix)
	require.Equal(t, 16, log.Read)
	require.True(t, math.IsNaN(log.Rate.V[2]) && math.IsNaN(log.Rate.V[4]))
	require.Equal(t, 100.0, log.Rate.V[3])
	notes := strings.Join(log.Notes, "\n")
	require.Contains(t, notes, `log.csv: column "rate_kg_ha" (rate): 1 values could not be used (1 not readable, first at line 14) and count as none; 1 more are empty`)
}

func TestValuesThatCannotBe(t *testing.T) {
	log := mustRead(t, positions("width_m,heading,depth_cm", "-5,361,-3", "5,1000,1e400", "5,-0.0000000000000001,3", "5,1,3"),
		columns(map[string][]string{"heading": {"heading"}, "width": {"width_m"}, "depth": {"depth_cm"}}))
	require.True(t, math.IsNaN(log.Width[0]) && math.IsNaN(log.Heading[1]) && math.IsNaN(log.Depth.V[0]) && math.IsNaN(log.Depth.V[1]))
	require.Equal(t, []float64{1, 0, 1}, []float64{log.Heading[0], log.Heading[2], log.Heading[3]})
	require.Len(t, log.Notes, 3)
}

func TestSemicolonsAndDecimalCommas(t *testing.T) {
	log := mustRead(t, "\xef\xbb\xbfZeit;lon;lat;speed (km/h);rate_kg_ha\r\n06.05.2024 14:00:00;-93,5983251474;42,0299852007;9,0;196,2\r\n06.05.2024 14:00:01;-93,5983;42,03;9;180\r\n")
	require.Equal(t, []float64{-93.5983251474, -93.5983}, log.Lon)
	require.InDeltaSlice(t, []float64{2.5, 2.5}, log.Speed, 1e-12)
	require.Equal(t, []float64{196.2, 180}, log.Rate.V)
	require.Equal(t, time.Date(2024, 5, 6, 14, 0, 0, 0, time.UTC).UnixNano(), log.TimeNS[0])
	require.Contains(t, log.Notes[0], "2 times name no zone and are taken as UTC; write zone:")
}

// The same record in metres of UTM zone 15N. Source: PROJ, cs2cs EPSG:4326
// EPSG:26915 has the central meridian 93 W at easting 500000 m by definition.
func TestPositionsInMetres(t *testing.T) {
	log := mustRead(t, "easting,northing\n500000,4649776.224\n500000,4649777\n", func(s *LogSpec) { s.CRS = "EPSG:26915" })
	require.InDelta(t, -93, log.Lon[0], 1e-9)
	require.InDelta(t, 42, log.Lat[0], 1e-3)
	require.Contains(t, log.DatumNote, "as the job says")
}

func TestFilesOfOneLog(t *testing.T) {
	a := written(t, "a.csv", "lon,lat,rate_kg_ha\n-93.5,42.5,1\n")
	b := written(t, "b.csv", "rate_kg_ha,lat,lon\n2,42.6,-93.6\n3,42.7,-93.7\n")
	log, err := ReadLog(LogSpec{Files: []string{a, b}, Of: unit.Nitrogen, HasOf: true})
	require.NoError(t, err)
	requireWhole(t, &log)
	require.Equal(t, []float64{1, 2, 3}, log.Rate.V)
	require.Equal(t, []int32{0, 1, 1}, log.File)
	require.Equal(t, []int32{2, 2, 3}, log.Line)
	require.Len(t, log.Mapping, 3) // the same columns are listed once

	c := written(t, "c.csv", "lon,lat\n-93.5,42.5\n")
	_, err = ReadLog(LogSpec{Files: []string{a, c}, Of: unit.Nitrogen, HasOf: true})
	require.EqualError(t, err, c+": it has no column for the role rate, which "+a+" has; name the column, or give the files as two entries under logs:")
}

func TestErrorsAreInputErrors(t *testing.T) {
	_, err := readText(t, "lon,lat\n")
	var e *vector.InputError
	require.ErrorAs(t, err, &e)
	require.Equal(t, "log.csv", filepath.Base(e.File))
}
