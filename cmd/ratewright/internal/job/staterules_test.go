package job

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The rules of states by their keys, each with its published number or by hand.
func TestRulesOfStatesByTheirKeys(t *testing.T) {
	const goal = "method: yield-goal, form: stanford, yield: 200 bu/ac, credits: " // 240 lb/ac
	for name, c := range map[string]struct {
		rate string
		want float64 // lb/ac
		note string
	}{
		"district":       {"method: yield-goal, form: nebraska-district, yield: 200 bu/ac", 275, ""},
		"no till":        {"method: yield-goal, form: south-dakota, no_till: yes, yield: 180 bu/ac, credits: {other: {nitrate: 50 lb/ac}, soybean: {rule: dakotas}}", 120, ""},
		"south dakota":   {"method: yield-goal, form: south-dakota, yield: 180 bu/ac, credits: {other: {nitrate: 50 lb/ac}, soybean: {rule: dakotas}}", 90, ""},
		"per bushel":     {goal + "{soybean: {rule: per-bushel, yield: 55 bu/ac}}", 185, ""},
		"minnesota":      {goal + "{alfalfa: {stand: good, year: 1}}", 90, "more than twice"},
		"wisconsin":      {goal + "{alfalfa: {state: wisconsin, plants: 5, regrowth: 8 in, soil: medium, year: 1}}", 50, ""},
		"less regrowth":  {goal + "{alfalfa: {state: wisconsin, plants: 5, regrowth: 5 in, soil: medium, year: 1}}", 90, ""},
		"nebraska":       {goal + "{alfalfa: {state: nebraska, stand: half, year: 1}}", 190, "40.0 to 60.0 lb N/ac"},
		"kansas":         {goal + "{alfalfa: {state: kansas, year: 1}}", 120, "100.0 to 140.0 lb N/ac"},
		"beef, 1st year": {goal + "{manure: {kind: beef-feedlot, tons_per_acre: 10, year: 1}}", 190, "an analysis says more"},
		"beef, 2nd year": {goal + "{manure: {kind: beef-feedlot, tons_per_acre: 10, year: 2}}", 215, ""},
		"background":     {goal + "{soil_nitrate: {layers: [{thickness: 36 in, nitrate: 10 ppm}], background: 50 lb/ac}}", 240 - (0.3*36*10 - 50), ""},
		"medium":         {"method: organic-matter, yield: 200 bu/ac, soil: medium, organic_matter: 2 %", 195, "not sampled"},
		"sandy":          {"method: organic-matter, yield: 200 bu/ac, soil: sandy, organic_matter: 2 %", 207, "not sampled"},
		"recalibrated":   {"method: nitrate-test, form: penn-state-recalibrated, test: 10 ppm, yield: 10 t/ha, long_manure: yes, cover_crop: no", 72 / 1.12085, "abstract"},
	} {
		r, err := rated(t, "units: us", c.rate, nil)
		require.NoError(t, err, name)
		require.InDelta(t, c.want, r.Result.Zones[0].Rate.LbNPerAcre(), 0.05, name)
		require.Contains(t, strings.Join(r.Notes, "\n"), c.note, name)
		sum := 0.0
		for _, term := range r.Result.Zones[0].Terms {
			sum += term.N.LbNPerAcre()
		}
		require.InDelta(t, c.want, sum, 0.05, "%s: the terms add up", name)
	}
	for want, rate := range map[string]string{
		"south-dakota alone":     "method: yield-goal, form: stanford, no_till: yes, yield: 180 bu/ac",
		"either the nitrate":     "method: organic-matter, yield: 200 bu/ac, organic_matter: 2 %",
		"either the nitrate of":  "method: organic-matter, yield: 200 bu/ac, nitrate: 3 ppm, soil: sandy, organic_matter: 2 %",
		"has no cover_crop":      "method: nitrate-test, form: penn-state-recalibrated, test: 10 ppm, yield: 150 bu/ac, long_manure: yes",
		"no account of plants":   goal + "{alfalfa: {stand: good, plants: 5, year: 1}}",
		"no small whole number":  goal + `{alfalfa: {stand: good, year: "1.6"}}`,
		"curves is empty":        "method: response, model: quadratic, curves: {}",
		"has no regrowth":        goal + "{alfalfa: {state: wisconsin, plants: 5, soil: medium, year: 1}}",
		"no good stand":          goal + "{alfalfa: {state: wisconsin, plants: 3, regrowth: 9 in, soil: medium, year: 1}}",
		"kind and an analysis":   goal + "{manure: {kind: beef-feedlot, tons_per_acre: 10, year: 1, available: 50 %}}",
		"the year after manure":  goal + `{manure: {kind: beef-feedlot, tons_per_acre: 10, year: "3"}}`,
		"needs the yield of the": goal + "{soybean: {rule: per-bushel}}",
	} {
		_, err := rated(t, "units: us", rate, nil)
		require.ErrorContains(t, err, want)
	}
}

// Five years of 170 to 190 bu/ac have a mean of 180, and 5 % more are 189 (Nebraska,
// Colorado State 0.538). By a column, the texture is that of each zone.
func TestQuantitiesOfEachZone(t *testing.T) {
	square := func(id, from, to, props string) string {
		return `{"type":"Feature","properties":{"Z":"` + id + `",` + props + `},"geometry":{"type":"Polygon","coordinates":[[[` +
			from + `,42],[` + to + `,42],[` + to + `,42.01],[` + from + `,42.01],[` + from + `,42]]]}}`
	}
	write := func(soil string) map[string]string {
		return map[string]string{"boundary.geojson": `{"type":"FeatureCollection","features":[` + square("A", "-93.6", "-93.59", `"x":1`) + `]}`, "z.geojson": `{"type":"FeatureCollection","features":[` +
			square("A", "-93.6", "-93.595", `"SOIL":"medium","Y1":170,"Y2":180,"Y3":190,"Y4":185,"Y5":175`) + `,` +
			square("B", "-93.595", "-93.59", `"SOIL":"`+soil+`","Y1":100,"Y2":100,"Y3":100,"Y4":100,"Y5":100`) + `]}`}
	}
	const head = "zones: {file: z.geojson, id: Z}"
	r, err := rated(t, head, "method: yield-goal, form: penn-state, yield: {years: [Y1, Y2, Y3, Y4, Y5], unit: bu/ac}", write("coarse"))
	require.NoError(t, err)
	require.InDelta(t, 189, r.Result.Zones[0].Rate.LbNPerAcre(), 1e-6)
	require.InDelta(t, 105, r.Result.Zones[1].Rate.LbNPerAcre(), 1e-6)
	require.Contains(t, strings.Join(r.Notes, "\n"), "mean of 5 past years and 5 %")

	const rule = "method: organic-matter, yield: 200 bu/ac, organic_matter: 2 %, soil: {column: SOIL}"
	r, err = rated(t, head, rule, write("coarse"))
	require.NoError(t, err)
	require.InDelta(t, 195, r.Result.Zones[0].Rate.LbNPerAcre(), 1e-6)
	require.InDelta(t, 207, r.Result.Zones[1].Rate.LbNPerAcre(), 1e-6)
	_, err = rated(t, head, rule, write("peat"))
	require.ErrorContains(t, err, `zone B: column SOIL has the soil "peat"`)
}
