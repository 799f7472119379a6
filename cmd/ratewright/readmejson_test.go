package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/asapplied"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
)

// reconciled runs a job and returns its summary.
func reconciled(t *testing.T, s *shell, path string) asapplied.ReconciliationJSON {
	t.Helper()
	cmd := exec.CommandContext(t.Context(), s.program, "reconcile", path, "-o", t.TempDir(), "--json")
	cmd.Dir = s.dir
	out, err := cmd.Output()
	require.NoError(t, err)
	var r asapplied.ReconciliationJSON
	require.NoError(t, json.Unmarshal(out, &r))
	return r
}

// jsonPaths lists the paths of a JSON tree that hold a value, such as
// zones[].area_m2.field. Those of null and of empty lists are open: nothing tells
// what may stand below them.
func jsonPaths(v any, at string, closed, open map[string]bool) {
	switch v := v.(type) {
	case map[string]any:
		for key, inner := range v {
			key = strings.ReplaceAll(key, ".", "_") // of a file's name
			jsonPaths(inner, strings.TrimPrefix(at+"."+key, "."), closed, open)
		}
	case []any:
		if len(v) == 0 {
			open[at+"[]"] = true
		}
		for _, inner := range v {
			jsonPaths(inner, at+"[]", closed, open)
		}
	case nil:
		open[at] = true
	default:
		closed[at] = true
	}
}

// names tells whether a path of README names a real one. A segment in capitals
// stands for any key. An open path is named by a longer one, too.
func names(documented, path string, open bool) bool {
	d, p := strings.Split(documented, "."), strings.Split(path, ".")
	if len(d) < len(p) || len(d) > len(p) && !open {
		return false
	}
	for i := range p {
		if d[i] != p[i] && !anyKey.MatchString(d[i]) {
			return false
		}
	}
	return true
}

var anyKey = regexp.MustCompile(`^[A-Z]+$`)

// sameKeys demands that README has the keys of some JSON documents and no other.
func sameKeys(t *testing.T, documented []string, documents ...[]byte) {
	t.Helper()
	closed, open := map[string]bool{}, map[string]bool{}
	for _, data := range documents {
		var tree any
		require.NoError(t, json.Unmarshal(data, &tree), "%s", data)
		jsonPaths(tree, "", closed, open)
	}
	require.NotEmpty(t, closed)
	used := map[string]bool{}
	for _, paths := range []map[string]bool{closed, open} {
		for path := range paths {
			found := false
			for _, d := range documented {
				if names(d, path, open[path]) {
					found, used[d] = true, true
				}
			}
			require.True(t, found, "README lacks the key %s", path)
		}
	}
	for _, d := range documented {
		require.True(t, used[d], "README has the key %s, which the output has not", d)
	}
}

// keysOf are the documented paths of a part; PATH.* becomes the keys that
// reconcile.json has below the last word of PATH.
func keysOf(t *testing.T, heading string) []string {
	t.Helper()
	text := readme(t)
	var list []string
	for _, d := range firstCells(part(t, text, heading), "key") {
		stem, ok := strings.CutSuffix(d, ".*")
		if !ok {
			require.NotContains(t, list, d, "twice in README")
			list = append(list, d)
			continue
		}
		like := stem[strings.LastIndex(stem, ".")+1:] + "."
		n := len(list)
		for _, key := range firstCells(part(t, text, "### reconcile.json"), "key") {
			if strings.HasPrefix(key, like) {
				list = append(list, strings.TrimSuffix(stem, strings.TrimSuffix(like, "."))+key)
			}
		}
		require.Greater(t, len(list), n, d)
	}
	return list
}

// TestREADMEHasEveryKeyOfTheJSONAndNoOther compares the tables with what the
// commands write and print on the demo's field.
func TestREADMEHasEveryKeyOfTheJSONAndNoOther(t *testing.T) {
	s := newShell(t)
	output := func(args ...string) []byte {
		t.Helper()
		cmd := exec.CommandContext(t.Context(), s.program, args...)
		cmd.Dir = s.dir
		out, err := cmd.Output()
		require.NoError(t, err, "%v", args)
		return out
	}
	output("demo", "d")
	sameKeys(t, keysOf(t, "### prescription.json"), output("prescribe", "d/job.yaml", "--json"))
	sameKeys(t, keysOf(t, "### reconcile.json"), output("reconcile", "d/job.yaml", "--json"))
	sameKeys(t, keysOf(t, "### plan.json"), output("plan", "d/job.yaml", "--json"))
	manyTrials(t, s)
	sameKeys(t, keysOf(t, "### rates.json"), output("rates", "testdata/trial/job.yaml", "--json"), output("rates", "testdata/trial/many.yaml", "--json"))
	sameKeys(t, keysOf(t, "### loss.json"), output("loss", "testdata/loss/job.yaml", "--json"))
	sameKeys(t, keysOf(t, "### season.json"),
		output("season", "d", "--json"), output("season", "d", "--shard", "1/2", "--json"))
	const faulty = "time,lon,lat\n2026-06-05T13:00:00Z,-93.1,41.9\n2026-06-05T13:00:01Z,,\n"
	require.NoError(t, os.WriteFile(filepath.Join(s.dir, "faulty.csv"), []byte(faulty), 0o600))
	sameKeys(t, keysOf(t, "### Summary of inspect"), output("inspect", "d/boundary.geojson", "faulty.csv", "d/log.csv", "--json"))

	cmd := exec.CommandContext(t.Context(), s.program, "reconcile", "nowhere.yaml", "--json")
	cmd.Dir = s.dir
	out, err := cmd.CombinedOutput()
	require.Error(t, err)
	sameKeys(t, keysOf(t, "### Errors with --json"), out)
}

// manyTrials writes a job whose rate is that of the mean return over the zones' trials.
func manyTrials(t *testing.T, s *shell) {
	t.Helper()
	dir := filepath.Join(s.dir, "testdata", "trial")
	text, err := os.ReadFile(filepath.Join(dir, "job.yaml"))
	require.NoError(t, err)
	head, _, ok := strings.Cut(string(text), "    rate:\n")
	require.True(t, ok)
	rate := `    rate:
      method: mean-return
      trials: {file: trial.csv, columns: {n_rate: N_LB_AC, yield: YIELD_BU_AC, site: ZONE}, units: {n_rate: lb/ac, yield: bu/ac}}
`
	require.NoError(t, os.WriteFile(filepath.Join(dir, "many.yaml"), []byte(head+rate), 0o600))
}

// TestREADMEHasEveryColumnOfTheMapsAndNoOther compares the columns of the written
// shapefiles and GeoJSON.
func TestREADMEHasEveryColumnOfTheMapsAndNoOther(t *testing.T) {
	text := readme(t)
	s := newShell(t)
	_, _, err := s.run(t.Context(), "go run ./cmd/ratewright demo d")
	require.NoError(t, err)
	columns := func(path string) []string {
		t.Helper()
		layer, err := vector.Read(filepath.Join(s.dir, "d", "out", path), vector.Options{})
		require.NoError(t, err)
		require.NotEmpty(t, layer.Features)
		var list []string
		for _, a := range layer.Features[0].Attributes {
			list = append(list, a.Name)
		}
		return list
	}
	rateMap := part(t, text, "### The rate map")
	name := rx.MapName("Heron Bend", "sidedress")
	require.Equal(t, firstCells(rateMap, "column"), columns("rate-map/"+name+".shp"))
	require.Equal(t, firstCells(rateMap, "column"), columns("rate-map/"+name+".zip"))
	require.Equal(t, slices.Concat(firstCells(rateMap, "column"), firstCells(rateMap, "property")), columns("prescription.geojson"))
	patches := firstCells(part(t, text, "### Patches"), "column")
	require.Equal(t, patches, columns("patches.shp"))
	require.Equal(t, patches, columns("patches.geojson"))

	var head map[string]json.RawMessage
	data, err := os.ReadFile(filepath.Join(s.dir, "d", "out", "prescription.geojson"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &head))
	members := []string{"type", "features"}
	_, after, ok := strings.Cut(rateMap, "At its top it names ")
	require.True(t, ok)
	for key := range head {
		if !slices.Contains(members, key) {
			members = append(members, key)
		}
	}
	sameWords(t, "members of prescription.geojson", append(quoted(after), "type", "features"), members)
}

func TestREADMEHasTheRateColumnOfEveryUnit(t *testing.T) {
	var columns []string
	for _, u := range []unit.RateUnit{
		unit.PoundsPerAcre, unit.KgPerHectare, unit.GallonsPerAcre, unit.LitresPerHectare, unit.ShortTonsPerAcre, unit.TonnesPerHectare,
	} {
		columns = append(columns, u.Column(unit.Product))
		if !u.IsVolume() {
			columns = append(columns, u.Column(unit.Nitrogen))
		}
	}
	row := rows(part(t, readme(t), "### The rate map"), "column")[0]
	sameWords(t, "rate columns", quoted(row[1]), columns)
}
