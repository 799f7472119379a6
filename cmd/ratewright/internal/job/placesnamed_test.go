package job

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/vector"
)

// lineWith is the line of a job file that first holds a text.
func lineWith(t *testing.T, j Job, text string) string {
	t.Helper()
	data, err := os.ReadFile(j.Path)
	require.NoError(t, err)
	for i, line := range strings.Split(string(data), "\n") {
		if strings.Contains(line, text) {
			return fmt.Sprintf("line %d", i+1)
		}
	}
	require.Fail(t, "no line has "+text)
	return ""
}

// loadedWith is what a change makes of the demo's job when it is read.
func loadedWith(t *testing.T, is, becomes string) (Job, error) {
	t.Helper()
	j := demoJob(t, "")
	data, err := os.ReadFile(j.Path)
	require.NoError(t, err)
	require.Contains(t, string(data), is)
	require.NoError(t, os.WriteFile(j.Path, []byte(strings.Replace(string(data), is, becomes, 1)), 0o600))
	changed, err := Load(j.Path)
	if err != nil {
		return j, err
	}
	return changed, nil
}

// What a plan cannot follow is told with the line of the job that says it.
func TestErrorsOfAPlanNameTheirLine(t *testing.T) {
	const ammonia, urea, practice = "{name: preplant, source: anhydrous-ammonia", "{name: urea, source: urea", "  practice: {source: uan-32"
	for name, c := range map[string]struct {
		change    [2]string
		line      string
		what, fix string
	}{
		"after the day looked at":      {[2]string{"until: V12", "until: 2026-05-01"}, urea, "application urea is on 2026-05-12, after 2026-05-01, by which its nitrogen should be there", "later day under plan: until"},
		"the practice after that day":  {[2]string{"depth: 4 in, date: 2026-06-05}\nstrategies", "depth: 4 in, date: 2026-07-20}\nstrategies"}, practice, "application uan-32 is on 2026-07-20, after 2026-07-04", "correct the date"},
		"ammonia on the surface":       {[2]string{"placement: knife, depth: 7 in", "placement: broadcast"}, ammonia, "application preplant: Anhydrous ammonia is broadcast, but ammonia is a gas", ""},
		"deeper than any tool":         {[2]string{"placement: knife, depth: 7 in", "placement: knife, depth: 7 ft"}, ammonia, "application preplant: Anhydrous ammonia: a depth of 84 in", ""},
		"a depth on the surface":       {[2]string{"source: urea, placement: broadcast", "source: urea, placement: broadcast, depth: 2 in"}, urea, "application urea: Urea is broadcast, which lies on the surface, but has a depth of 2 in", ""},
		"tilled before it is there":    {[2]string{"date: 2026-05-12", "incorporate: {date: 2026-04-20, depth: 3 in}, date: 2026-04-25"}, urea, "application urea: Urea is worked in on 2026-04-20, before it is applied on 2026-04-25", ""},
		"the practice's depth":         {[2]string{"  practice: {source: uan-32, placement: coulter, depth: 4 in", "  practice: {source: uan-32, placement: coulter, depth: 4 m"}, practice, "application uan-32: UAN 32: a depth of 157.5 in", ""},
		"a rate that nobody puts down": {[2]string{"rate: 30 lb/ac", "rate: 3000 lb/ac"}, "{name: starter", "application starter: a rate of 3000 lb N/ac (3363 kg N/ha) cannot be", ""},
		"fall in spring":               {[2]string{"date: 2026-04-14", "season: fall, date: 2026-04-14"}, ammonia, "application preplant is on 2026-04-14, which is no fall before planting on 2026-04-28", "leave season out"},
		"worked into standing corn":    {[2]string{"source: urea, placement: broadcast", "source: urea, placement: incorporated, depth: 2 in"}, urea, "application urea is worked into the ground on 2026-05-12, after planting on 2026-04-28", "correct the date or the placement"},
		"tilled where corn stands":     {[2]string{"date: 2026-05-12", "incorporate: {date: 2026-05-13, depth: 3 in}, date: 2026-05-12"}, urea, "application urea is worked in on 2026-05-13, after planting on 2026-04-28", "leave incorporate out"},
		"spring in fall":               {[2]string{"date: 2026-04-14", "season: spring, date: 2025-11-10"}, ammonia, "application preplant is on 2025-11-10, which is no spring before planting on 2026-04-28", "leave season out"},
	} {
		j := demoJob(t, "", c.change[0], c.change[1])
		_, err := Plan([]Job{j}, How{Workers: 1, NoPage: true})
		var input *vector.InputError
		require.True(t, errors.As(err, &input), "%s: %v", name, err)
		require.Equal(t, j.Path, input.File, name)
		require.Equal(t, lineWith(t, j, c.line), input.Place, name)
		require.Contains(t, input.What, c.what, name)
		require.Contains(t, input.Fix, c.fix, name)
	}
	for name, c := range map[string]struct{ is, becomes, line, what string }{
		"an end before all of it": {"until: V12", "until: 1900-01-01", ammonia, "application preplant is on 2026-04-14, after 1900-01-01"},
		"supply without end":      {"uan-32: 18 ton", "uan-32: 1e300 ton", "uan-32: 1e300 ton", "supply of uan-32 is more than there is"},
		"work without end":        {"available: 1 day,", "available: 1e300 days,", "available: 1e300", "work spreader is available for longer than there is time"},
	} {
		j := demoJob(t, "", c.is, c.becomes)
		_, err := Plan([]Job{j}, How{Workers: 1, NoPage: true})
		var input *vector.InputError
		require.True(t, errors.As(err, &input), "%s: %v", name, err)
		require.Equal(t, lineWith(t, j, c.line), input.Place, name)
		require.Contains(t, input.What, c.what, name)
	}
	// A fall and a spring that agree with the dates are taken.
	planned(t, demoJob(t, "", "date: 2026-04-14", "season: fall, date: 2025-11-10"))
	planned(t, demoJob(t, "", "date: 2026-04-14", "season: spring, date: 2026-04-14"))
}

// So are the dates of losses.
func TestDatesOfLossesAreOfTheCrop(t *testing.T) {
	const preplant, sidedress = "- name: preplant", "- name: sidedress"
	const when, later = "    date: 2026-04-20\n", "    placement: dribbled\n    date: 2026-06-05\n"
	for name, c := range map[string]struct {
		change     [2]string
		line, what string
	}{
		"after the harvest":        {[2]string{later, "    placement: dribbled\n    date: 2026-11-20\n"}, sidedress, "application sidedress is on 2026-11-20, more than 180 days after planting: the crop is harvested by then"},
		"before the crop before":   {[2]string{when, "    date: 2025-07-20\n"}, preplant, "application preplant is on 2025-07-20, more than 270 days before planting on 2026-05-02"},
		"sidedress before corn":    {[2]string{when, when + "    season: sidedress\n"}, preplant, "application preplant is on 2026-04-20, its season is sidedress, and planting is on 2026-05-02"},
		"spring after planting":    {[2]string{later, later + "    season: spring\n"}, sidedress, "application sidedress is on 2026-06-05, its season is spring"},
		"fall in spring":           {[2]string{when, when + "    season: fall\n"}, preplant, "which is no fall before planting on 2026-05-02"},
		"ammonia on top":           {[2]string{"    placement: knife\n    depth: 7 in\n", "    placement: broadcast\n"}, preplant, "application preplant: Anhydrous ammonia is broadcast, but ammonia is a gas"},
		"a course without end":     {[2]string{"loss: {until: 2026-07-15}", "loss: {until: 2029-05-01}"}, "loss: {until", "application sidedress is applied on 2026-06-05, and loss: until 2029-05-01 is too long after it"},
		"worked in before it lies": {[2]string{when, "    date: 2026-04-20\n    incorporate: {date: 2026-04-18, depth: 3 in}\n"}, preplant, "application preplant: Anhydrous ammonia is worked in on 2026-04-18, before it is applied on 2026-04-20"},
	} {
		j := followedJob(t, c.change[0], c.change[1])
		_, err := j.Loss("")
		var input *vector.InputError
		require.True(t, errors.As(err, &input), "%s: %v", name, err)
		require.Equal(t, j.Path, input.File, name)
		require.Equal(t, lineWith(t, j, c.line), input.Place, name)
		require.Contains(t, input.What, c.what, name)
	}
}

// What a zone's soil cannot be is told with the file and the zone, in losses and in a plan.
func TestErrorsOfAZonesSoilNameIt(t *testing.T) {
	for _, c := range []struct{ is, becomes, what, fix string }{
		{`"DRAINAGE":"poorly drained"`, `"DRAINAGE":"soggy"`, `the drainage class "soggy" is not known`, "write one of USDA's"},
		{`"HYDGRP":"C/D"`, `"HYDGRP":"E"`, `the hydrologic group "E" is not known`, "write A, B, C or D"},
		{`"PH":6.9`, `"PH":69`, "a soil pH of 69 cannot be", "give the pH in water"},
	} {
		j := followedJob(t)
		zones := filepath.Join(filepath.Dir(j.Path), "zones.geojson")
		data, err := os.ReadFile(zones)
		require.NoError(t, err)
		require.Contains(t, string(data), c.is)
		require.NoError(t, os.WriteFile(zones, []byte(strings.ReplaceAll(string(data), c.is, c.becomes)), 0o600))
		_, err = j.Loss("")
		var input *vector.InputError
		require.True(t, errors.As(err, &input), "%v", err)
		require.Equal(t, "zones.geojson", filepath.Base(input.File))
		require.Equal(t, "zone B", input.Place)
		require.Contains(t, input.What, c.what)
		require.Contains(t, input.Fix, c.fix)
	}
}

// What only the guards ask for is held to what can be where the job is read, in words of
// what it is.
func TestWhatGuardsAskForIsCheckedWhereItIsRead(t *testing.T) {
	for text, what := range map[string]string{
		"spacing: 0 in":      "spacing of 0 in cannot be; write a distance such as 30 in",
		"spacing: 300 ft":    "spacing of 300 ft cannot be",
		"rows: 1 in":         "rows of 1 in cannot be",
		"offset: -3 in":      "offset of -3 in cannot be; write how far the nearest band lies from the row",
		"rain_ahead: -1 in":  "rain_ahead of -1 in cannot be; write the rain in sight",
		"rain_ahead: 900 in": "rain_ahead of 900 in cannot be",
	} {
		j, err := loadedWith(t, "depth: 7 in, date", "depth: 7 in, "+text+", date")
		require.ErrorContains(t, err, what)
		require.ErrorContains(t, err, lineWith(t, j, text)+":")
	}
}

// The end of a plan is a date or a stage, and both are offered.
func TestTheEndOfAPlanIsADateOrAStage(t *testing.T) {
	for _, by := range []string{"V0", "V25", "R1", "2026-02-30"} {
		_, err := loadedWith(t, "until: V12", "until: "+by)
		require.ErrorContains(t, err, fmt.Sprintf("plan: until: %q is neither a date nor a stage; write a date such as 2026-07-01, or a growth stage from V1 to V18", by))
	}
}

// A record without a whole season names its file once.
func TestARecordWithoutASeasonNamesItsFileOnce(t *testing.T) {
	j := demoJob(t, "")
	file := filepath.Join(filepath.Dir(j.Path), "weather.csv")
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	lines := strings.Split(string(data), "\n")
	require.NoError(t, os.WriteFile(file, []byte(strings.Join(append(lines[:1:1], lines[150:160]...), "\n")+"\n"), 0o600))
	_, err = Plan([]Job{j}, How{Workers: 1, NoPage: true})
	require.ErrorContains(t, err, "no year of the record covers")
	require.Equal(t, 1, strings.Count(err.Error(), "weather.csv"))
	require.Equal(t, 1, strings.Count(err.Error(), "; give"))
}

// Faults of one line stand in one order: the same job is refused in the same words.
func TestRatesThatCannotBeAreRefusedInOneOrder(t *testing.T) {
	const text = "field: {name: F, boundary: b.geojson}\nplan: {until: 2026-07-01, most: 5000 lb/ac, field_most: 6000 lb/ac}\n"
	for range 20 {
		_, err := Decode("job.yaml", []byte(text))
		require.ErrorContains(t, err, "line 2: plan: most: a rate of 5000")
		require.Regexp(t, `(?s)plan: most: a rate of.*plan: field_most: a rate of`, err.Error())
	}
}

// What a plan is made from is held to what can be where it is read.
func TestAPlansNumbersAreCheckedWhereTheyAreRead(t *testing.T) {
	const urea = "    applications:\n      - {name: urea, source: urea, placement: broadcast, date: 2026-05-12, inhibitor: urease, share: 100 %, cost: 8 $/ac, work: spreader}"
	for _, c := range []struct{ is, becomes, line, what string }{
		{"most: 240 lb/ac", "most: 5000 lb/ac", "most: 5000", "plan: most: a rate of 5000 lb N/ac (5604 kg N/ha) cannot be"},
		{"most: 240 lb/ac", "most: 240 lb/ac\n  field_most: 1e300 lb/ac", "field_most", "plan: field_most: a rate of"},
		{urea, "    applications: []", "applications: []", "strategy urea after planting has no application; list what is applied"},
		{"urea: 540 $/ton", "ureas: 540 $/ton", "ureas: 540", `unknown source "ureas" in prices: sources; did you mean "urea"?`},
		{"uan-32: 340 $/ton", "uan-32: 340 $/ton, UAN 32: 350 $/ton", "UAN 32: 350", "prices: sources: two prices of uan-32; keep one of them"},
	} {
		j, err := loadedWith(t, c.is, c.becomes)
		require.ErrorContains(t, err, c.what)
		require.ErrorContains(t, err, lineWith(t, j, c.line)+":")
	}
	for _, c := range []struct{ is, becomes, line, what string }{
		{"corn: 4.30 $/bu", "corn: 1e300 $/bu", "plan:", "give a number between"},
		{"  uan-32: 18 ton\n", "  uan-32: 18 ton\n  UAN 32: 3 ton\n", "UAN 32: 3 ton", "supply of uan-32 is given twice"},
	} {
		j, err := loadedWith(t, c.is, c.becomes)
		require.NoError(t, err)
		_, err = Plan([]Job{j}, How{Workers: 1, NoPage: true})
		require.ErrorContains(t, err, c.what)
		require.ErrorContains(t, err, j.Path+": ")
	}
}

// A source is the same however its name is written: its price and its supply hold.
func TestASourceIsOneHoweverItIsWritten(t *testing.T) {
	plain, err := loadedWith(t, "units: us", "units: us")
	require.NoError(t, err)
	written, err := loadedWith(t, "sources: {uan-32: 340 $/ton", "sources: {UAN 32: 340 $/ton")
	require.NoError(t, err)
	supply, err := loadedWith(t, "  uan-32: 18 ton\n", "  UAN 32: 18 ton\n")
	require.NoError(t, err)
	want := planned(t, plain)
	for _, j := range []Job{written, supply} {
		got := planned(t, j)
		require.Equal(t, want.Choice.Value, got.Choice.Value)
		require.Equal(t, want.Choice.Used, got.Choice.Used)
		require.Equal(t, want.Fields[0].Totals[2].Cost, got.Fields[0].Totals[2].Cost)
	}
}

// One zone's cover written as a share among others in percent is told, not taken in silence.
func TestACoverBelowOnePercentIsTold(t *testing.T) {
	j := followedJob(t)
	zones := filepath.Join(filepath.Dir(j.Path), "zones.geojson")
	data, err := os.ReadFile(zones)
	require.NoError(t, err)
	f, err := j.Loss("sidedress")
	require.NoError(t, err)
	require.NotContains(t, strings.Join(f.Notes, "\n"), "residue cover counts percent")
	require.NoError(t, os.WriteFile(zones, []byte(strings.ReplaceAll(string(data), `"RES_PCT":65`, `"RES_PCT":0.65`)), 0o600))
	f, err = j.Loss("sidedress")
	require.NoError(t, err)
	require.Contains(t, strings.Join(f.Notes, "\n"), "losses: residue cover counts percent, and is next to none at 0.65 % on A: write 30 for 30 %, not 0.3")
}

// An inhibitor of what a source does not hold is told.
func TestAnInhibitorOfNothingIsTold(t *testing.T) {
	for _, c := range []struct {
		application, is, becomes string
		told                     bool
	}{
		{"preplant", "    placement: knife\n", "    placement: knife\n    inhibitor: urease\n", true},
		{"preplant", "    placement: knife\n", "    placement: knife\n    inhibitor: both\n", true},
		{"preplant", "    placement: knife\n", "    placement: knife\n    inhibitor: nitrification\n", false},
		{"sidedress", "    placement: dribbled\n", "    placement: dribbled\n    inhibitor: both\n", false},
	} {
		f, err := followedJob(t, c.is, c.becomes).Loss(c.application)
		require.NoError(t, err)
		require.Equal(t, c.told, strings.Contains(strings.Join(f.Notes, "\n"), "a urease inhibitor slows urea down, and Anhydrous ammonia holds none"), c.becomes)
	}
}

// An inhibitor written by its active is told what that slows down, not taken for none.
func TestAnInhibitorByItsActiveIsTold(t *testing.T) {
	for active, slows := range map[string]string{"NBPT": "urease", "nitrapyrin": "nitrification", "NBPT + DCD": "both"} {
		j, err := loadedWith(t, "inhibitor: urease", "inhibitor: "+active)
		require.ErrorContains(t, err, lineWith(t, j, "inhibitor: "+active)+":")
		require.ErrorContains(t, err, "inhibitor "+active+" is told by what it slows down; write inhibitor: "+slows)
	}
}
