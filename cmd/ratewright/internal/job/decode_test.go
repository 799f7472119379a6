package job

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// full is the job of the manual, with every key there is.
const full = `units: si
field:
  name: Walnut Bottom
  boundary: boundary.geojson
  where: {FIELD: walnut, YEAR: 2026}
  exclude: [waterway.geojson]
  setbacks:
    - {around: well.geojson, distance: 50 ft}
  crs: EPSG:26915
zones:
  file: maps/zones.shp
  id: ZONE
  columns: {rate: N_LB_AC, texture: TEXTURE, residue_cover: RES_PCT}
  crs: EPSG:4326
  overlap: first
  gaps: fill
  slivers: 0.02 ac
sources:
  cold-uan: {like: uan-32, density: 11.1 lb/gal}
  mix: {blend: {uan-32: 90 %, ammonium-thiosulfate: 10 %}, by: volume}
  own: {label: Own make, grade: 20-0-0, nitrogen: 20 %, urea: 10 %, ammonium: 5 %, nitrate: 5 %}
machines:
  bar-60:
    width: 60 ft
    sections: 8
    bar: {behind: 8 ft, right: -1 ft}
    lag: -0.5 s
  odd: {sections: [10 ft, 20 ft, 10 ft]}
applications:
  - name: sidedress
    source: cold-uan
    placement: coulter
    depth: 4 in
    shallow: 3 in
    date: 2026-06-05
    machine: bar-60
    rate: {unit: lb/ac, of: nitrogen}
    limits: {min: 60 lb/ac, max: 220 lb/ac, step: 5 lb/ac, of: nitrogen}
    tank: 1600 gal
    map: {rate: product, unit: gal/ac, off_limits: none, name: WB1}
    prescription: other.geojson
    logs:
      - files: [log.csv, /abs/log2.csv]
        columns: {time: time, lon: lon, lat: lat, sections: [s1, s2]}
        units: {speed: m/s, rate: kg/ha, depth: m}
        of: nitrogen
        max_gap: 5 s
        zone: America/Chicago
        crs: EPSG:4269
      - {files: b.csv, machine: odd}
  - name: starter
    source: mix
    machine: odd
    rate: {table: {A: 30, "2": 40.5}, unit: gal/ac, of: product}
    tank: 8 ton
    prescription: {file: p.shp, column: R, unit: kg/ha, of: product, id: Z, crs: EPSG:4326}
reconcile:
  tolerance: 12 %
  min_patch: 0.02 ac
accept: {missed: 2 %, short: 3 %}
`

func decode(t *testing.T, text string) Job {
	t.Helper()
	j, err := Decode(filepath.Join("jobs", "job.yaml"), []byte(text))
	require.NoError(t, err)
	return j
}

func TestEveryKeyIsRead(t *testing.T) {
	j := decode(t, full)
	at := func(s string) string { return filepath.Join("jobs", filepath.FromSlash(s)) }

	assert.Equal(t, unit.SI, j.Units)
	f := j.Field
	assert.Equal(t, "Walnut Bottom", f.Name)
	assert.Equal(t, at("boundary.geojson"), f.Boundary)
	assert.Equal(t, []Equal{{"FIELD", "walnut"}, {"YEAR", "2026"}}, f.Where)
	assert.Equal(t, []string{at("waterway.geojson")}, f.Exclude)
	assert.Equal(t, []SetbackSpec{{at("well.geojson"), unit.Feet(50)}}, f.Setbacks)
	assert.Equal(t, "EPSG:26915", f.CRS)

	z := j.Zones
	assert.Equal(t, at("maps/zones.shp"), z.File)
	assert.Equal(t, "ZONE", z.ID)
	assert.Equal(t, map[string]string{"rate": "N_LB_AC", "texture": "TEXTURE", "residue_cover": "RES_PCT"}, z.Columns)
	assert.Equal(t, []string{"first", "fill", "EPSG:4326"}, []string{z.Overlap, z.Gaps, z.CRS})
	assert.Equal(t, unit.Acres(0.02), *z.Slivers)

	require.Len(t, j.Sources, 3)
	assert.Equal(t, "uan-32", j.Sources[0].Like)
	assert.Equal(t, unit.LbPerGallon(11.1), *j.Sources[0].Density)
	assert.Equal(t, []BlendPart{{"uan-32", 0.9}, {"ammonium-thiosulfate", 0.1}}, j.Sources[1].Blend)
	assert.True(t, j.Sources[1].ByVolume)
	own := j.Sources[2]
	assert.Equal(t, []string{"Own make", "20-0-0"}, []string{own.Label, own.Grade})
	assert.InDeltaSlice(t, []float64{0.2, 0.1, 0.05, 0.05}, []float64{*own.Nitrogen, *own.Urea, *own.Ammonium, *own.Nitrate}, 1e-15)

	require.Len(t, j.Machines, 2)
	bar := j.Machines[0]
	assert.Equal(t, unit.Feet(60), bar.Width)
	assert.Equal(t, 8, bar.SectionCount)
	assert.Equal(t, []unit.Length{unit.Feet(8), unit.Feet(-1)}, []unit.Length{bar.Behind, bar.Right})
	assert.Equal(t, unit.Seconds(-0.5), bar.Lag)
	assert.Equal(t, []unit.Length{unit.Feet(10), unit.Feet(20), unit.Feet(10)}, j.Machines[1].SectionWidths)
	assert.InDelta(t, 40, j.Machines[1].Width.Feet(), 1e-9)

	require.Len(t, j.Applications, 2)
	checkSidedress(t, j.Applications[0], at)
	s := j.Applications[1]
	assert.Equal(t, map[string]float64{"A": 30, "2": 40.5}, s.Rate.Table)
	assert.Equal(t, unit.ShortTons(8), s.TankMass)
	assert.Equal(t, &MapFileSpec{at("p.shp"), "R", "Z", "EPSG:4326", unit.KgPerHectare, unit.Product}, s.Prescription)

	assert.Equal(t, ReconcileSpec{Tolerance: 0.12, MinPatch: unit.Acres(0.02)}, j.Comparison)
	assert.Equal(t, []AcceptSpec{{"missed", 0.02}, {"short", 0.03}}, j.Accept)
}

func checkSidedress(t *testing.T, a ApplicationSpec, at func(string) string) {
	t.Helper()
	assert.Equal(t, []string{"sidedress", "cold-uan", "coulter", "2026-06-05", "bar-60"}, []string{a.Name, a.Source, a.Placement, a.Date, a.Machine})
	assert.Equal(t, unit.Inches(4), *a.Depth)
	assert.Equal(t, unit.Inches(3), *a.Shallow)
	assert.Equal(t, "N_LB_AC", a.Rate.Column, "the column of the role rate")
	assert.Equal(t, unit.PoundsPerAcre, a.Rate.Unit)
	assert.Equal(t, unit.Nitrogen, a.Rate.Of)
	assert.Equal(t, unit.Rate{Value: 5, Unit: unit.PoundsPerAcre}, *a.Limits.Step)
	assert.Equal(t, unit.Nitrogen, a.Limits.Of)
	assert.Equal(t, unit.Gallons(1600), a.TankVolume)
	assert.Equal(t, unit.Product, a.Map.Of)
	assert.Equal(t, unit.GallonsPerAcre, *a.Map.Unit)
	assert.False(t, a.Map.ZeroOffLimits)
	assert.Equal(t, "WB1", a.Map.Name)
	assert.Equal(t, &MapFileSpec{File: at("other.geojson"), Column: "N_LB_AC", Unit: unit.PoundsPerAcre, Of: unit.Nitrogen}, a.Prescription)

	require.Len(t, a.Logs, 2)
	l := a.Logs[0]
	assert.Equal(t, []string{at("log.csv"), filepath.FromSlash("/abs/log2.csv")}, l.Files)
	assert.Equal(t, "bar-60", l.Machine, "the application's machine")
	assert.Equal(t, []string{"s1", "s2"}, l.Columns["sections"])
	assert.Equal(t, map[string]string{"speed": "m/s", "rate": "kg/ha", "depth": "m"}, l.Units)
	assert.Equal(t, unit.Nitrogen, *l.Of)
	assert.Equal(t, unit.Seconds(5), *l.MaxGap)
	assert.Equal(t, []string{"America/Chicago", "EPSG:4269"}, []string{l.Zone, l.CRS})
	assert.Equal(t, "odd", a.Logs[1].Machine)
}

func TestWhatAShortJobLeavesOutHasDefaults(t *testing.T) {
	j := decode(t, "field: {boundary: north forty.geojson}\nmachines: {m: {width: 6 m}}\napplications: [{name: a, source: urea}]\n")
	assert.Equal(t, unit.US, j.Units)
	assert.Equal(t, "north forty", j.Field.Name)
	assert.Nil(t, j.Zones)
	assert.Equal(t, ReconcileSpec{Tolerance: 0.10, MinPatch: unit.Acres(0.01)}, j.Comparison)
	a := j.Applications[0]
	assert.Equal(t, "m", a.Machine, "the only machine")
	assert.Equal(t, MapSpec{Of: unit.Product, ZeroOffLimits: true}, a.Map)
	assert.Zero(t, j.Machines[0].SectionCount)
	assert.Nil(t, a.Shallow)
}

// Each case changes one thing of the full job; want is in the message together
// with file and line.
func TestAFaultNamesFileLineAndRemedy(t *testing.T) {
	cases := []struct{ old, with, line, want string }{
		{"tolerance: 12 %", "tollerance: 12 %", "58", `unknown key "tollerance" in reconcile; did you mean "tolerance"?`},
		{"texture: TEXTURE", "txture: TEXTURE", "13", `unknown key "txture" in zones: columns; did you mean "texture"?`},
		{"units: si", "unit: si", "1", `unknown key "unit" in the job; did you mean "units"?`},
		{"distance: 50 ft", "distnace: 50 ft", "8", `did you mean "distance"?`},
		{"behind: 8 ft", "behnid: 8 ft", "26", `unknown key "behnid" in machine bar-60: bar; did you mean "behind"?`},
		{"accept: {missed:", "accept: {mised:", "60", `did you mean "missed"?`},
		{"columns: {time: time,", "columns: {tiem: time,", "44", `did you mean "time"?`},
		{"units: {speed: m/s,", "units: {sped: m/s,", "45", `did you mean "speed"?`},
		{"width: 60 ft", "width: 60", "24", `machine bar-60: width:`},
		{"width: 60 ft", "width: 60 lb", "24", `machine bar-60: width:`},
		{"depth: 4 in", "depth: 4 gal", "33", `application sidedress: depth:`},
		{"depth: 4 in", "depth: -4 in", "33", `is below zero`},
		{"tolerance: 12 %", "tolerance: 0.12", "58", `reconcile: tolerance:`},
		{"tolerance: 12 %", "tolerance: 120 %", "58", `lets every rate pass`},
		{"speed: m/s, rate: kg/ha", "speed: kg/ha, rate: kg/ha", "45", `speed:`},
		{"rate: {unit: lb/ac, of: nitrogen}", "rate: {unit: lb/ac}", "37", `has no of; write`},
		{"rate: {unit: lb/ac, of: nitrogen}", "rate: {unit: gal/ac, of: nitrogen}", "37", `nitrogen has no volume`},
		{"rate: {unit: lb/ac, of: nitrogen}", "rate: 150 lb/ac", "37", `is the single value "150 lb/ac" where keys with values belong`},
		{"rate: N_LB_AC, texture", "n_rate: N_LB_AC, texture", "37", `has neither column nor table`},
		{"table: {A: 30,", "table: {A: thirty,", "54", `"thirty" is not a plain number; write it in digits, such as 30 or 0.5`},
		{"table: {A: 30,", "table: {A: -1,", "54", `below zero`},
		{"table: {A: 30,", "table: {A: .nan,", "54", `not a plain number`},
		{"table: {A: 30, \"2\"", "table: {A: 30, A: 31, \"2\"", "54", `gives "A" twice, first in line 54`},
		{"units: si\n", "units: si\nunits: us\n", "2", `the job gives "units" twice, first in line 1`},
		{"units: si", "units: metric", "1", `units:`},
		{"sections: 8", "sections: 8.5", "25", `is not a number from 1 to 512`},
		{"sections: 8", "sections: [20 ft, 20 ft]", "25", `its sections add up to`},
		{"sections: 8", "sections: [20 ft, x]", "25", `section 2:`},
		{"machine: bar-60", "machine: bar-6", "36", `unknown machine "bar-6"`},
		{"date: 2026-06-05", "date: 5 June", "35", `"5 June" is not a date`},
		{"name: sidedress", "name: side/dress", "30", `cannot stand in a file name`},
		{"name: starter", "name: Sidedress", "51", `two applications are named "Sidedress"`},
		{"name: WB1", "name: Walnut Bottom", "40", `will not do for a rate map`},
		{"tank: 1600 gal", "tank: 1600", "39", `neither a volume nor a mass`},
		{"max_gap: 5 s", "max_gap: 0 s", "47", `must be above zero`},
		{"zone: America/Chicago", "zone: Corn Belt", "48", `no known time zone`},
		{"overlap: first", "overlap: frist", "15", `did you mean "first"?`},
		{"by: volume", "by: weight", "20", `unknown word "weight"`},
		{", by: volume", "", "20", `has no by`},
		{"uan-32: 90 %", "uan-32: 80 %", "20", `adds up to 90 %`},
		{"nitrogen: 20 %,", "", "21", `source own has no nitrogen`},
		{"like: uan-32,", "like: uan-32, urea: 16 %,", "19", `gives urea beside like`},
		{"boundary: boundary.geojson", "boundary:", "4", `field: boundary is empty`},
		{"exclude: [waterway.geojson]", "exclude: []", "6", `exclude is an empty list`},
		{"exclude: [waterway.geojson]", "exclude: {a: b}", "6", `is a set of keys where a single value belongs`},
		{"placement: coulter", "placement: [coulter]", "32", `is a list where a single value belongs`},
		{"units: si", "<<: {a: 1}", "1", `not a plain word`},
		{"units: si", "units: {", "", `is not YAML`},
		{"units: si", "units: si: us", "1", `is not YAML: mapping values are not allowed`},
		{"units: si", "@units: si", "1", `is not YAML`},
		{"overlap: first", "overlap: *first", "15", `unknown anchor 'first' referenced; write a value that begins with * in quotes`},
		{"overlap: first", "overlap: \x01", "15", `control characters are not allowed; take the character out`},
		{"overlap: first", "overlap: f\xfcrst", "15", `UTF-8 octet; save it as UTF-8`},
		{"  boundary: boundary.geojson", "\tboundary: boundary.geojson", "3", `indent with spaces: line 4 begins with a tab`},
		{"boundary: boundary.geojson", `boundary: "C:\Users\ag\boundary.geojson"`, "4", `in double quotes a backslash begins an escape; write such a path in single quotes, or with / in place of \`},
		{"boundary: boundary.geojson", `boundary: "C:\fields\boundary.geojson"`, "4", `write such a path in single quotes`},
		{"accept: {missed: 2 %, short: 3 %}", "---\nfield: 1", "60", `second YAML document`},
	}
	for _, c := range cases {
		require.Contains(t, full, c.old)
		_, err := Decode("job.yaml", []byte(strings.Replace(full, c.old, c.with, 1)))
		require.Error(t, err, c.with)
		assert.ErrorContains(t, err, c.want)
		assert.ErrorContains(t, err, "job.yaml: line "+c.line, c.with)
		var input *vector.InputError
		assert.True(t, errors.As(err, &input), c.with)
	}
}

// A key that is known elsewhere in the job is told where; a slip of one letter is a slip.
func TestAKeyInTheWrongPlaceIsToldItsPlace(t *testing.T) {
	for with, want := range map[string]string{
		"tolerance: 12 %\n  accept: {missed: 2 %}": `unknown key "accept" in reconcile; accept belongs at the top of the job; known here: tolerance, min_patch, patches`,
		"tolerance: 12 %\n  tank: 5 gal":           `unknown key "tank" in reconcile; tank is a key of application 1; known here:`,
		"tolerance: 12 %\n  behind: 5 ft":          `unknown key "behind" in reconcile; behind is a key of machine bar-60: bar; known here:`,
		"units: si\nmin_patch: 1 ac":               `unknown key "min_patch" in the job; min_patch is a key of reconcile; known here:`,
		"units: si\nzonse: 1":                      `unknown key "zonse" in the job; did you mean "zones"?`,
	} {
		_, err := Decode("job.yaml", []byte(strings.Replace(full, strings.SplitN(with, "\n", 2)[0], with, 1)))
		assert.ErrorContains(t, err, want)
	}
	text := "units: us\nfield: {boundary: b.geojson}\napplications: [{name: a, source: urea, sources: urea}]\n"
	_, err := Decode("job.yaml", []byte(text))
	assert.ErrorContains(t, err, `did you mean "source"?`)
}

// TestAFileThatIsNoJobIsNotRepeatedWhole: a log given for a job is one value to YAML.
func TestAFileThatIsNoJobIsNotRepeatedWhole(t *testing.T) {
	_, err := Decode("log.csv", []byte("time,lon,lat\n"+strings.Repeat("2026-06-05T13:00:00Z,-93.1,41.8\n", 2000)))
	require.ErrorContains(t, err, `log.csv: line 1: the job is the single value "time,lon,lat 2026-06-05T13:00:00Z`)
	require.ErrorContains(t, err, `…"`)
	require.Less(t, len(err.Error()), 300)
}

func TestAllFaultsAreReportedInTheOrderOfTheFile(t *testing.T) {
	text := strings.NewReplacer("tolerance", "tolerence", "units: si", "units: sl", "width: 60 ft", "width: 60").Replace(full)
	_, err := Decode("job.yaml", []byte(text))
	lines := strings.Split(err.Error(), "\n")
	require.Len(t, lines, 3)
	for i, at := range []string{"line 1:", "line 24:", "line 58:"} {
		assert.Contains(t, lines[i], at)
	}
}

func TestNoField(t *testing.T) {
	for text, want := range map[string]string{
		"":                 "the job file is empty",
		"# nothing\n":      "the job file is empty",
		"units: us\n":      "the job has no field",
		"- a\n- b\n":       "the job is a list",
		"field: {name: x}": "field has no boundary",
	} {
		_, err := Decode("job.yaml", []byte(text))
		assert.ErrorContains(t, err, want, text)
	}
}

func TestLoadNamesWhatItCannotRead(t *testing.T) {
	_, err := Load(filepath.Join(t.TempDir(), "nojob.yaml"))
	assert.ErrorContains(t, err, "nojob.yaml: cannot read the job file: no such file")
	big := filepath.Join(t.TempDir(), "big.yaml")
	require.NoError(t, os.WriteFile(big, []byte(strings.Repeat("# x\n", maxJobBytes/4+1)), 0o666))
	_, err = Load(big)
	assert.ErrorContains(t, err, "larger than 4 MiB")
}

func TestNearest(t *testing.T) {
	known := []string{"tolerance", "min_patch", "max_gap"}
	for word, want := range map[string]string{"tolernace": "tolerance", "Min-Patch": "min_patch", "gap": "max_gap", "maxgap": "max_gap"} {
		assert.Equal(t, want, nearest(word, known), word)
	}
	assert.Equal(t, 1, edits([]rune("ab"), []rune("ba")), "neighbours exchanged")
	assert.Equal(t, 3, edits([]rune("kitten"), []rune("sitting")), "Levenshtein's own example")
}

func FuzzDecode(f *testing.F) {
	f.Add([]byte(full))
	f.Add([]byte("a: &a [*a]\nfield: *a"))
	f.Add([]byte("field: {boundary: &x {a: *x}}"))
	f.Fuzz(func(t *testing.T, data []byte) {
		j, err := Decode("job.yaml", data)
		if err == nil && j.Field.Boundary == "" {
			t.Error("a job without a boundary passed")
		}
		if err != nil && !strings.Contains(err.Error(), "job.yaml") {
			t.Errorf("the error does not name the file: %v", err)
		}
	})
}
