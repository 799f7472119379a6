package job

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// trialJob is a job on the made-up field with a made-up trial in each of its four zones: a
// head of keys, and the keys of its application's rate. Files are laid beside it.
func trialJob(t *testing.T, head, rate string, files map[string]string) (Job, error) {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{"boundary.geojson", "zones.geojson", "trial.csv"} {
		data, err := os.ReadFile(filepath.Join("..", "..", "..", "..", "testdata", "trial", name))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o666))
	}
	for name, text := range files {
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(dir, name)), 0o777))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
	}
	if !strings.Contains(head, "zones:") {
		head += "\nzones: {file: zones.geojson, id: ZONE}"
	}
	text := head + `
field: {name: made up, boundary: boundary.geojson}
applications:
  - {name: sidedress, source: uan-32, rate: {` + rate + `}}
`
	path := filepath.Join(dir, "job.yaml")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
	return Load(path)
}

// rated works the rates of such a job out.
func rated(t *testing.T, head, rate string, files map[string]string) (Rated, error) {
	t.Helper()
	j, err := trialJob(t, head, rate, files)
	if err != nil {
		return Rated{}, err
	}
	return j.Rates("")
}

const (
	somePrices = "\nprices: {nitrogen: 0.50 $/lb, corn: 4.20 $/bu}"
	allTrial   = "trial: {file: trial.csv, columns: {n_rate: N_LB_AC, yield: YIELD_BU_AC}, units: {n_rate: lb/ac, yield: bu/ac}}"
	zoneTrial  = "trial: {file: trial.csv, columns: {n_rate: N_LB_AC, yield: YIELD_BU_AC, zone: ZONE}, units: {n_rate: lb/ac, yield: bu/ac}}"
	allCredits = "credits: {soybean: {yield: 25 bu/ac}, alfalfa: {stand: fair, year: 2}, manure: {tons_per_acre: 10, lb_n_per_ton: 5, available: 50 %}, water: {nitrate: 20 ppm, depth: 4 in, as: nitrogen}, soil_nitrate: {layers: [{thickness: 8 in, nitrate: 18 ppm}]}}"
)

// everyMethod has the keys of a rate for every method and form.
func everyMethod() map[string]string {
	return map[string]string{
		"yield goal":     "method: yield-goal, form: stanford, yield: 200 bu/ac, " + allCredits,
		"wisconsin":      "method: yield-goal, form: nebraska-district, yield: 200 bu/ac, credits: {alfalfa: {state: wisconsin, plants: 5, regrowth: 5 in, soil: medium, year: 1}}",
		"kansas":         "method: yield-goal, form: south-dakota, no_till: yes, yield: 200 bu/ac, credits: {alfalfa: {state: kansas, year: 1}, manure: {kind: beef-feedlot, tons_per_acre: 10, year: 2}}",
		"recalibrated":   "method: nitrate-test, form: penn-state-recalibrated, test: 10 ppm, yield: 150 bu/ac, long_manure: yes, cover_crop: yes, credits: {soybean: {rule: per-bushel, yield: 50 bu/ac}}",
		"background":     "method: yield-goal, form: penn-state, yield: 200 bu/ac, credits: {soil_nitrate: {layers: [{thickness: 24 in, nitrate: 16 ppm}], background: 50 lb/ac}}",
		"unsampled":      "method: organic-matter, yield: 200 bu/ac, soil: sandy, organic_matter: 2 %, credits: {soybean: {rule: dakotas}}",
		"organic matter": `method: organic-matter, yield: 200 bu/ac, nitrate: 3 ppm, organic_matter: 4 %, price_factor: "0.9"`,
		"iowa":           "method: nitrate-test, form: iowa, test: 5 ppm, corn_height: 20 in, banded: yes, manure: yes",
		"penn state":     "method: nitrate-test, form: penn-state, test: 10 ppm, yield: 150 bu/ac, manure: no, earlier_manure: no, previous_crop: soybean",
		"ohio":           "method: nitrate-test, form: ohio, test: 19 ppm, base: 156 lb/ac",
		"illinois":       "method: nitrate-test, form: illinois, test: 20 ppm, base: 156 lb/ac",
		"mean":           "method: mean-return, within: 1 $/ac, trials: {file: trial.csv, columns: {n_rate: N_LB_AC, yield: YIELD_BU_AC, site: ZONE}, units: {n_rate: lb/ac, yield: bu/ac}}",
		"zones":          "method: response, model: best, within: 1 $/ac, " + zoneTrial,
		"linear":         "method: response, model: linear-plateau, within: 1 $/ac, " + allTrial,
		"quadratic":      "method: response, model: quadratic, within: 1 $/ac, " + allTrial,
		"curves":         "method: response, model: quadratic, within: 1 $/ac, curves: {A: {a: 60, b: 1.1, c: -0.003, units: {n_rate: lb/ac, yield: bu/ac}, highest: 200 lb/ac}, B: {a: 60, b: 1, c: -0.003, units: {n_rate: lb/ac, yield: bu/ac}}, C: {a: 70, b: 0.8, c: -0.003, units: {n_rate: lb/ac, yield: bu/ac}}, D: {a: 60, b: 1.2, c: -0.003, units: {n_rate: lb/ac, yield: bu/ac}}}",
		"curve":          "method: response, model: quadratic, within: 1 $/ac, curve: {a: 60, b: 1.1, c: -0.002, units: {n_rate: lb/ac, yield: bu/ac}, lowest: 0 lb/ac, highest: 200 lb/ac}",
	}
}

// Every sentence of the arithmetic is in the units of the job; a source may print its
// number in its own. Notes on the ground of zones are no part of the arithmetic.
func TestTheArithmeticIsInTheUnitsOfTheJob(t *testing.T) {
	foreign := map[unit.System]*regexp.Regexp{
		unit.US: regexp.MustCompile(`\b(kg|t|cm|mm)\b|/ha\b`),
		unit.SI: regexp.MustCompile(`\b(lb|bu|ton|in x|ft)\b|/ac\b|[0-9] in (tall|for|or|is)\b`),
	}
	for name, keys := range everyMethod() {
		for u, bad := range foreign {
			r, err := rated(t, "units: "+u.String()+somePrices, keys, nil)
			require.NoError(t, err, name)
			var said []string
			for _, z := range r.Result.Zones {
				for _, term := range z.Terms {
					said = append(said, term.What)
				}
				said = append(said, z.Reasons...)
			}
			for _, c := range r.Result.Changes {
				said = append(said, c.Low, c.High)
			}
			said = append(append(said, r.Result.Findings...), r.Result.Notes...)
			for _, s := range said {
				require.False(t, bad.MatchString(s), "%s in %s: %s", name, u, s)
			}
			require.NotEmpty(t, r.Result.Changes, name)
		}
	}
}

// The same rate in either system.
func TestUnitsChangeNoRate(t *testing.T) {
	for name, keys := range everyMethod() {
		var got []string
		for _, u := range []unit.System{unit.US, unit.SI} {
			r, err := rated(t, "units: "+u.String()+somePrices, keys, nil)
			require.NoError(t, err, name)
			for _, z := range r.Result.Zones {
				got = append(got, fmt.Sprintf("%s %.6f", z.ID, z.Rate.KgNPerHa()))
			}
		}
		half := len(got) / 2
		require.Equal(t, strings.Join(got[:half], " "), strings.Join(got[half:], " "), name)
	}
}
