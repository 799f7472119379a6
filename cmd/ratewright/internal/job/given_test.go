package job

import (
	"fmt"
	"html"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/rx/nitrogen/budget"
)

// ofEveryTerm are rates that between them work with every coefficient.
func ofEveryTerm() []string {
	const goal = "method: yield-goal, form: stanford, yield: 300 bu/ac"
	const penn = "method: nitrate-test, form: penn-state, yield: 150 bu/ac"
	list := []string{
		goal, "method: yield-goal, form: penn-state, yield: 200 bu/ac", "method: yield-goal, form: nebraska-district, yield: 200 bu/ac",
		"method: yield-goal, form: south-dakota, no_till: yes, yield: 200 bu/ac",
		"method: yield-goal, form: south-dakota, yield: {years: [P1, P2], unit: bu/ac}",
		"method: nitrate-test, form: iowa, test: 3 ppm, manure: yes, corn_height: 30 in",
		penn + ", test: 10 ppm, manure: no, earlier_manure: yes, previous_crop: soybean",
		penn + ", test: 10 ppm, manure: yes, earlier_manure: no, previous_crop: forage legume",
		"method: nitrate-test, form: penn-state-recalibrated, test: 10 ppm, yield: 150 bu/ac, long_manure: yes, cover_crop: yes",
		"method: nitrate-test, form: illinois, test: 20 ppm, base: 156 lb/ac",
		"method: organic-matter, yield: 200 bu/ac, nitrate: 3 ppm, organic_matter: 0.2 %",
		"method: organic-matter, yield: 200 bu/ac, soil: sandy, organic_matter: 5 %",
	}
	for _, ppm := range []string{"5", "13", "18", "23"} {
		list = append(list, "method: nitrate-test, form: ohio, base: 156 lb/ac, test: "+ppm+" ppm")
	}
	for _, credits := range []string{
		"soybean: {yield: 50 bu/ac}", "soybean: {soil: sandy, yield: 50 bu/ac}", "soybean: {rule: dakotas}", "soybean: {rule: per-bushel, yield: 50 bu/ac}", "dry_bean: yes",
		"alfalfa: {stand: good, year: 1}", "alfalfa: {stand: fair, year: 1}", "alfalfa: {stand: poor, year: 2}",
		"alfalfa: {state: wisconsin, plants: 5, regrowth: 5 in, soil: medium, year: 1}", "alfalfa: {state: nebraska, stand: good, year: 1}",
		"alfalfa: {state: nebraska, stand: half, year: 1}", "alfalfa: {state: kansas, year: 1}", "alfalfa: {state: idaho, year: 1}",
		"manure: {kind: beef-feedlot, tons_per_acre: 10, year: 2}", "water: {nitrate: 20 ppm, depth: 4 in, as: nitrogen}",
		"soil_nitrate: {layers: [{thickness: 24 in, nitrate: 18 ppm}]}",
	} {
		list = append(list, goal+", credits: {"+credits+"}")
	}
	return list
}

// withYears adds columns of past yields to the made-up zones.
func withYears(t *testing.T) map[string]string {
	t.Helper()
	square := func(props string) string {
		return `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{` + props + `},"geometry":{"type":"Polygon","coordinates":[[[-93.6,42],[-93.59,42],[-93.59,42.01],[-93.6,42.01],[-93.6,42]]]}}]}`
	}
	return map[string]string{"boundary.geojson": square(`"x":1`), "zones.geojson": square(`"ZONE":"A","P1":190,"P2":210`)}
}

// Whatever coefficient the job sets, the sentences of the page, of rates.json and of
// prescription.json say that it is given in the job where it counts, and one that took no
// part is named. This goes over every coefficient that the decoder knows.
func TestEveryCoefficientOfTheJobIsSaidToBeGiven(t *testing.T) {
	var set []string
	for _, c := range budget.Names() {
		set = append(set, fmt.Sprintf("%s: %g", c.Name, c.Published*1.02))
	}
	all := ", coefficients: {" + strings.Join(set, ", ") + "}"
	named := map[string]bool{}
	for _, rate := range ofEveryTerm() {
		j, err := trialJob(t, "units: us", rate+all, withYears(t))
		require.NoError(t, err, rate)
		r, err := j.Rates("")
		require.NoError(t, err, rate)
		p, err := j.Prescribe("")
		require.NoError(t, err, rate)
		files := written(t, r.Set)
		prescription := html.UnescapeString(written(t, p.Set)["prescription.json"])
		for _, c := range budget.Names() {
			says := regexp.MustCompile(`given in the job: [^()]*\b` + c.Name + ` [0-9.]+ [^()]* in place of`)
			unused := regexp.MustCompile(`took no part in these rates: [a-z_, ]*\b` + c.Name + `\b`)
			is := says.MatchString(files["rates.json"])
			require.Equal(t, is, says.MatchString(html.UnescapeString(files["rates.html"])), "%s: %s on the page", rate, c.Name)
			require.Equal(t, is, says.MatchString(prescription), "%s: %s in prescription.json", rate, c.Name)
			require.NotEqual(t, is, unused.MatchString(files["rates.json"]), "%s: %s either counts or is said not to", rate, c.Name)
			named[c.Name] = named[c.Name] || is
		}
	}
	for _, c := range budget.Names() {
		require.True(t, named[c.Name], "no rate says that %s is given in the job", c.Name)
	}
}

// known lists the keys that the decoder knows at a place, as it tells them.
func knownKeys(t *testing.T, rate string) []string {
	t.Helper()
	_, err := trialJob(t, "units: us", rate, nil)
	require.Error(t, err)
	m := regexp.MustCompile(`unknown key "zzz"[^\n]*known here: ([a-z0-9_, ]+)`).FindStringSubmatch(err.Error())
	require.NotNil(t, m, err.Error())
	return strings.Split(m[1], ", ")
}

// Every key of a rule is either a fact or a quantity of the field, for which nothing is
// published, or stands in place of a published number or factor, and then the term says
// that the job gives it. A new key must be put on one of the two lists.
func TestEveryKeyInPlaceOfAPublishedNumberIsSaidToBeGiven(t *testing.T) {
	facts := "method form yield no_till credits coefficients nitrate soil organic_matter test base after_soybean manure earlier_manure previous_crop long_manure cover_crop corn_height banded full_before state layers"
	given := map[string]string{
		"critical":      "method: nitrate-test, form: iowa, test: 3 ppm, critical: 20 ppm",
		"cap":           "method: nitrate-test, form: iowa, test: 3 ppm, cap: 60 lb/ac",
		"price_factor":  `method: organic-matter, yield: 200 bu/ac, nitrate: 3 ppm, organic_matter: 2 %, price_factor: "0.9"`,
		"timing_factor": `method: organic-matter, yield: 200 bu/ac, nitrate: 3 ppm, organic_matter: 2 %, timing_factor: "0.9"`,
		"factor":        `method: yield-goal, form: stanford, yield: 200 bu/ac, credits: {soil_nitrate: {factor: "0.333", layers: [{thickness: 24 in, nitrate: 16 ppm}]}}`,
		"background":    "method: yield-goal, form: stanford, yield: 200 bu/ac, credits: {soil_nitrate: {background: 50 lb/ac, layers: [{thickness: 24 in, nitrate: 16 ppm}]}}",
	}
	for _, place := range []string{
		"method: yield-goal, zzz: 1", "method: organic-matter, zzz: 1", "method: nitrate-test, zzz: 1",
		"method: yield-goal, form: stanford, yield: 200 bu/ac, credits: {soil_nitrate: {zzz: 1}}",
	} {
		for _, key := range knownKeys(t, place) {
			rate, is := given[key]
			if !is {
				require.Contains(t, strings.Fields(facts), key, "%s: does %s stand in place of a published number?", place, key)
				continue
			}
			r, err := rated(t, "units: us", rate, nil)
			require.NoError(t, err, key)
			found := false
			for _, term := range r.Result.Zones[0].Terms {
				found = found || strings.Contains(term.Source, "given in the job")
			}
			require.True(t, found, "%s: %v", key, r.Result.Zones[0].Terms)
		}
	}
}

// Keys that are given as zero are taken as zero or refused, never as left out.
func TestAZeroInTheJobIsNotLeftOut(t *testing.T) {
	const (
		iowa    = "method: nitrate-test, form: iowa, test: 3 ppm"
		organic = "method: organic-matter, yield: 200 bu/ac, nitrate: 3 ppm, organic_matter: 2 %"
		goal    = "method: yield-goal, form: stanford, yield: 200 bu/ac"
	)
	for rate, want := range map[string]string{
		iowa + ", cap: 0 lb/ac":                         "a cap of 0.0 lb N/ac would leave no rate",
		iowa + ", critical: 0 ppm":                      "a critical level of 0 ppm cannot be",
		iowa + ", corn_height: 0 in":                    "a height of corn of 0",
		iowa + `, coefficients: {iowa_cap: "0"}`:        "iowa_cap is 0",
		organic + `, price_factor: "0"`:                 "a factor of price of 0",
		organic + `, timing_factor: "0"`:                "a factor of timing of 0",
		goal + ", credits: {soybean: {yield: 0 bu/ac}}": "a soybean yield of 0",
		goal + `, credits: {manure: {kind: beef-feedlot, tons_per_acre: 10, year: "0"}}`:                "the year after manure is 0",
		goal + `, credits: {alfalfa: {stand: good, year: "0"}}`:                                         "the year of corn after alfalfa is 0",
		goal + `, credits: {soil_nitrate: {factor: "0", layers: [{thickness: 24 in, nitrate: 5 ppm}]}}`: "the factor from ppm of 0",
	} {
		_, err := rated(t, "units: us", rate, nil)
		require.ErrorContains(t, err, want, rate)
	}
}
