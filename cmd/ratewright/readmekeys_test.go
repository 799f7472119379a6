package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/job"
	"ratewright/geo/unit"
	"ratewright/rx/nitrogen"
)

// part returns what stands between a heading and the next of its rank or above.
func part(t *testing.T, text, heading string) string {
	t.Helper()
	_, after, ok := strings.Cut(text, "\n"+heading+"\n")
	require.True(t, ok, "README has no heading %q", heading)
	rank := len(strings.Fields(heading)[0])
	after = fence.ReplaceAllString(after, "")
	if at := regexp.MustCompile(fmt.Sprintf(`(?m)^#{1,%d} `, rank)).FindStringIndex(after); at != nil {
		after = after[:at[0]]
	}
	return after
}

var inBackquotes = regexp.MustCompile("`([^`]+)`")

// quoted lists what a text has in backquotes.
func quoted(text string) []string {
	var list []string
	for _, m := range inBackquotes.FindAllStringSubmatch(text, -1) {
		list = append(list, m[1])
	}
	return list
}

// rows are the rows of all tables of a text whose first column has a head.
func rows(text, head string) [][]string {
	var list [][]string
	at := ""
	for line := range strings.Lines(text) {
		cells := strings.Split(strings.TrimSpace(line), "|")
		switch {
		case len(cells) < 3 || cells[0] != "":
			at = ""
		case at == "":
			at = strings.TrimSpace(cells[1])
		case at == head && !strings.HasPrefix(cells[1], "---"):
			list = append(list, cells[1:])
		}
	}
	return list
}

// firstCells lists what the first cells of these rows have in backquotes.
func firstCells(text, head string) []string {
	var list []string
	for _, row := range rows(text, head) {
		list = append(list, quoted(row[0])...)
	}
	return list
}

// sameWords demands that README has the words of the program, each once.
func sameWords(t *testing.T, what string, documented, program []string) {
	t.Helper()
	require.NotEmpty(t, program, what)
	documented, program = slices.Sorted(slices.Values(documented)), slices.Sorted(slices.Values(program))
	require.Equal(t, program, documented, "%s: those of the program, and those in README", what)
}

func TestREADMEHasTheExitCodes(t *testing.T) {
	tree, err := parser.ParseFile(token.NewFileSet(), "exit.go", nil, 0)
	require.NoError(t, err)
	var codes []string
	ast.Inspect(tree, func(n ast.Node) bool {
		if spec, ok := n.(*ast.ValueSpec); ok && len(spec.Values) == 1 {
			if lit, ok := spec.Values[0].(*ast.BasicLit); ok && lit.Kind == token.INT {
				codes = append(codes, lit.Value)
			}
		}
		return true
	})
	var inHelp, inREADME, numbers []string
	for line := range strings.Lines(exitTable) {
		if code, meaning, ok := strings.Cut(strings.TrimSpace(line), " "); ok && code != "Exit" {
			inHelp = append(inHelp, code+" "+strings.TrimSpace(meaning))
		}
	}
	for _, row := range rows(part(t, readme(t), "## Exit codes"), "code") {
		numbers = append(numbers, strings.TrimSpace(row[0]))
		inREADME = append(inREADME, strings.TrimSpace(row[0])+" "+strings.TrimSpace(row[1]))
	}
	sameWords(t, "exit codes", numbers, codes)
	require.Equal(t, inHelp, inREADME, "the help's table and README's")
}

// asks is a job with an unknown key in every place that has known ones.
const asks = `
zzz: 1
field: {boundary: b.geojson, zzz: 1, setbacks: [{around: w.geojson, distance: 1 ft, zzz: 1}]}
zones: {file: z.shp, id: Z, zzz: 1, columns: {zzz: a}, soil: {zzz: 1}, samples: [{zzz: 1, columns: {zzz: a}}], images: [{zzz: 1, calibration: {zzz: 1, columns: {zzz: a}}}], layers: [{zzz: 1}], cluster: {zzz: 1}}
sources: {s: {zzz: 1, nitrogen: 28 %}}
machines: {m: {zzz: 1, bar: {zzz: 1}}}
prices: {zzz: 1, inhibitors: {zzz: 1}}
plan: {zzz: 1, practice: {zzz: 1}}
strategies: [{zzz: 1, applications: [{zzz: 1, incorporate: {zzz: 1}}]}]
work: {w: {zzz: 1}}
weather: {zzz: 1, columns: {zzz: a}, units: {zzz: F}}
crop: {zzz: 1}
target: {zzz: 1}
applications:
  - name: a
    zzz: 1
    rate: {zzz: 1}
    limits: {zzz: 1}
    starter: {zzz: 1}
    incorporate: {zzz: 1}
    map: {zzz: 1}
    prescription: {zzz: 1}
    logs: [{zzz: 1, files: [l.csv], columns: {zzz: c}, units: {zzz: m}}]
loss: {zzz: 1}
reconcile: {zzz: 1}
accept: {zzz: 1 %}
`

// asksMethods is one with an unknown key in every place of the methods that work rates
// out.
const asksMethods = `
field: {boundary: b.geojson}
target: {table: {A: 1}, unit: lb/ac, of: nitrogen}
prices: {nitrogen: 0.5 $/lb, corn: 4 $/bu}
applications:
  - name: r
    rate:
      method: response
      zzz: 1
      model: best
      trial: {zzz: 1, file: f.csv, columns: {zzz: a}, units: {zzz: b}}
      practice: {zzz: 1}
      curve: {zzz: 1, units: {zzz: 1}}
  - name: m
    rate: {method: mean-return, zzz: 1, practice: {zzz: 1}, trials: {zzz: 1, file: f.csv, columns: {zzz: a}, units: {zzz: b}}}
  - name: g
    rate:
      method: yield-goal
      zzz: 1
      form: stanford
      yield: {zzz: 1, column: a, unit: bu/ac}
      coefficients: {zzz: 1}
      credits:
        zzz: 1
        soybean: {zzz: 1}
        alfalfa: {zzz: 1}
        manure: {zzz: 1}
        water: {zzz: 1}
        soil_nitrate: {zzz: 1, layers: [{zzz: 1}]}
  - name: p
    rate: {target: rest, zzz: 1}
  - name: o
    rate: {method: organic-matter, zzz: 1, soil: {zzz: 1}}
  - name: t
    rate: {method: nitrate-test, zzz: 1, form: iowa}
`

// methodPlaces says the same of asksMethods.
var methodPlaces = map[string]string{
	"application r: rate": "response.", "application r: rate: trial": "response.trial.",
	"application r: rate: trial: columns": "response.trial.columns.", "application r: rate: trial: units": "response.trial.units.",
	"application r: rate: practice": "response.practice.", "application r: rate: curve": "response.curve.",
	"application r: rate: curve: units": "response.curve.units.",
	"application m: rate":               "mean-return.", "application m: rate: practice": "mean-return.practice.", "application m: rate: trial": "mean-return.trials.",
	"application m: rate: trial: columns": "mean-return.trials.columns.", "application m: rate: trial: units": "mean-return.trials.units.",
	"application g: rate": "yield-goal.", "application g: rate: yield": "VALUE.", "application g: rate: credits": "credits.", "application g: rate: coefficients": "coefficients.",
	"application g: rate: credits: soybean": "credits.soybean.", "application g: rate: credits: alfalfa": "credits.alfalfa.",
	"application g: rate: credits: manure": "credits.manure.", "application g: rate: credits: water": "credits.water.",
	"application g: rate: credits: soil_nitrate":          "credits.soil_nitrate.",
	"application g: rate: credits: soil_nitrate: layer 1": "credits.soil_nitrate.layers[].",
	"application p: rate":                                 "",
	"application o: rate":                                 "organic-matter.", "application o: rate: soil": "organic-matter.soil.", "application t: rate": "nitrate-test.",
}

// readTwice are the columns, units and file of two trials, their practice, target, which is a
// rate, the columns of samples, which counts of residue have, too, and an application of a
// strategy, which the practice of a plan is as well, and how one is worked in, which those of the
// job are, too.
const readTwice = 8

// places says where in README's paths each of these places is, by the name that
// the decoder's errors give it.
var places = map[string]string{
	"the job": "", "field": "field.", "setback 1": "field.setbacks[].", "zones": "zones.", "zones: columns": "zones.columns.", "zones: soil": "zones.soil.", "zones: cluster": "zones.cluster.", "zones: layer 1": "zones.layers[].", "zones: samples 1": "zones.samples[].", "zones: samples 1: columns": "zones.samples[].columns.",
	"zones: image 1": "zones.images[].", "zones: image 1: calibration": "zones.images[].calibration.", "zones: image 1: calibration: columns": "zones.images[].calibration.columns.",
	"source s": "sources.NAME.", "machine m": "machines.NAME.", "machine m: bar": "machines.NAME.bar.",
	"application 1": "applications[].", "application a: rate": "applications[].rate.",
	"application a: starter": "applications[].starter.", "application a: incorporate": "applications[].incorporate.", "loss": "loss.", "target": "target.",
	"application a: limits": "applications[].limits.", "application a: map": "applications[].map.",
	"application a: prescription": "applications[].prescription.", "application a: log 1": "applications[].logs[].",
	"application a: log 1: columns": "applications[].logs[].columns.", "application a: log 1: units": "applications[].logs[].units.",
	"plan": "plan.", "plan: practice": "plan.practice.", "strategy 1": "strategies[].", "strategy 1: application 1": "strategies[].applications[].",
	"strategy 1: application 1: incorporate": "strategies[].applications[].incorporate.", "work w": "work.NAME.", "prices: inhibitors": "prices.inhibitors.",
	"prices": "prices.", "crop": "crop.", "weather": "weather.", "weather: columns": "weather.columns.", "weather: units": "weather.units.",
	"reconcile": "reconcile.", "accept": "accept.",
}

// decoderKeys are the keys that the decoder knows, by place, as its errors about a job
// tell.
func decoderKeys(t *testing.T, asks string, places map[string]string) map[string][]string {
	t.Helper()
	_, err := job.Decode("job.yaml", []byte(asks))
	var faults job.Faults
	require.ErrorAs(t, err, &faults)
	keys := map[string][]string{}
	for _, f := range faults {
		where, ok := strings.CutPrefix(f.What, `unknown key "zzz" in `)
		_, known, has := strings.Cut(f.Fix, "known here: ")
		if !ok {
			continue
		}
		require.True(t, has, f.Fix)
		prefix, ok := places[where]
		require.True(t, ok, "the decoder has a place that this test does not know: %s", where)
		keys[prefix] = strings.Split(known, ", ")
	}
	require.Len(t, keys, len(places))
	return keys
}

// mappingCalls counts the places of the decoder that have known keys.
func mappingCalls(t *testing.T) int {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("internal", "job", "decode*.go"))
	require.NoError(t, err)
	n := 0
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		tree, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		require.NoError(t, err)
		ast.Inspect(tree, func(node ast.Node) bool {
			if call, ok := node.(*ast.CallExpr); ok {
				if sel, ok := call.Fun.(*ast.SelectorExpr); ok && sel.Sel.Name == "mapping" {
					n++
				}
			}
			return true
		})
	}
	return n
}

// free are the places below which the user chooses the keys.
var free = []string{
	"field.where.COLUMN", "sources.NAME.blend.SOURCE", "applications[].rate.table.ZONE", "target.table.ZONE",
	"prices.sources.SOURCE", "supply.SOURCE", "plan.coefficients.NAME",
	"applications[].logs[].columns.ROLE", "applications[].logs[].units.ROLE",
}

func TestREADMEHasEveryJobKeyAndNoOther(t *testing.T) {
	text := part(t, readme(t), "## The job file")
	documented := firstCells(text, "key")
	known := decoderKeys(t, asks, places)
	require.Equal(t, len(places)+len(methodPlaces)-readTwice, mappingCalls(t), "the decoder has more places with known keys than this test asks")
	var all []string
	for prefix, keys := range known {
		if strings.HasSuffix(prefix, "logs[].columns.") || strings.HasSuffix(prefix, "logs[].units.") {
			sameWords(t, "roles below "+prefix, firstCells(text, "role"), keys)
			continue
		}
		for _, key := range keys {
			path := prefix + key
			all = append(all, path)
			require.True(t, slices.ContainsFunc(documented, func(d string) bool {
				return d == path || strings.HasPrefix(d, path+".") || strings.HasPrefix(d, path+"[].")
			}), "README lacks the job key %s", path)
		}
	}
	seen := map[string]bool{}
	for _, d := range documented {
		require.False(t, seen[d], "README has the job key %s twice", d)
		seen[d] = true
		if slices.Contains(free, d) {
			d = d[:strings.LastIndex(d, ".")]
		}
		require.Contains(t, all, d, "README has a job key that the decoder does not know")
	}
}

// TestREADMEHasEveryKeyOfTheMethodsAndNoOther does the same for rates that are worked
// out.
func TestREADMEHasEveryKeyOfTheMethodsAndNoOther(t *testing.T) {
	documented := firstCells(part(t, readme(t), "### Rates that are worked out"), "rate key")
	known := decoderKeys(t, asksMethods, methodPlaces)
	var all []string
	sameWords(t, "coefficients", firstCells(part(t, readme(t), "### Rates that are worked out"), "coefficient"), known["coefficients."])
	delete(known, "coefficients.")
	for prefix, keys := range known {
		for _, key := range keys {
			path := prefix + key
			under := func(d string) bool { return strings.HasPrefix(d, path+".") || strings.HasPrefix(d, path+"[].") }
			if slices.ContainsFunc(slices.Collect(maps.Values(methodPlaces)), func(p string) bool { return p == path+"." || p == path+"[]." }) || slices.ContainsFunc(documented, under) {
				continue // its own keys are documented
			}
			if key == "method" || key == "credits" || key == "coefficients" {
				continue // said once for all
			}
			all = append(all, path)
		}
	}
	all = append(all, "credits.other.NAME", "response.curves.ZONE", "method")
	sameWords(t, "keys of methods", documented, all)
}

// TestREADMEHasTheWordsOfTheJob compares words that a job may use as values.
func TestREADMEHasTheWordsOfTheJob(t *testing.T) {
	text := readme(t)
	keys := part(t, text, "## The job file")
	known := regexp.MustCompile(`Known without being described: ([^.]*)\.`).FindStringSubmatch(keys)
	require.NotNil(t, known)
	sameWords(t, "sources", quoted(known[1]), nitrogen.Names())
	_, err := job.Decode("job.yaml", []byte(`
field: {boundary: b.geojson}
zones: {file: z.shp, id: Z, overlap: zzz, gaps: zzz}
sources: {s: {blend: {urea: 100 %}, by: zzz}}
applications: [{name: a, map: {off_limits: zzz}}]
`))
	var faults job.Faults
	require.ErrorAs(t, err, &faults)
	require.Len(t, faults, 4)
	for _, f := range faults {
		where := f.What[strings.LastIndex(f.What, ": ")+2:]
		_, words, ok := strings.Cut(f.Fix, "known here: ")
		require.True(t, ok, f.Fix)
		row := ""
		for _, r := range rows(keys, "key") {
			if strings.HasSuffix(quoted(r[0])[0], "."+where) {
				row = strings.Join(r[1:], "")
			}
		}
		for _, word := range strings.Split(words, ", ") {
			require.Contains(t, quoted(row), word, "the words of %s", where)
		}
	}
	j, err := job.Decode("job.yaml", []byte("field: {boundary: b.geojson}"))
	require.NoError(t, err)
	require.Contains(t, keys, fmt.Sprintf("(default `%g %%`", 100*j.Comparison.Tolerance))
	require.Contains(t, keys, fmt.Sprintf("(default `%g ac`)", float64(j.Comparison.MinPatch/unit.Acres(1))))
}

func TestREADMEHasEveryCommand(t *testing.T) {
	var names, documented []string
	for _, c := range commands() {
		if c.name != versionCommand.name {
			names = append(names, c.name)
		}
	}
	for _, cell := range firstCells(part(t, readme(t), "## Outputs"), "command") {
		documented = append(documented, strings.Fields(cell)[0])
	}
	sameWords(t, "commands", documented, names)
}

func TestREADMEHasEveryReasonAndKind(t *testing.T) {
	text := readme(t)
	var reasons, kinds []string
	files, err := filepath.Glob(filepath.Join("..", "..", "asapplied", "*.go"))
	require.NoError(t, err)
	for _, file := range files {
		tree, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		require.NoError(t, err)
		ast.Inspect(tree, func(n ast.Node) bool {
			spec, ok := n.(*ast.ValueSpec)
			if ok && strings.HasPrefix(spec.Names[0].Name, "Drop") && len(spec.Values) == 1 {
				word, err := strconv.Unquote(spec.Values[0].(*ast.BasicLit).Value)
				require.NoError(t, err)
				reasons = append(reasons, word)
			}
			return true
		})
	}
	sameWords(t, "reasons for dropping a record", firstCells(part(t, text, "### reconcile.json"), "reason"), reasons)
	for _, k := range asapplied.Kinds() {
		kinds = append(kinds, k.String())
	}
	listed := regexp.MustCompile(`of each kind: ([^.]*)\.`).FindStringSubmatch(part(t, text, "### Patches"))
	require.NotNil(t, listed)
	sameWords(t, "kinds of patches", quoted(listed[1]), kinds)
}

// TestDEVELOPERSHasTheImportTable compares the tables of floors and doors with
// those that imports_test.go holds the code to.
func TestDEVELOPERSHasTheImportTable(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(projectRoot(t), "DEVELOPERS.md"))
	require.NoError(t, err)
	text := part(t, strings.ReplaceAll(string(data), "\r\n", "\n"), "## Floors")
	documented := map[string]int{}
	for _, row := range rows(text, "floor") {
		floor, err := strconv.Atoi(strings.TrimSpace(row[0]))
		require.NoError(t, err)
		documented[quoted(row[1])[0]] = floor
	}
	require.Equal(t, floors, documented)
	sameWords(t, "modules", firstCells(text, "module"), slices.Collect(maps.Keys(doors)))
	for _, row := range rows(text, "module") {
		module := quoted(row[0])[0]
		if named := quoted(row[1]); module != "github.com/paulmach/orb" {
			sameWordsOrNone(t, module, named, doors[module])
		}
	}
}

func sameWordsOrNone(t *testing.T, what string, documented, program []string) {
	t.Helper()
	if len(documented)+len(program) > 0 {
		sameWords(t, what, documented, program)
	}
}

// TestDEVELOPERSNamesFilesAndFuzzTargetsThatAreThere keeps the paper from naming
// what has gone, and fuzz targets from going unnamed.
func TestDEVELOPERSNamesFilesAndFuzzTargetsThatAreThere(t *testing.T) {
	root := projectRoot(t)
	data, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	require.NoError(t, err)
	var files, targets []string
	for _, s := range sources(t) {
		files = append(files, s.file)
		for _, d := range s.tree.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && strings.HasPrefix(f.Name.Name, "Fuzz") {
				targets = append(targets, f.Name.Name)
			}
		}
	}
	for _, name := range quoted(string(data)) {
		if !strings.HasSuffix(name, ".go") || strings.Contains(name, "*") {
			continue
		}
		require.True(t, slices.ContainsFunc(files, func(f string) bool { return f == name || strings.HasSuffix(f, "/"+name) }),
			"DEVELOPERS.md names %s, which is not there", name)
	}
	listed := regexp.MustCompile(`Fuzz targets: ([^\n]*)`).FindStringSubmatch(string(data))
	require.NotNil(t, listed)
	sameWords(t, "fuzz targets", regexp.MustCompile(`\bFuzz\w+`).FindAllString(listed[1], -1), targets)
}
