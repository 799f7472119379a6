package job

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ratewright/cmd/ratewright/internal/demo"
)

// demoJob is the job of the made-up field with some of its lines changed, and more days of
// weather, in a folder of its own.
func demoJob(t *testing.T, days string, changes ...string) Job {
	t.Helper()
	dir := t.TempDir()
	files, err := demo.Files()
	require.NoError(t, err)
	for name, data := range files {
		text := string(data)
		if name == "weather.csv" {
			text += days
		}
		for i := 0; name == "job.yaml" && i < len(changes); i += 2 {
			require.Contains(t, text, changes[i])
			text = strings.ReplaceAll(text, changes[i], changes[i+1])
		}
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	j, err := Load(filepath.Join(dir, "job.yaml"))
	require.NoError(t, err)
	return j
}

// spring is weather from 1 January 2024 through a day of 2026 with so much rain on each day
// of that May, in.
func spring(through string, rain float64) string {
	last, err := time.Parse(time.DateOnly, through)
	if err != nil {
		panic(err)
	}
	var b strings.Builder
	for d := time.Date(2024, 1, 1, 0, 0, 0, 0, time.UTC); !d.After(last); d = d.AddDate(0, 0, 1) {
		in := 0.0
		if d.Year() == 2026 && d.Month() == time.May {
			in = rain
		}
		fmt.Fprintf(&b, "%s,70,50,%.2f\n", d.Format(time.DateOnly), in)
	}
	return b.String()
}

const observed = "  units: {temperature: F, rain: in}\n"

func planned(t *testing.T, j Job) Planned {
	t.Helper()
	p, err := Plan([]Job{j}, How{Workers: 1, NoPage: true})
	require.NoError(t, err)
	return p
}

// A wet spring that has been observed costs early ammonia its nitrate in every year that is
// compared; a dry one does not, and without the key neither is known.
func TestAPlanKnowsTheSpringSoFar(t *testing.T) {
	lost := func(p Planned) float64 {
		require.Equal(t, "ammonia before planting", p.Result.Input.Strategies[0].Name)
		first := p.Fields[0].Totals[0]
		return first.Lost.Denitrified + first.Lost.Leached
	}
	through := observed + "  through: 2026-05-31\n"
	wet := planned(t, demoJob(t, spring("2026-05-31", 0.6), observed, through))
	dry := planned(t, demoJob(t, spring("2026-05-31", 0), observed, through))
	unknown := planned(t, demoJob(t, spring("2026-05-31", 0.6)))
	require.Greater(t, lost(wet), 2*lost(unknown))
	require.Less(t, lost(dry), lost(unknown))
	require.Contains(t, strings.Join(wet.Notes, "\n"), "through 2026-05-31, are observed weather")
	require.NotContains(t, strings.Join(unknown.Notes, "\n"), "observed weather")
	for _, y := range wet.Result.Input.Stations[0].Years {
		for _, d := range y.Days {
			require.Equal(t, d.Date.Format(time.DateOnly) <= "2026-05-31", d.Record.Equal(d.Date), "%s", d.Date)
		}
	}
}

func TestTheSpringSoFarMustBeInTheFile(t *testing.T) {
	j := demoJob(t, spring("2026-05-10", 0), observed, observed+"  through: 2026-05-31\n")
	_, err := Plan([]Job{j}, How{Workers: 1, NoPage: true})
	require.ErrorContains(t, err, "the observed weather ends before 2026-05-31")

	late := planned(t, demoJob(t, "", observed, observed+"  through: 2022-05-31\n"))
	require.Contains(t, strings.Join(late.Notes, "\n"), "the weather through 2022-05-31 is not that of the season, whose days count from 2026-02-13")
}

// Fields that are planned together know the same spring.
func TestFieldsKnowTheSameSpring(t *testing.T) {
	days := spring("2026-05-31", 0)
	a := demoJob(t, days, observed, observed+"  through: 2026-05-31\n")
	b := demoJob(t, days, "name: Heron Bend", "name: Second Bend")
	_, err := Plan([]Job{a, b}, How{Workers: 1, NoPage: true})
	require.ErrorContains(t, err, "weather of this year")
}

// One file that two jobs read in other units is two records.
func TestOneFileInTwoUnitsIsTwoRecords(t *testing.T) {
	a, b := demoJob(t, ""), demoJob(t, "", "name: Heron Bend", "name: Second Bend", "rain: in", "rain: mm")
	b.Weather.File = a.Weather.File
	p, err := Plan([]Job{a, b}, How{Workers: 1, NoPage: true})
	require.NoError(t, err)
	require.Len(t, p.Result.Input.Stations, 2)
	alone := planned(t, b)
	require.InDelta(t, alone.Fields[0].Totals[0].Left, p.Fields[1].Totals[0].Left, 1e-9)
}

// Through its last day the course of a year is that of its own weather, so that years and
// actual are one; a day before the course begins, the key changes nothing but a note.
func TestLossesKnowTheSpringSoFar(t *testing.T) {
	units := "  units: {temperature: F, rain: in}\n"
	days := func(through string) []any {
		j := followedJob(t, units, units+"  through: "+through+"\n")
		_, doc := followed(t, j, "sidedress")
		zone := doc["applications"].([]any)[0].(map[string]any)["zones"].([]any)[0].(map[string]any)
		return zone["days"].([]any)
	}
	whole := days("2026-07-15")
	for _, d := range whole {
		day := d.(map[string]any)
		years, actual := day["years"].(map[string]any), day["actual"].(map[string]any)
		for key, v := range actual {
			if key == "still_there_kg_ha" || strings.HasSuffix(key, "_kg_ha") && !strings.Contains(key, "drawn") {
				require.InDelta(t, v, years[key], 1e-9, "%s", key)
			}
		}
	}
	first := func(list []any, until int) (sum float64) {
		for _, d := range list[:until] {
			sum += d.(map[string]any)["years"].(map[string]any)["still_there_kg_ha"].(float64)
		}
		return sum
	}
	half, none := days("2026-06-20"), days("2026-01-02")
	require.InDelta(t, first(whole, 14), first(half, 14), 1e-9)
	require.NotEqual(t, first(whole, 14), first(none, 14))
	require.NotEqual(t, first(whole, len(whole)), first(half, len(half)))
}

// A trip long after planting is planned like others: the crop is followed from planting.
func TestATripLongAfterPlanting(t *testing.T) {
	j := demoJob(t, "", "date: 2026-06-05, share", "date: 2026-07-03, share", "date: 2026-06-05}\nstrategies", "date: 2026-07-02}\nstrategies",
		"until: V12", "until: 2026-07-10", "supply:\n  uan-32: 18 ton\n  anhydrous-ammonia: 4 ton\nwork:\n  spreader: {available: 1 day, rate: 30 ac/day}", "", ", work: spreader", "")
	j.Strategies = j.Strategies[2:]
	j.Strategies[0].Trips = j.Strategies[0].Trips[1:]
	require.Len(t, planned(t, j).Fields[0].Totals, 1)
}

func TestAPlanTellsWhatItsMoneyRestsOn(t *testing.T) {
	bounds := "lowest: 0 lb/ac, highest: 240 lb/ac}"
	tested := planned(t, demoJob(t, "", bounds, "lowest: 0 lb/ac, highest: 120 lb/ac}"))
	require.Regexp(t, `the choice gives more than 120.0 lb N/ac, the highest rate that the curve was tested at, .*: zones A, B, C, D`, strings.Join(tested.Notes, "\n"))
	require.NotContains(t, strings.Join(planned(t, demoJob(t, "")).Notes, "\n"), "tested at")

	j := demoJob(t, "")
	j.Prices, j.Plan.Response, j.Plan.Practice = nil, nil, nil
	require.Contains(t, strings.Join(planned(t, j).Notes, "\n"), "the job has no prices: costs are those of the trips alone")
}

// What more of a field's total would be worth is asked of so much that a zone can take it.
func TestMoreOfAFieldsTotalIsAStep(t *testing.T) {
	p := planned(t, demoJob(t, "", "most: 240 lb/ac", "most: 240 lb/ac\n  field_most: 100 lb/ac"))
	for k, l := range p.Result.Input.Limits {
		if l.Field != "" {
			require.Greater(t, p.Choice.Worth[k].Dollars, 0.0)
			return
		}
	}
	require.Fail(t, "no total")
}
