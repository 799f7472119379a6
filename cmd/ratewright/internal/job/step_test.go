package job

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/demo"
	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/geo"
	"ratewright/geo/unit"

	"github.com/paulmach/orb"
)

// made writes the files of the made-up field, its job changed by old-new pairs.
func made(t *testing.T, changes ...string) (dir string, j Job) {
	t.Helper()
	files, err := demo.Files()
	require.NoError(t, err)
	dir = t.TempDir()
	for name, data := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o666))
	}
	for i := 0; i < len(changes); i += 2 {
		require.Contains(t, string(files[demo.JobFile]), changes[i])
	}
	text := strings.NewReplacer(changes...).Replace(string(files[demo.JobFile]))
	require.NoError(t, os.WriteFile(filepath.Join(dir, demo.JobFile), []byte(text), 0o666))
	j, err = Load(filepath.Join(dir, demo.JobFile))
	require.NoError(t, err)
	return dir, j
}

// tree decodes a summary without its types, as a reader of the contract does.
func tree(t *testing.T, data string) map[string]any {
	t.Helper()
	var m map[string]any
	require.NoError(t, json.Unmarshal([]byte(data), &m))
	return m
}

func overwrite(t *testing.T, dir string, set outputs.Set, inputs []string) {
	t.Helper()
	_, err := outputs.Write(dir, set, inputs)
	require.NoError(t, err)
}

// written are the files of a set.
func written(t *testing.T, set outputs.Set) map[string]string {
	t.Helper()
	dir := t.TempDir()
	overwrite(t, dir, set, nil)
	files := map[string]string{}
	for _, name := range set.Names() {
		data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
		require.NoError(t, err)
		files[name] = string(data)
	}
	return files
}

func numbers(t *testing.T, m any) map[string]float64 {
	t.Helper()
	out := map[string]float64{}
	for k, v := range m.(map[string]any) {
		f, ok := v.(float64)
		require.True(t, ok, "%s is %v", k, v)
		out[k] = f
	}
	return out
}

func keysOf(m any) []string { return sortedKeys(m.(map[string]any)) }

func TestReconcileJSONHasTheKeysOfTheContractAndItsSumsHold(t *testing.T) {
	_, j := made(t)
	r, err := j.Reconcile("")
	require.NoError(t, err)
	m := tree(t, written(t, r.Set)["reconcile.json"])
	assert.Equal(t, "reconcile.json", r.Set.Summary.Name)
	assert.Equal(t, "ratewright/reconcile/1", m["schema"])
	assert.Subset(t, keysOf(m), []string{"schema", "plane", "area_m2", "nitrogen_kg", "records", "zones", "files", "notes"})
	assert.Equal(t, []string{"lat0", "lon0"}, keysOf(m["plane"]))
	a, n := numbers(t, m["area_m2"]), numbers(t, m["nitrogen_kg"])
	assert.Equal(t, []string{"as_prescribed", "covered", "depth_unknown", "doubled", "field", "heavy", "lapped", "light", "missed", "not_planned", "off_limits", "once", "outside", "shallow", "unprescribed"}, sortedKeys(a))
	assert.Equal(t, []string{"applied", "excess", "in_field", "off_limits", "outside", "prescribed", "shallow", "short", "short_light", "short_missed", "short_within", "standing"}, sortedKeys(n))

	const eps = 1e-9
	assert.InEpsilon(t, n["short"], n["short_missed"]+n["short_light"]+n["short_within"], eps)
	assert.InEpsilon(t, a["field"], a["covered"]+a["missed"]+a["not_planned"], eps)
	assert.InEpsilon(t, a["covered"], a["once"]+a["doubled"], eps)
	assert.InEpsilon(t, a["covered"], a["as_prescribed"]+a["light"]+a["heavy"]+a["unprescribed"], eps)
	assert.InEpsilon(t, n["applied"], n["in_field"]+n["outside"]+n["off_limits"]+n["standing"], eps)
	assert.InEpsilon(t, n["in_field"], n["prescribed"]+n["excess"]-n["short"], eps)
	sums := map[string]float64{}
	for _, z := range m["zones"].([]any) {
		for k, v := range numbers(t, z.(map[string]any)["area_m2"]) {
			sums[k] += v
		}
	}
	for k, v := range a {
		assert.InDelta(t, v, sums[k], eps*a["field"], "zone rows and %s", k)
	}
	records := m["records"].(map[string]any)
	total := records["used"].(float64) + records["not_working"].(float64)
	for _, v := range numbers(t, records["dropped"]) {
		total += v
	}
	assert.Equal(t, records["read"], total)

	files := m["files"].(map[string]any)
	require.Len(t, files, len(r.Set.Files))
	for name, data := range written(t, r.Set) {
		if name != r.Set.Summary.Name {
			sum := sha256.Sum256([]byte(data))
			assert.Equal(t, hex.EncodeToString(sum[:]), files[name])
		}
	}
}

// The faults of the made-up log are found in their sizes. All figures follow
// from the plan: 60 ft are 18.288 m.
func TestTheKnownFaultsOfTheMadeUpLogAreFound(t *testing.T) {
	_, j := made(t)
	r, err := j.Reconcile("")
	require.NoError(t, err)
	largest := map[asapplied.Kind]asapplied.Patch{}
	byKind := map[asapplied.Kind]float64{}
	for _, p := range r.Reconciliation.Patches {
		byKind[p.Kind] += p.Area.SquareMetres()
		if p.Area > largest[p.Kind].Area {
			largest[p.Kind] = p
		}
	}
	const bar = 18.288
	// The lifted bar: 120 ft, known to one record's 2.5 m.
	assert.InDelta(t, 120*0.3048*bar, largest[asapplied.Missed].Area.SquareMetres(), 2.5*bar+1)
	// The refill: driven from 260 m once more up to 300 m. The ragged ends of the
	// pass at the headlands, one record deep each, hang on it along its edges.
	assert.InDelta(t, 40*bar+2.5*bar, largest[asapplied.Doubled].Area.SquareMetres(), 2.5*bar+1)
	// The shallow stretch: 500 ft.
	assert.InDelta(t, 500*0.3048*bar, r.Reconciliation.Area.Shallow, 2.5*bar+1)
	// The drifted pass of about 697 m: a strip of 2 ft missed and one doubled.
	assert.Greater(t, byKind[asapplied.Missed], 120*0.3048*bar+690*0.6096)
	assert.Greater(t, byKind[asapplied.Doubled], 40*bar+690*0.6096-2.5*bar)
	// Beside the well: a bar's width across a circle of 100 ft, 5.6 m off its
	// middle, is the integral of 2 sqrt(r2 - x2) from -14.8 to 3.5 m.
	circle := chordArea(100*0.3048, -5.64-bar/2, -5.64+bar/2)
	assert.InDelta(t, circle, largest[asapplied.OffLimits].Area.SquareMetres(), 0.02*circle)
	// The stuck pump: 340 m of one pass at 95 lb where 165 and 120 are asked.
	assert.InDelta(t, 340*bar, largest[asapplied.Light].Area.SquareMetres(), 0.05*340*bar)
}

// chordArea is the area of a circle around 0 between two upright lines.
func chordArea(r, from, to float64) float64 {
	at := func(x float64) float64 { return x*math.Sqrt(r*r-x*x) + r*r*math.Asin(x/r) }
	return at(to) - at(from)
}

func TestPrescriptionJSONAndFiles(t *testing.T) {
	_, j := made(t)
	p, err := j.Prescribe("sidedress")
	require.NoError(t, err)
	m := tree(t, written(t, p.Set)["prescription.json"])
	assert.Equal(t, "ratewright/prescription/1", m["schema"])
	assert.Equal(t, "uan-32", m["source"])
	assert.Subset(t, keysOf(m), []string{"schema", "plane", "application", "source", "zones", "area_m2", "nitrogen_kg", "product", "keyed_in", "files", "notes"})
	assert.Equal(t, []string{"field", "off_limits", "unzoned", "zones"}, keysOf(m["area_m2"]))
	zones := m["zones"].([]any)
	require.Len(t, zones, 4)
	first := zones[0].(map[string]any)
	// 150 lb N/ac of 32 % and 11.06 lb/gal: 150 / (0.32 x 11.06) gal/ac.
	assert.InEpsilon(t, 150/(0.32*11.06), first["product_rate"].(map[string]any)["value"], 1e-9)
	assert.Equal(t, "gal/ac", first["product_rate"].(map[string]any)["unit"])
	assert.InEpsilon(t, unit.LbNPerAcre(150).KgNPerHa(), first["n_rate_kg_ha"], 1e-9)
	assert.Equal(t, []string{"prescription.html", "prescription.geojson"}, p.Set.Names()[:2])
	for _, name := range p.Set.Names()[2:8] {
		assert.Regexp(t, `^rate-map/[A-Z0-9]{8}\.(shp|shx|dbf|prj|cpg|zip)$`, name)
	}
	assert.Equal(t, "prescription.json", p.Set.Names()[8])
}

func TestFilesOfSeveralApplicationsKeepApart(t *testing.T) {
	_, j := made(t, "reconcile:\n", "  - {name: late, source: urea, rate: {table: {A: 0, B: 50, C: 50, D: 50}, unit: lb/ac, of: nitrogen}}\nreconcile:\n")
	_, err := j.Prescribe("")
	var choice *ChoiceError
	require.ErrorAs(t, err, &choice)
	late, err := j.Prescribe("late")
	require.NoError(t, err)
	side, err := j.Prescribe("sidedress")
	require.NoError(t, err)
	assert.Equal(t, "prescription-late.json", late.Set.Summary.Name)
	assert.Equal(t, "lb/ac", late.Prescription.Application.Map.Unit.String(), "urea is dry")
	for _, name := range late.Set.Names() {
		assert.NotContains(t, side.Set.Names(), name)
	}
	assert.Zero(t, late.Prescription.Zones[0].NRate, "zero is a rate")
}

func TestReconcileAgainstTheWrittenMapGivesTheSame(t *testing.T) {
	dir, own := made(t)
	p, err := own.Prescribe("")
	require.NoError(t, err)
	overwrite(t, filepath.Join(dir, "out"), p.Set, p.Inputs)
	a, err := own.Reconcile("")
	require.NoError(t, err)
	shp := p.Set.Files[1].Name
	for _, file := range []string{"out/prescription.geojson", "out/" + shp} {
		text, err := os.ReadFile(filepath.Join(dir, demo.JobFile))
		require.NoError(t, err)
		changed := strings.Replace(string(text), "    logs:", fmt.Sprintf("    prescription: {file: %s, column: GAL_AC, unit: gal/ac, of: product}\n    logs:", file), 1)
		j, err := Decode(filepath.Join(dir, demo.JobFile), []byte(changed))
		require.NoError(t, err)
		b, err := j.Reconcile("")
		require.NoError(t, err)
		assert.InEpsilon(t, a.Reconciliation.Area.Missed, b.Reconciliation.Area.Missed, 1e-4, file)
		assert.InEpsilon(t, a.Reconciliation.Nitrogen.Prescribed, b.Reconciliation.Nitrogen.Prescribed, 1e-4, "rates of the map have two decimals: %s", file)
		assert.Contains(t, b.Inputs, filepath.Join(dir, filepath.FromSlash(file)))
		assert.Contains(t, strings.Join(b.Notes, "\n"), "density of UAN 32", "which turned the map's gallons into N")
	}
}

// What a job no longer asks for does not stay beside its new results.
func TestFilesThatAJobNoLongerGivesGo(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	files := func() []string {
		var list []string
		for _, pattern := range []string{"*", "rate-map/*"} {
			found, err := filepath.Glob(filepath.Join(out, pattern))
			require.NoError(t, err)
			for _, f := range found {
				if name := filepath.Base(f); name != "rate-map" {
					list = append(list, name)
				}
			}
		}
		return list
	}
	run := func(changes ...string) {
		_, j := made(t, changes...)
		p, err := j.Prescribe("")
		require.NoError(t, err)
		overwrite(t, out, p.Set, p.Inputs)
		r, err := j.Reconcile("")
		require.NoError(t, err)
		overwrite(t, out, r.Set, r.Inputs)
	}
	run("map: {", "map: {name: ONE, ")
	assert.Contains(t, files(), "ONE.shp")
	assert.Contains(t, files(), "patches.dbf")
	require.NoError(t, os.WriteFile(filepath.Join(out, "rate-map", "ONE.dbf"), []byte("edited"), 0o666))
	run("map: {", "map: {name: TWO, ", "reconcile:", "reconcile:\n  patches: none")
	assert.Equal(t, []string{
		"prescription.geojson", "prescription.html", "prescription.json", "reconcile.json",
		"ONE.dbf", "TWO.cpg", "TWO.dbf", "TWO.prj", "TWO.shp", "TWO.shx", "TWO.zip",
	}, files(), "what was changed since stays")
}

// A job of a field and a log alone: all ground counts as planned, and what needs
// a rate or a depth is null.
func TestReconcileWithoutZonesRateOrDepth(t *testing.T) {
	_, j := made(t,
		"zones:\n  file: zones.shp\n  id: ZONE\n  columns: {rate: N_LB_AC, texture: TEXTURE, residue_cover: RES_PCT}\n", "",
		"    rate: {column: N_LB_AC, unit: lb/ac, of: nitrogen}\n", "",
		"rate: rate_kg_ha, target: target_kg_ha, depth: depth_m", "rate: none, target: none, depth: none",
		"    shallow: 3 in\n", "    # no limit\n")
	r, err := j.Reconcile("")
	require.NoError(t, err)
	m := tree(t, written(t, r.Set)["reconcile.json"])
	area, mass := m["area_m2"].(map[string]any), m["nitrogen_kg"].(map[string]any)
	for _, key := range []string{"as_prescribed", "light", "heavy", "unprescribed", "shallow"} {
		assert.Contains(t, area, key)
		assert.Nil(t, area[key], key)
	}
	for key, v := range mass {
		assert.Nil(t, v, key)
	}
	assert.Greater(t, area["missed"], 1000.0)
	assert.Zero(t, area["not_planned"])
}

func TestAcceptJudgesSharesAndSaysWhatItCannotTell(t *testing.T) {
	_, j := made(t, "reconcile:\n", "accept: {missed: 0.1 %, doubled: 90 %, short: 0.5 %, shallow: 0 %}\nreconcile:\n")
	r, err := j.Reconcile("")
	require.NoError(t, err)
	require.Len(t, r.Beyond, 3)
	for i, want := range []string{"missed is ", "short is ", "shallow is "} {
		assert.Contains(t, r.Beyond[i], want)
	}
	_, j = made(t, "    shallow: 3 in\n", "", "reconcile:\n", "accept: {shallow: 0 %}\nreconcile:\n")
	r, err = j.Reconcile("")
	require.NoError(t, err)
	assert.Empty(t, r.Beyond)
	assert.Contains(t, strings.Join(r.Notes, "\n"), "accept: shallow cannot be judged")
}

func TestInputsIncludeEverySiblingAndTheJob(t *testing.T) {
	dir, j := made(t)
	r, err := j.Reconcile("")
	require.NoError(t, err)
	for _, name := range []string{"job.yaml", "boundary.geojson", "waterway.geojson", "well.geojson", "zones.shp", "zones.dbf", "zones.shx", "zones.prj", "zones.cpg", "log.csv"} {
		assert.Contains(t, r.Inputs, filepath.Join(dir, name))
	}
}

// No step writes over a file that the job names, though the step itself does not
// read it.
func TestNoStepOverwritesWhatTheJobNames(t *testing.T) {
	dir, j := made(t, "    logs:", "    prescription: {file: out/rate-map/THEIRS.shp, column: GAL_AC, unit: gal/ac, of: product}\n    logs:", "map: {", "map: {name: THEIRS, ",
		"reconcile:\n", "  - {name: late, source: urea, rate: {table: {A: 0, B: 50, C: 50, D: 50}, unit: lb/ac, of: nitrogen}, logs: [{files: [out/patches-sidedress.geojson]}]}\nreconcile:\n")
	out := filepath.Join(dir, "out")
	require.NoError(t, os.MkdirAll(filepath.Join(out, "rate-map"), 0o777))
	for _, name := range []string{"THEIRS.shp", "THEIRS.DBF"} {
		require.NoError(t, os.WriteFile(filepath.Join(out, "rate-map", name), []byte("theirs"), 0o666))
	}
	p, err := j.Prescribe("sidedress")
	require.NoError(t, err)
	for _, name := range []string{"out/rate-map/THEIRS.shp", "out/rate-map/THEIRS.DBF", "out/patches-sidedress.geojson", "log.csv"} {
		assert.Contains(t, p.Inputs, filepath.Join(dir, filepath.FromSlash(name)))
	}
	_, err = outputs.Write(out, p.Set, p.Inputs)
	assert.ErrorContains(t, err, "would overwrite an input of the job")
	data, err := os.ReadFile(filepath.Join(out, "rate-map", "THEIRS.shp"))
	require.NoError(t, err)
	assert.Equal(t, "theirs", string(data))
}

func TestFaultsOfInputsNameTheFileAndARemedy(t *testing.T) {
	for _, c := range []struct {
		old, with, want string
	}{
		{"boundary: boundary.geojson", "boundary: boundary.geojson\n  where: {FIELD: x}", `boundary.geojson: ` + "`where:`" + ` asks for column "FIELD", which no feature has; its columns are name`},
		{"boundary: boundary.geojson", "boundary: boundary.geojson\n  where: {name: x}", `no feature has name = "x"; its values are boundary`},
		{"id: ZONE", "id: ZONES", `zones.shp: has no column "ZONES", which the job names under zones; did you mean "ZONE"?`},
		{"exclude: [waterway.geojson]", "exclude: [well.geojson]", `well.geojson: record 1: is not an area`},
		{"source: uan-32", "source: uan32", `job.yaml: line 22: unknown source "uan32"; did you mean "uan-32"?`},
		{"files: [log.csv]", "files: [lost.csv]", `lost.csv`},
		{"sections: 8", "sections: 9", `machine bar-60 has 9 sections but the log has 8`},
		{"lon: lon", "lon: longitude", `longitude`},
	} {
		_, j := made(t, c.old, c.with)
		_, err := j.Reconcile("")
		assert.ErrorContains(t, err, c.want, c.with)
	}
}

// A field that is hardly one, by its size, is asked about and nothing more.
func TestTheSizeOfAFieldIsAskedAbout(t *testing.T) {
	for side, want := range map[float64]string{
		2.14:   "boundary.geojson: the field has 49 sq ft, and hardly any is as small",
		25:     "",
		5000:   "",
		7000:   "boundary.geojson: the field has 12",
		100000: "boundary.geojson: the field has 24",
	} {
		dir, j := made(t, "\n  exclude: [waterway.geojson]\n  setbacks:\n    - {around: well.geojson, distance: 100 ft}", "")
		x, y := side/111320/math.Cos(41.8*math.Pi/180), side/111320
		text := fmt.Sprintf(`{"type":"Polygon","coordinates":[[[-93,41.8],[%[1]v,41.8],[%[1]v,%[2]v],[-93,%[2]v],[-93,41.8]]]}`, -93+x, 41.8+y)
		require.NoError(t, os.WriteFile(filepath.Join(dir, "boundary.geojson"), []byte(text), 0o666))
		j.Zones = nil
		ground, err := j.Open()
		require.NoError(t, err)
		notes := strings.Join(ground.Notes, "\n")
		if want == "" {
			require.NotContains(t, notes, "hardly any", side)
			continue
		}
		require.Contains(t, notes, want, side)
	}
}

func TestWhereChoosesOneFieldOfMany(t *testing.T) {
	square := func(lon float64) string {
		return fmt.Sprintf(`[[[%g,42],[%g,42],[%g,42.01],[%g,42.01],[%g,42]]]`, lon, lon+0.01, lon+0.01, lon, lon)
	}
	text := `{"type":"FeatureCollection","features":[`
	for i, lon := range []float64{-93, -92.9} {
		if i > 0 {
			text += ","
		}
		text += fmt.Sprintf(`{"type":"Feature","properties":{"FIELD":%d},"geometry":{"type":"Polygon","coordinates":%s}}`, i+1, square(lon))
	}
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "b.geojson"), []byte(text+"]}"), 0o666))
	open := func(where string) Ground {
		j, err := Decode(filepath.Join(dir, "job.yaml"), []byte("field: {boundary: b.geojson"+where+"}\n"))
		require.NoError(t, err)
		g, err := j.Open()
		require.NoError(t, err)
		return g
	}
	one, both := open(", where: {FIELD: 2}"), open("")
	assert.InDelta(t, 2*one.Field.Boundary.Area().SquareMetres(), both.Field.Boundary.Area().SquareMetres(), 10)
	assert.True(t, one.Field.Boundary.Contains(one.Field.Plane.Project(geo.LonLat(orb.Point{-92.895, 42.005}))))
	assert.Contains(t, strings.Join(both.Notes, "\n"), "all 2 features are taken as parts of the field")
}

func TestWhereComparesNumbersByValueAndLongIDsAsText(t *testing.T) {
	dir := t.TempDir()
	count := func(value, where string) int {
		text := `{"type":"Feature","properties":{"F":` + value + `},"geometry":{"type":"Polygon","coordinates":[[[-93,42],[-92.99,42],[-92.99,42.01],[-93,42]]]}}`
		require.NoError(t, os.WriteFile(filepath.Join(dir, "b.geojson"), []byte(text), 0o666))
		j, err := Decode(filepath.Join(dir, "job.yaml"), []byte("field: {boundary: b.geojson, where: {F: "+where+"}}\n"))
		require.NoError(t, err)
		g, err := j.Open()
		if err != nil {
			require.ErrorContains(t, err, "no feature has F")
			return 0
		}
		return len(g.Field.Boundary.Polygons())
	}
	for _, c := range []struct {
		value, where string
		want         int
	}{
		{"7.000000000000000", "7", 1},
		{"7.0", "7", 1},
		{"7", "7.0", 1},
		{"7.5", "7", 0},
		{`"7.00"`, "7", 1},
		{`"7a"`, "7", 0},
		{"12345678901234567890", "12345678901234567890", 1},
		{"12345678901234567890", "12345678901234567891", 0},
		{`"North"`, "North", 1},
	} {
		require.Equal(t, c.want, count(c.value, c.where), "%s and %s", c.value, c.where)
	}
}

// Degrees declared as metres lie within a metre of 0, 0: the boundary is at fault
// and not the zones, which are where they should be.
func TestABoundaryOfDegreesDeclaredAsMetresIsBlamed(t *testing.T) {
	dir, j := made(t)
	path := filepath.Join(dir, "boundary.geojson")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	declared := func(name string) []byte {
		return []byte(strings.Replace(string(text), `"features"`, `"crs":{"type":"name","properties":{"name":"`+name+`"}},"features"`, 1))
	}
	require.NoError(t, os.WriteFile(path, declared("urn:ogc:def:crs:EPSG::3857"), 0o666))
	_, err = j.Open()
	require.ErrorContains(t, err, "boundary.geojson: the boundary of Heron Bend: is less than 2 m across, near longitude -0.000")
	require.ErrorContains(t, err, "if they are degrees, correct the coordinate system that the file declares")
	require.NotContains(t, err.Error(), "zones")
	require.NoError(t, os.WriteFile(path, declared("urn:ogc:def:crs:EPSG::4326"), 0o666))
	_, err = j.Open()
	require.NoError(t, err)
}

func TestSourcesOfTheJob(t *testing.T) {
	j := decode(t, full)
	cold, err := j.source(j.Applications[0])
	require.NoError(t, err)
	assert.InDelta(t, 11.1, cold.Density.LbPerGallon(), 1e-9)
	assert.InDelta(t, 32, cold.PercentN, 1e-9)
	mix, err := j.source(j.Applications[1])
	require.NoError(t, err)
	// By volume: 0.9 x 11.06 lb/gal of 32 % and 0.1 x 11.04 of 12 %.
	assert.InDelta(t, (0.9*11.06*32+0.1*11.04*12)/(0.9*11.06+0.1*11.04), mix.PercentN, 1e-6)
	own, err := j.source(ApplicationSpec{Source: "own"})
	require.NoError(t, err)
	assert.Equal(t, "Own make", own.Label)
	assert.InDelta(t, 10, own.UreaN, 1e-9)
	_, err = j.source(ApplicationSpec{Source: "uan32"})
	assert.ErrorContains(t, err, `did you mean "uan-32"?`)
	j.Sources[0].Like = "mix" // defined below
	_, err = j.source(j.Applications[0])
	assert.ErrorContains(t, err, `it is like "mix", which is not known above it`)
}

func TestNamesThatWouldMoveATerminalAreRefused(t *testing.T) {
	for _, name := range []string{`"x\e[31mRED"`, `"two\nlines"`, `"right\u202Eleft"`} {
		dir := t.TempDir()
		path := filepath.Join(dir, "job.yaml")
		require.NoError(t, os.WriteFile(path, []byte("field: {name: "+name+", boundary: b.geojson}\n"), 0o666))
		_, err := Load(path)
		require.ErrorContains(t, err, "line 1: field: name holds a character that cannot be printed", name)
	}
}
