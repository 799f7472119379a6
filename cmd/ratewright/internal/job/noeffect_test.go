package job

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A key that has no effect on the rates is refused, for whoever wrote it means something.
func TestAKeyWithoutEffectIsRefused(t *testing.T) {
	const (
		curve = "method: response, model: quadratic, curve: {a: 60, b: 1.1, c: -0.003, units: {n_rate: lb/ac, yield: bu/ac}"
		goal  = "method: yield-goal, form: stanford, yield: 200 bu/ac, credits: "
		penn  = "method: nitrate-test, form: penn-state, test: 10 ppm, yield: 150 bu/ac, previous_crop: corn"
	)
	for rate, want := range map[string]string{
		curve + "}, level: 90 %":                                             "level has no effect",
		curve + ", join: 180}":                                               "a quadratic has no join",
		curve + ", highest: 0 lb/ac}":                                        "the highest tested rate is 0",
		curve + "}, within: 0 $/ac":                                          "within is not above zero",
		goal + "{soybean: {rule: dakotas, soil: sandy}}":                     "the rule dakotas takes no account of soil",
		goal + "{soybean: {rule: dakotas, yield: 40 bu/ac}}":                 "the rule dakotas takes no account of yield",
		goal + "{soybean: {rule: per-bushel, soil: sandy, yield: 40 bu/ac}}": "the rule per-bushel takes no account of soil",
		penn:                  "has no manure",
		penn + ", manure: no": "has no earlier_manure",
		"method: nitrate-test, form: penn-state-recalibrated, test: 10 ppm, yield: 150 bu/ac, long_manure: yes, cover_crop: no, manure: yes": "takes no account of manure",
	} {
		_, err := rated(t, somePrices, rate, nil)
		require.ErrorContains(t, err, want, rate)
	}
	const at = "  - {name: st, source: ammonium-polyphosphate, rate: {target: 2 lb/ac}, starter: "
	const target = "target: {method: yield-goal, form: stanford, yield: 200 bu/ac}"
	for text, want := range map[string]string{
		"{placement: 2x2, table: kansas-state}":                                   "takes no account of table",
		"{placement: 2x2, rows: 30 in}":                                           "takes no account of rows",
		"{placement: with-seed, limit: 5 lb/ac, soil: sandy}":                     "takes no account of soil",
		"{placement: with-seed, table: michigan-state, soil: medium, rows: 0 in}": "rows that far apart cannot be",
		"{placement: 2x2, limit: 0 lb/ac}":                                        "a limit of none allows no starter",
	} {
		_, err := Decode("job.yaml", []byte(target+"\nfield: {boundary: b.geojson}\napplications:\n"+at+text+"}\n"))
		require.ErrorContains(t, err, want, text)
	}
	// Potash that the job gives against the grade of the source.
	j := seasonJob(t, target+"\nsources: {x: {nitrogen: 9 %, ammonium: 9 %, density: 11 lb/gal, grade: 9-18-9}}",
		"  - {name: st, source: x, rate: {target: 2 lb/ac}, starter: {placement: with-seed, table: kansas-state, soil: medium, rows: 30 in, k2o: 0 %}}\n")
	_, err := j.Prescribe("")
	require.ErrorContains(t, err, "k2o is 0 %, and the grade of")
}

// Curves of no zone have no effect, and a note says so.
func TestCurvesOfNoZoneAreTold(t *testing.T) {
	const c = "{a: 60, b: 1.1, c: -0.003, units: {n_rate: lb/ac, yield: bu/ac}}"
	r, err := rated(t, somePrices, "method: response, model: quadratic, curves: {A: "+c+", B: "+c+", C: "+c+", D: "+c+", X: "+c+"}", nil)
	require.NoError(t, err)
	require.Contains(t, strings.Join(r.Notes, "\n"), "curves of no zone of the field, which have no effect: X")
}

// Years of past yields are two or more, each once, and none of zero.
func TestYearsThatMakeNoExpectedYield(t *testing.T) {
	files := withYears(t)
	files["zones.geojson"] = strings.Replace(files["zones.geojson"], `"P2":210`, `"P2":210,"P3":0`, 1)
	for years, want := range map[string]string{
		"[P1]":         "years has one column",
		"[P1, P1, P2]": "names the column P1 twice",
		"[P1, p1]":     "names the column p1 twice",
		"[P1, P3]":     "the past yield number 2 is 0",
	} {
		_, err := rated(t, "units: us", "method: yield-goal, form: stanford, yield: {years: "+years+", unit: bu/ac}", files)
		require.ErrorContains(t, err, want, years)
	}
	r, err := rated(t, "units: us", "method: yield-goal, form: stanford, yield: {years: [P1, P2], unit: bu/ac}", files)
	require.NoError(t, err)
	require.InDelta(t, 1.2*200*1.05, r.Result.Zones[0].Rate.LbNPerAcre(), 1e-9)
}

// What is credited twice is refused by its keys.
func TestCreditsTwiceByTheirKeys(t *testing.T) {
	const (
		goal    = "method: yield-goal, form: stanford, yield: 200 bu/ac, credits: "
		organic = "method: organic-matter, yield: 200 bu/ac, organic_matter: 2 %, "
		layers  = "{soil_nitrate: {layers: [{thickness: 24 in, nitrate: 10 ppm}]}}"
	)
	for rate, want := range map[string]string{
		goal + "{alfalfa: {stand: good, year: 1}, soybean: {}}":                "one crop alone stood before corn",
		goal + "{dry_bean: yes, soybean: {}}":                                  "one crop alone stood before corn",
		goal + "{dry_bean: yes, alfalfa: {state: kansas, year: 1}}":            "one crop alone stood before corn",
		goal + "{soybean: {}, other: {soybeans of last year: 20 lb/ac}}":       "soybean before corn has two credits",
		organic + "nitrate: 3 ppm, credits: " + layers:                         "counts the nitrate of the soil already",
		organic + "soil: sandy, credits: " + layers:                            "counts the nitrate of the soil already",
		organic + "nitrate: 3 ppm, credits: {other: {soil nitrate: 40 lb/ac}}": "counts the nitrate of the soil already",
		"method: nitrate-test, form: iowa, test: 12 ppm, credits: " + layers:   "counts the nitrate of the soil already",
		"method: nitrate-test, form: penn-state, test: 12 ppm, yield: 150 bu/ac, manure: no, earlier_manure: no, previous_crop: soybean, credits: {soybean: {}}": "counts the crop before already",
	} {
		_, err := rated(t, "units: us", rate, nil)
		require.ErrorContains(t, err, want, rate)
	}
	const (
		penn    = "method: nitrate-test, form: penn-state, test: 12 ppm, yield: 150 bu/ac, previous_crop: corn, "
		again   = "method: nitrate-test, form: penn-state-recalibrated, test: 12 ppm, yield: 150 bu/ac, cover_crop: no, "
		manure  = "credits: {manure: {tons_per_acre: 5, lb_n_per_ton: 10, available: 50 %}}"
		feedlot = "credits: {manure: {kind: beef-feedlot, tons_per_acre: 10, year: 2}}"
	)
	for _, rate := range []string{
		penn + "manure: yes, earlier_manure: no, " + manure, penn + "manure: no, earlier_manure: yes, " + feedlot,
		penn + "manure: yes, earlier_manure: no, credits: {other: {Manure of fall: 20 lb/ac}}", again + "long_manure: yes, " + manure,
	} {
		_, err := rated(t, "units: us", rate, nil)
		require.ErrorContains(t, err, "counts manure already", rate)
	}
	for _, rate := range []string{penn + "manure: no, earlier_manure: no, " + manure, again + "long_manure: no, " + manure} {
		_, err := rated(t, "units: us", rate, nil)
		require.NoError(t, err, rate)
	}
	for _, rate := range []string{
		goal + layers, goal + "{alfalfa: {stand: fair, year: 2}, soybean: {}}",
		organic + "nitrate: 3 ppm, credits: {water: {nitrate: 20 ppm, depth: 4 in, as: nitrogen}, soybean: {}}",
		organic + "nitrate: 3 ppm, credits: {other: {nitrate in water: 10 lb/ac}}",
	} {
		_, err := rated(t, "units: us", rate, nil)
		require.NoError(t, err, rate)
	}
}

// An input at the end of its range is answered, and moved no further than the rules take it.
func TestInputsAtTheEndsOfTheirRange(t *testing.T) {
	for _, rate := range []string{
		"method: organic-matter, yield: 200 bu/ac, nitrate: 300 ppm, organic_matter: 20 %",
		"method: organic-matter, yield: 200 bu/ac, nitrate: 0 ppm, organic_matter: 0.2 %",
		"method: yield-goal, form: stanford, yield: 690 bu/ac",
		"method: yield-goal, form: stanford, yield: 20 bu/ac",
		"method: nitrate-test, form: ohio, test: 12 ppm, base: 390 lb/ac",
	} {
		r, err := rated(t, "units: us", rate, nil)
		require.NoError(t, err, rate)
		require.NotEmpty(t, r.Result.Changes, rate)
	}
}

// A credit of the soil's nitrate rests on a test, and is moved as a test is: 0.3 x 24 x 5 lb
// up; down to none, 0.3 x 24 x 4 lb.
func TestTheTestOfACreditIsMoved(t *testing.T) {
	r, err := rated(t, "units: us", "method: yield-goal, form: stanford, yield: 200 bu/ac, credits: {soil_nitrate: {layers: [{thickness: 24 in, nitrate: 4 ppm}]}}", nil)
	require.NoError(t, err)
	require.Len(t, r.Result.Changes, 2)
	c := r.Result.Changes[0]
	require.Equal(t, "nitrate-N in the soil", c.What)
	require.InDelta(t, 240, c.RateLow.LbNPerAcre(), 1e-9)
	require.InDelta(t, 240-0.3*24*9, c.RateHigh.LbNPerAcre(), 1e-9)
}

// What cannot be read of a curve is said once.
func TestARateThatIsNoneIsSaidOnce(t *testing.T) {
	_, err := rated(t, somePrices, "method: response, model: quadratic, curve: {a: 80, b: 1, c: -0.003, highest: 200, units: {n_rate: lb/ac, yield: bu/ac}}", nil)
	require.ErrorContains(t, err, `highest: "200" is a bare number`)
	require.NotContains(t, err.Error(), "the highest tested rate is 0")
	_, err = rated(t, "units: us", "method: yield-goal, form: stanford, yield: 200 bu/ac, credits: {soil_nitrate: {layers: [{thickness: 24, nitrate: 5 ppm}]}}", nil)
	require.ErrorContains(t, err, `thickness: "24" is a bare number`)
	require.NotContains(t, err.Error(), "cannot be")
}

// The mean of the curves is in the table and in rates.json, yield and return.
func TestTheMeanOfTheCurvesIsShown(t *testing.T) {
	j, err := trialJob(t, somePrices, everyMethod()["mean"], nil)
	require.NoError(t, err)
	r, err := j.Rates("")
	require.NoError(t, err)
	table := MeanTable(j.Units, r.Mean)
	require.Len(t, table.Rows, 11)
	points := tree(t, written(t, r.Set)["rates.json"])["mean_return"].([]any)
	require.Len(t, points, 41)
	last := points[40].(map[string]any)
	require.InDelta(t, r.Mean.Chart[40].Yield.KgPerHa(), last["yield_kg_ha"].(float64), 1e-9)
	require.Greater(t, last["yield_kg_ha"].(float64), points[0].(map[string]any)["yield_kg_ha"].(float64))
}

func TestALimitOfNoneOnTheFieldIsNoMissingOne(t *testing.T) {
	_, err := Decode("job.yaml", []byte("field: {boundary: b.geojson}\nplan: {until: 2026-07-01, field_most: 0 lb/ac}\n"))
	require.ErrorContains(t, err, "field_most of none leaves no nitrogen to plan")
}

// Steps too fine to look at are told in the units of the job, with their line.
func TestStepsTooFineAreToldInTheUnitsOfTheJob(t *testing.T) {
	for units, words := range map[string]string{"us": "0 to 240.0 lb N/ac in steps of 0.5 lb N/ac are more than 200 rates", "si": "0 to 269.0 kg N/ha in steps of 0.6 kg N/ha are more than 200 rates"} {
		_, err := Decode("job.yaml", []byte("units: "+units+"\nfield: {boundary: b.geojson}\nplan: {until: 2026-07-01, most: 240 lb/ac, step: 0.5 lb/ac}\n"))
		require.ErrorContains(t, err, words)
		require.ErrorContains(t, err, "line 3")
	}
}
