package job

import (
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// plots is a trial with the columns N and Y.
func plots(rows string) map[string]string { return map[string]string{"plots.csv": "N,Y\n" + rows} }

const ofPlots = ", trial: {file: plots.csv, columns: {n_rate: N, yield: Y}, units: {n_rate: lb/ac, yield: bu/ac}}"

// What cannot be answered is an error that says so.
func TestRatesThatAreRefused(t *testing.T) {
	const fitted = "method: response, model: quadratic-plateau, " + allTrial
	for name, c := range map[string]struct{ head, rate, plots, want string }{
		"two rates":          {somePrices, "method: response, model: quadratic" + ofPlots, "0,100\n0,104\n200,180\n200,185\n", "2 distinct rates"},
		"three rates":        {somePrices, "method: response, model: best" + ofPlots, "0,100\n100,150\n200,180\n", "3 distinct rates"},
		"text":               {somePrices, "method: response, model: quadratic" + ofPlots, "0,100\n100,hail\n150,180\n200,190\n", `line 3: column Y holds "hail"`},
		"convex":             {somePrices, "method: response, model: quadratic" + ofPlots, "0,100\n50,102\n100,110\n150,130\n200,160\n", "bends upward"},
		"flat":               {somePrices, "method: response, model: best" + ofPlots, "0,150\n50,152\n100,149\n150,151\n200,150\n250,148\n", "0 or cannot be estimated"},
		"early join":         {somePrices, "method: response, model: best" + ofPlots, "0,100\n0,102\n50,180\n50,181\n100,180\n100,182\n150,181\n150,179\n", "before the second tested rate"},
		"kg as bushels":      {somePrices, "method: response, model: best" + ofPlots, "0,6000\n50,8000\n100,9500\n150,10500\n200,10800\n", "check its unit"},
		"price of zero":      {"prices: {nitrogen: 0 $/lb, corn: 4.20 $/bu}", fitted, "", "must be above zero"},
		"price below zero":   {"prices: {nitrogen: -0.5 $/lb, corn: 4.20 $/bu}", fitted, "", "cannot be negative"},
		"grain of zero":      {"prices: {nitrogen: 0.5 $/lb, corn: 0 $/bu}", fitted, "", "must be above zero"},
		"no unit of price":   {"prices: {nitrogen: 0.5, corn: 4.20}", fitted, "", "bare number"},
		"units of price":     {"prices: {nitrogen: 0.5 $/bu, corn: 4.20 $/lb}", fitted, "", "unknown for a price of nitrogen"},
		"cents":              {"prices: {nitrogen: 50 $/lb, corn: 4.20 $/bu}", fitted, "", "check the units of both prices"},
		"no prices":          {"units: us", fitted, "", "needs prices"},
		"no units of trial":  {somePrices, "method: response, model: best, trial: {file: trial.csv, columns: {n_rate: N_LB_AC, yield: YIELD_BU_AC}}", "", "trial has no units"},
		"volume":             {somePrices, "method: response, model: best, trial: {file: trial.csv, columns: {n_rate: N_LB_AC, yield: YIELD_BU_AC}, units: {n_rate: gal/ac, yield: bu/ac}}", "", "no volume"},
		"credit on a curve":  {somePrices, fitted + ", credits: {soybean: {}}", "", "taken off twice"},
		"credit on a mean":   {somePrices, everyMethod()["mean"] + ", credits: {soybean: {}}", "", "taken off twice"},
		"credit, rotation":   {"units: us", "method: nitrate-test, form: ohio, test: 12 ppm, base: 156 lb/ac, after_soybean: yes, credits: {soybean: {}}", "", "taken off twice"},
		"yield, no unit":     {"units: us", "method: yield-goal, form: stanford, yield: 200", "", "bare number"},
		"yield of zero":      {"units: us", "method: yield-goal, form: stanford, yield: 0 bu/ac", "", "without a reason"},
		"t/ha as bushels":    {"units: us", "method: yield-goal, form: stanford, yield: 12 bu/ac", "", "check its unit"},
		"fraction":           {"units: us", `method: organic-matter, yield: 200 bu/ac, nitrate: 3 ppm, organic_matter: "0.03 %"`, "", "given as a fraction"},
		"bare organic":       {"units: us", "method: organic-matter, yield: 200 bu/ac, nitrate: 3 ppm, organic_matter: 3", "", "bare number"},
		"lb/ac for ppm":      {"units: us", "method: organic-matter, yield: 200 bu/ac, nitrate: 30 lb/ac, organic_matter: 3 %", "", "write ppm"},
		"test in lb/ac":      {"units: us", "method: nitrate-test, form: iowa, test: 12 lb/ac", "", "write ppm"},
		"test of 400":        {"units: us", "method: nitrate-test, form: iowa, test: 400 ppm", "", "not lb/ac"},
		"crop before":        {"units: us", "method: nitrate-test, form: penn-state, test: 12 ppm, yield: 150 bu/ac, manure: no, earlier_manure: no", "", "previous_crop"},
		"manure":             {"units: us", "method: nitrate-test, form: penn-state, test: 12 ppm, yield: 150 bu/ac, previous_crop: corn, earlier_manure: no", "", "has no manure"},
		"manure before":      {"units: us", "method: nitrate-test, form: penn-state, test: 12 ppm, yield: 150 bu/ac, previous_crop: corn, manure: no", "", "has no earlier_manure"},
		"999 bushels":        {somePrices, "method: response, model: quadratic" + ofPlots, "0,60\n40,95\n\n80,999\n120,152\n", "plots.csv: line 5: has a yield of 999 bu/ac, which is not possible"},
		"3,000 lb":           {somePrices, "method: response, model: quadratic" + ofPlots, "0,60\n3000,95\n80,99\n120,152\n", "plots.csv: line 3: has a nitrogen rate of 3000 lb N/ac, which is not possible"},
		"state":              {"units: us", "method: nitrate-test, form: iowa, test: 12 ppm, state: Iowa", "", "two letters"},
		"not of the form":    {"units: us", "method: nitrate-test, form: iowa, test: 12 ppm, base: 156 lb/ac", "", "takes no account of base"},
		"year of alfalfa":    {"units: us", "method: yield-goal, form: stanford, yield: 200 bu/ac, credits: {alfalfa: {stand: good}}", "", "has no year"},
		"manure in percents": {"units: us", "method: yield-goal, form: stanford, yield: 200 bu/ac, credits: {manure: {tons_per_acre: 10, lb_n_per_ton: 5, available: 50}}", "", "bare number"},
		"factor of a foot":   {"units: us", `method: yield-goal, form: stanford, yield: 200 bu/ac, credits: {soil_nitrate: {layers: [{thickness: 24 in, nitrate: 3 ppm}], factor: "3.6"}}`, "", "0.3 to 0.333 is usual"},
	} {
		_, err := rated(t, c.head, c.rate, plots(c.plots))
		require.ErrorContains(t, err, c.want, name)
	}
}

// What can be answered with a warning has it.
func TestRatesThatAreAnsweredWithAWord(t *testing.T) {
	for name, c := range map[string]struct{ rate, plots, want string }{
		"beyond":          {"method: response, model: quadratic" + ofPlots, "0,60\n40,95\n80,126\n120,152\n160,175\n", "beyond the highest tested rate of 160.0 lb N/ac"},
		"exact":           {"method: response, model: quadratic-plateau" + ofPlots, "0,80\n60,141.2\n120,180.8\n240,200\n", "no scatter to judge"},
		"lost plots":      {"method: response, model: quadratic" + ofPlots, "0,60\n40,95\n80,\n80,126\n120,140\n160,142\n,130\n", "2 of 7 plots have no rate or no yield"},
		"organic matter":  {"method: organic-matter, yield: 200 bu/ac, nitrate: 3 ppm, organic_matter: 4 %", "", "taken as 3 %"},
		"tall corn":       {"method: nitrate-test, form: iowa, test: 22 ppm, corn_height: 20 in", "", "outside the 6.0 to 12.0 in"},
		"another state":   {"method: nitrate-test, form: iowa, test: 22 ppm, state: MN", "", "made for IA"},
		"manured":         {"method: nitrate-test, form: iowa, test: 22 ppm, manure: yes", "", "was manured"},
		"banded":          {"method: nitrate-test, form: iowa, test: 22 ppm, banded: yes", "", "banded before"},
		"full before":     {"method: nitrate-test, form: iowa, test: 22 ppm, full_before: yes", "", "full rate was applied"},
		"nothing is left": {"method: yield-goal, form: stanford, yield: 30 bu/ac, credits: {other: {x: 100 lb/ac}}", "", "less than zero"},
		"shallow samples": {"method: yield-goal, form: stanford, yield: 200 bu/ac, credits: {soil_nitrate: {layers: [{thickness: 8 in, nitrate: 3 ppm}]}}", "", "asks for 24.0 in or more"},
	} {
		r, err := rated(t, somePrices, c.rate, plots(c.plots))
		require.NoError(t, err, name)
		require.Contains(t, strings.Join(r.Notes, "\n"), c.want, name)
	}
}

// Nearly straight yields have an optimum of 1131 lb/ac by their curve: the zone's reasons
// say that nobody tested it, and the rate is held.
func TestAZoneSaysThatItsRateIsAnExtrapolation(t *testing.T) {
	const steep = "0,100.5\n40,111.4\n80,123.9\n120,135.0\n160,146.6\n0,99.5\n40,112.3\n80,123.9\n120,135.6\n160,146.6\n0,100.2\n40,112.0\n80,124.0\n120,135.4\n160,146.5\n"
	r, err := rated(t, somePrices, "method: response, within: 1 $/ac, model: quadratic-plateau"+ofPlots, plots(steep))
	require.NoError(t, err)
	for _, z := range r.Result.Zones {
		require.InDelta(t, 200, z.Rate.LbNPerAcre(), 1e-6)
		require.Contains(t, strings.Join(z.Reasons, "\n"), "the optimum of 1131.0 lb N/ac lies beyond the highest tested rate of 160.0 lb N/ac")
		require.Contains(t, strings.Join(z.Reasons, "\n"), "held at 200.0 lb N/ac")
	}
	// By zone, only that zone says so, in its reasons and by name in the notes.
	var rows strings.Builder
	rows.WriteString("N,Y,Z\n")
	for _, zone := range []string{"A", "B", "C", "D"} {
		for i, y := range []float64{90, 138, 171, 183, 184, 93, 141, 169, 180, 182} {
			if zone == "B" {
				y = []float64{90, 113.5, 134, 151.5, 166, 90.4, 113.1, 134.3, 151.1, 166.3}[i]
			}
			fmt.Fprintf(&rows, "%d,%g,%s\n", 50*(i%5), y, zone)
		}
	}
	r, err = rated(t, somePrices, "method: response, model: quadratic, trial: {file: t.csv, columns: {n_rate: N, yield: Y, zone: Z}, units: {n_rate: lb/ac, yield: bu/ac}}", map[string]string{"t.csv": rows.String()})
	require.NoError(t, err)
	for _, z := range r.Result.Zones {
		require.Equal(t, z.ID == "B", strings.Contains(strings.Join(z.Reasons, "\n"), "beyond the highest tested rate"), z.ID)
	}
	require.Contains(t, strings.Join(r.Notes, "\n"), "zone B: the optimum of ")
	given := func(tested string) string {
		return "method: response, model: quadratic, curve: {a: 100, b: 0.3042, c: -8.185e-5, units: {n_rate: lb/ac, yield: bu/ac}" + tested + "}"
	}
	r, err = rated(t, somePrices, given(", highest: 160 lb/ac"), nil)
	require.NoError(t, err)
	require.InDelta(t, 200, r.Result.Zones[0].Rate.LbNPerAcre(), 1e-6)
	require.Contains(t, strings.Join(r.Result.Zones[0].Reasons, "\n"), "held at 200.0 lb N/ac")
	_, err = rated(t, somePrices, given(""), nil)
	require.ErrorContains(t, err, "above what any trial has tested")
}

// zonedTrial is a trial of the zones A to D; B gives no curve with a plateau, C none at all.
func zonedTrial() map[string]string {
	var rows strings.Builder
	rows.WriteString("N,Y,Z\n")
	for _, zone := range []string{"A", "B", "C", "D"} {
		for i, y := range []float64{90, 138, 171, 183, 184, 93, 141, 169, 180, 182} {
			switch zone {
			case "B":
				y = []float64{90, 180, 181, 179, 180, 91, 181, 179, 181, 180}[i]
			case "C":
				y = []float64{150, 149, 151, 150, 149, 151, 150, 150, 149, 151}[i]
			}
			fmt.Fprintf(&rows, "%d,%g,%s\n", 50*(i%5), y, zone)
		}
	}
	return map[string]string{"t.csv": rows.String()}
}

// Zones without a curve are refused all together, with why and what can be done; or they
// get the rate that the job has for them, and say so, while the others have their own.
func TestZonesWithoutACurve(t *testing.T) {
	const method = "method: response, model: quadratic-plateau, trial: {file: t.csv, columns: {n_rate: N, yield: Y, zone: Z}, units: {n_rate: lb/ac, yield: bu/ac}}"
	_, err := rated(t, somePrices, method, zonedTrial())
	require.ErrorContains(t, err, "zone B: the plateau begins before the second tested rate")
	require.ErrorContains(t, err, "zone C: ")
	require.ErrorContains(t, err, "otherwise: 120 lb/ac one of your own")
	require.NotContains(t, err.Error(), "zone A: ")

	r, err := rated(t, somePrices, method+", otherwise: 120 lb/ac", zonedTrial())
	require.NoError(t, err)
	whole, err := rated(t, somePrices, method+", otherwise: field", zonedTrial())
	require.NoError(t, err)
	one, err := rated(t, somePrices, strings.Replace(method, ", zone: Z", "", 1), zonedTrial())
	require.NoError(t, err)
	for i, z := range r.Result.Zones {
		w := whole.Result.Zones[i]
		if z.ID == "A" || z.ID == "D" {
			require.InDelta(t, 150, z.Rate.LbNPerAcre(), 40)
			require.Equal(t, z.Rate, w.Rate, "a zone with a curve has its own rate")
			continue
		}
		require.InDelta(t, 120, z.Rate.LbNPerAcre(), 1e-9, z.ID)
		require.Contains(t, z.Reasons[0], "120.0 lb N/ac is the rate that the job gives to zones without a curve")
		require.Contains(t, strings.Join(r.Notes, "\n"), z.Reasons[0])
		require.Equal(t, one.Result.Zones[i].Rate, w.Rate, z.ID)
		require.Contains(t, w.Reasons[0], "the rate is that of one curve for all plots of the trial")
	}

	require.Contains(t, strings.Join(r.Result.Findings, "\n"), "in the zones with a curve of their own, rates by zone bring")

	three := map[string]string{"t.csv": strings.ReplaceAll(zonedTrial()["t.csv"], ",D\n", ",A\n")}
	_, err = rated(t, somePrices, method, three)
	require.ErrorContains(t, err, "zone D is not in the trial, whose zones are [A B C]")
	r, err = rated(t, somePrices, method+", otherwise: 100 lb/ac", three)
	require.NoError(t, err)
	require.InDelta(t, 100, r.Result.Zones[3].Rate.LbNPerAcre(), 1e-9)

	for otherwise, want := range map[string]string{"100": "is none of them", "none": "is none of them", "10 gal/ac": "is none of them", "1200 lb/ac": "above any rate of nitrogen to corn"} {
		_, err = rated(t, somePrices, method+", otherwise: "+otherwise, zonedTrial())
		require.ErrorContains(t, err, want)
	}
	_, err = rated(t, somePrices, strings.Replace(method, ", zone: Z", "", 1)+", otherwise: field", zonedTrial())
	require.ErrorContains(t, err, "there is no curve for each zone")
}

// A plot that cannot be is named by its line in its file, and so is one without zone or site.
func TestPlotsAtFaultAreNamedByTheirLine(t *testing.T) {
	const (
		zoned = "method: response, model: quadratic, trial: {file: t.csv, columns: {n_rate: N, yield: Y, zone: Z}, units: {n_rate: lb/ac, yield: bu/ac}}"
		sited = "method: mean-return, trials: {file: t.csv, columns: {n_rate: N, yield: Y, site: Z}, units: {n_rate: lb/ac, yield: bu/ac}}"
	)
	for _, c := range []struct{ method, old, new, want string }{
		{zoned, "50,180,B\n", ",5,B\n50,999,B\n", "t.csv: line 14: has a yield of 999 bu/ac, which is not possible"},
		{zoned, "50,180,B\n", "50,180,\n", "t.csv: line 13: has no zone"},
		{sited, "50,180,B\n", "50,180,\n", "t.csv: line 13: has no site"},
		{sited, "50,180,B\n", "50,999,B\n", "t.csv: line 13: has a yield of 999 bu/ac, which is not possible"},
		{zoned, "50,180,B\n", "50,180,BB\n", "t.csv: line 13: zone BB is none of the field, which has zones A, B, C, D; name the trial's zones as the field's"},
	} {
		text := zonedTrial()["t.csv"]
		require.Contains(t, text, c.old)
		_, err := rated(t, somePrices, c.method, map[string]string{"t.csv": strings.Replace(text, c.old, c.new, 1)})
		require.ErrorContains(t, err, c.want)
	}
	for _, method := range []string{zoned, sited} {
		for rows, want := range map[string]string{"": "none of its 0 plots", "0,,A\n,180,A\n": "none of its 2 plots"} {
			_, err := rated(t, somePrices, method, map[string]string{"t.csv": "N,Y,Z\n" + rows})
			require.ErrorContains(t, err, "t.csv: "+want+" has a rate and a yield; name a file")
		}
	}
}

// Corn does not come up before it is planted.
func TestACropThatEmergedBeforeItWasPlanted(t *testing.T) {
	_, err := trialJob(t, "weather: {file: w.dly}\ncrop: {planted: 2026-05-01, emerged: 2026-04-12}", everyMethod()["iowa"], nil)
	require.ErrorContains(t, err, "crop: emerged on 2026-04-12, before it was planted on 2026-05-01")
}

// A curve names what its trial did, in words, on the page and in rates.json, or that it is
// not stated; so does the page of what would change the rate.
func TestThePageNamesThePracticeAndWhatChangesTheRate(t *testing.T) {
	for name, practice := range map[string]string{
		"UAN 32, coulter, 5 June":    ", practice: {form: UAN 32, placement: coulter, date: 5 June}",
		"of which nothing is stated": "",
	} {
		for _, method := range []string{"zones", "mean", "curve"} {
			r, err := rated(t, somePrices, everyMethod()[method]+practice, nil)
			require.NoError(t, err)
			page := written(t, r.Set)["rates.html"]
			require.Contains(t, page, name, method)
			require.Contains(t, page, "What would change the rate most", method)
			require.Contains(t, page, "price of nitrogen", method)
			require.Contains(t, strings.Join(r.Result.Zones[0].Reasons, "\n"), name, method)
			doc := tree(t, written(t, r.Set)["rates.json"])
			require.Equal(t, practice == "", doc["practice"] == nil, method)
		}
	}
	r, err := rated(t, "units: us", everyMethod()["organic matter"], nil)
	require.NoError(t, err)
	page := written(t, r.Set)["rates.html"]
	for _, what := range []string{"expected yield", "nitrate-N in the soil", "organic matter"} {
		require.Contains(t, page, what)
	}
}

// A pH of 65 is 6.5 without its point; samples far from the field and without a value are
// counted and left out.
func TestSamplesThatCannotBe(t *testing.T) {
	zones := func(value string) string {
		return "zones: {file: zones.geojson, id: ZONE, samples: [{file: s.csv, columns: {lon: LON, lat: LAT, value: " + value + "}, name: FROM_S}]}"
	}
	middle := middleOfField(t)
	var b strings.Builder
	b.WriteString("LON,LAT,PH,OM\n")
	for i := range 6 {
		fmt.Fprintf(&b, "%.6f,%.6f,%g,%g\n", middle[0]+0.0004*float64(i%3), middle[1]+0.0004*float64(i/3), 6.1+0.1*float64(i), 2+0.1*float64(i))
	}
	b.WriteString("-90,45,6.5,3\n")
	fmt.Fprintf(&b, "%.6f,%.6f,65,\n", middle[0], middle[1]-0.0004)
	const rate = `method: organic-matter, yield: 200 bu/ac, nitrate: 3 ppm, organic_matter: {column: FROM_S, unit: "%"}`
	_, err := rated(t, zones("PH"), rate, map[string]string{"s.csv": b.String()})
	require.ErrorContains(t, err, "line 9: a pH of 65 cannot be")
	r, err := rated(t, zones("OM"), rate, map[string]string{"s.csv": b.String()})
	require.NoError(t, err)
	notes := strings.Join(r.Notes, "\n")
	require.Contains(t, notes, "1 sample lies more than 50 m from the field and is left out: line 8")
	require.Contains(t, notes, "1 sample has no value and is left out: line 9")
}

// A sample that no soil can have is refused with its line: by what the rate takes its column
// for, whatever the name, and by the name, whatever it is for.
func TestSamplesOfEveryPropertyAreHeldToWhatSoilsHave(t *testing.T) {
	middle := middleOfField(t)
	file := func(good, odd float64) map[string]string {
		var b strings.Builder
		b.WriteString("LON,LAT,V\n")
		for i := range 6 {
			fmt.Fprintf(&b, "%.6f,%.6f,%g\n", middle[0]+0.0004*float64(i%3), middle[1]+0.0004*float64(i/3), good+0.001*float64(i))
		}
		fmt.Fprintf(&b, "%.6f,%.6f,%g\n", middle[0], middle[1]-0.0004, odd)
		return map[string]string{"s.csv": b.String()}
	}
	const (
		organic = `method: organic-matter, yield: 200 bu/ac, nitrate: 3 ppm, organic_matter: {column: X, unit: "%"}`
		nitrate = `method: organic-matter, yield: 200 bu/ac, nitrate: {column: X, unit: ppm}, organic_matter: 3 %`
		other   = "method: nitrate-test, form: iowa, test: 12 ppm"
	)
	for _, c := range []struct {
		rate, name string
		good, odd  float64
		want       string
	}{
		{organic, "X", 3, 65, "line 8: organic matter of 65 % cannot be"},
		{organic, "X", 3, -3, "line 8: organic matter of -3 % cannot be"},
		{organic, "X", 3, 0.035, "such as 3.5 and not 0.035"},
		{nitrate, "X", 5, 400, "line 8: nitrate-N of 400 ppm cannot be: soils have 0 to 300 ppm; write it in ppm of nitrate-N and not in lb/ac"},
		{nitrate, "X", 5, -1, "line 8: nitrate-N of -1 ppm"},
		{other, "OM_SAMPLE", 3, 0.03, "line 8: organic matter of 0.03 %"},
		{other, "ORGANIC_MATTER", 3, 165, "line 8: organic matter of 165 %"},
		{other, "CEC", 15, -1, "line 8: a CEC of -1 meq/100 g"},
		{other, "BULK_DENSITY", 1.3, 1300, "line 8: a bulk density of 1300 g/cm3"},
		{other, "CLAY_S", 22, 220, "line 8: clay of 220 %"},
		{other, "NO3-N", 5, -5, "line 8: nitrate-N of -5 cannot be"},
		{other, "SOIL_PH", 6, 65, "line 8: a pH of 65 cannot be"},
	} {
		zones := "zones: {file: zones.geojson, id: ZONE, samples: [{file: s.csv, columns: {lon: LON, lat: LAT, value: V}, name: " + c.name + "}]}"
		_, err := rated(t, zones, c.rate, file(c.good, c.odd))
		require.ErrorContains(t, err, c.want, "%s %g", c.name, c.odd)
		_, err = rated(t, zones, c.rate, file(c.good, c.good+0.02))
		require.NoError(t, err, "%s %g", c.name, c.good)
	}
}

// A sample beside the field is used, for soil does not end at a boundary, and counted.
func TestSamplesBesideTheFieldAreCounted(t *testing.T) {
	j, err := trialJob(t, "units: us", everyMethod()["iowa"], nil)
	require.NoError(t, err)
	r, err := j.Rates("")
	require.NoError(t, err)
	b := r.Field.Boundary.Bound()
	at := func(x, y float64) orb.Point { return orb.Point(r.Field.Plane.Unproject(orb.Point{x, y})) }
	var text strings.Builder
	text.WriteString("LON,LAT,OM\n")
	for i, p := range []orb.Point{at(-50, -50), at(50, -50), at(-50, 50), at(50, 50), at(0, 0), at(b.Right()+30, 0)} {
		fmt.Fprintf(&text, "%.7f,%.7f,%g\n", p[0], p[1], 2+0.1*float64(i))
	}
	zones := "zones: {file: zones.geojson, id: ZONE, samples: [{file: s.csv, columns: {lon: LON, lat: LAT, value: OM}, name: OM_SAMPLE}]}"
	r, err = rated(t, zones, everyMethod()["iowa"], map[string]string{"s.csv": text.String()})
	require.NoError(t, err)
	require.Contains(t, strings.Join(r.Notes, "\n"), "1 sample lies outside the field, within 50 m of it, and is used: line 7")
}

// middleOfField is a place in the made-up field.
func middleOfField(t *testing.T) orb.Point {
	t.Helper()
	j, err := trialJob(t, "units: us", everyMethod()["iowa"], nil)
	require.NoError(t, err)
	r, err := j.Rates("")
	require.NoError(t, err)
	return orb.Point(r.Field.Plane.Origin())
}

// soilTables is a small survey whose unit D has no component.
func soilTables(ph string) map[string]string {
	return map[string]string{
		"soil/mapunit.csv":   "musym,muname,mukey\n1,a,A\n2,b,B\n3,c,C\n4,d,D\n",
		"soil/component.csv": "comppct_r,compname,drainagecl,hydgrp,mukey,cokey\n100,a,Well drained,B,A,1\n100,b,Well drained,B,B,2\n100,c,Well drained,B,C,3\n",
		"soil/chorizon.csv": "hzname,hzdept_r,hzdepb_r,om_l,om_r,om_h,sandtotal_r,silttotal_r,claytotal_r,ph1to1h2o_r,cec7_r,cokey\n" +
			"Ap,0,60,2,3,4,40,38,22,6.5,20,1\nAp,0,60,1,2,3,40,38,22," + ph + ",20,2\nAp,0,60,1,1,3,40,38,22,6.5,20,3\n",
	}
}

// A unit of the survey without components has no organic matter, and none is invented.
func TestASoilUnitWithoutComponentsHasNoRate(t *testing.T) {
	const (
		zones = "zones: {file: zones.geojson, id: ZONE, soil: {tables: soil, key: ZONE}}"
		rate  = `method: organic-matter, yield: 200 bu/ac, nitrate: 3 ppm, organic_matter: {column: OM_PCT, unit: "%"}`
	)
	_, err := rated(t, zones, rate, soilTables("6.5"))
	require.ErrorContains(t, err, "zone D")
	require.ErrorContains(t, err, "OM_PCT is empty")
	require.ErrorContains(t, err, "map unit 4: no component of it is in the survey, so nothing is known of its soil")
	require.NotContains(t, err.Error(), "map unit 1")
	_, err = rated(t, zones, rate, soilTables("65"))
	require.ErrorContains(t, err, "ph1to1h2o_r")
	r, err := rated(t, zones, everyMethod()["ohio"], soilTables("6.5"))
	require.NoError(t, err, "a rate that asks for no organic matter")
	require.Contains(t, strings.Join(r.Notes, "\n"), "no component of it is in the survey")
}
