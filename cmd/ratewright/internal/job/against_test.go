package job

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/rx/plan"
)

// ammoniaJob is a job of ammonia alone, two days before planting, with everything told that
// its guards ask for; its zones are compared at one rate, and so much may be put down.
func ammoniaJob(t *testing.T, compared, most, refuse string, changes ...string) Job {
	changes = append([]string{
		"depth: 7 in, date: 2026-04-14, inhibitor: nitrification, share: 100 %, cost: 15 $/ac}",
		"depth: 6 in, date: 2026-04-26, share: 100 %, spacing: 30 in, angle: 45, slot: closed, dug: yes, offset: 0 in}",
		"most: 240 lb/ac", "most: " + most,
		"supply:\n  uan-32: 18 ton\n  anhydrous-ammonia: 4 ton\n", "target: {table: {A: " + compared + ", B: " + compared + ", C: " + compared + ", D: " + compared + "}, unit: lb/ac, of: nitrogen}\n",
		"work:\n  spreader: {available: 1 day, rate: 30 ac/day}", refuse,
		", work: spreader", "",
	}, changes...)
	j := demoJob(t, "", changes...)
	j.Strategies = j.Strategies[:1]
	return j
}

const refuseRate = "accept: {refuse: [ammonia-rate]}"

// The guards look at what is chosen, be it more than what is compared or less.
func TestGuardsJudgeTheChosenRate(t *testing.T) {
	p := planned(t, ammoniaJob(t, "60", "240 lb/ac", refuseRate))
	require.Greater(t, p.Choice.Zones[0].Rate.LbNPerAcre(), 150.0)
	require.Contains(t, strings.Join(p.Beyond, "\n"), "ammonia-rate: preplant of ammonia before planting on Heron Bend, zones A, B, C, D")
	p = planned(t, ammoniaJob(t, "180", "240 lb/ac\n  field_most: 60 lb/ac", refuseRate))
	require.Less(t, p.Choice.Zones[0].Rate.LbNPerAcre(), 100.0)
	require.Empty(t, p.Beyond)
}

// Each field has what its own job refuses and tells.
func TestWhatAFieldRefusesIsItsOwn(t *testing.T) {
	a := ammoniaJob(t, "180", "240 lb/ac", "")
	b := ammoniaJob(t, "180", "240 lb/ac", refuseRate, "name: Heron Bend", "name: Second Bend")
	p, err := Plan([]Job{a, b}, How{Workers: 1, NoPage: true})
	require.NoError(t, err)
	require.Len(t, p.Beyond, 1)
	require.Contains(t, p.Beyond[0], "on Second Bend")

	silent := ammoniaJob(t, "180", "240 lb/ac", "", "name: Heron Bend", "name: Second Bend", "slot: closed, ", "")
	p, err = Plan([]Job{a, silent}, How{Workers: 1, NoPage: true})
	require.NoError(t, err)
	asked := 0
	for _, w := range p.Against {
		if strings.Contains(w.Words, "whether the slot behind") {
			require.Equal(t, "Second Bend", w.Field)
			asked++
		}
	}
	require.Equal(t, 1, asked)
}

// What a zone does not tell stays unknown to guards, whatever stands in for its water.
func TestGuardsDoNotGuessTheSoil(t *testing.T) {
	j := demoJob(t, "")
	ground, err := j.Open()
	require.NoError(t, err)
	told, err := j.groundsOf(ground.Zones)
	require.NoError(t, err)
	require.Equal(t, "coarse", told.texture[2])
	require.Equal(t, told.sites[1].Cover, *told.cover[1])

	zones := slices.Clone(ground.Zones)
	for i := range zones {
		zones[i].Attributes = nil
	}
	silent, err := j.groundsOf(zones)
	require.NoError(t, err)
	require.Equal(t, "medium", silent.soils[2].Group)
	require.Empty(t, silent.texture[2])
	require.Nil(t, silent.cover[1])
}

// What is worked in on the day does not stay on the surface; a day later it has.
func TestGuardsKnowWhatIsWorkedIn(t *testing.T) {
	warned := func(day string) bool {
		p := planned(t, demoJob(t, "", "date: 2026-05-12, inhibitor: urease, share", "date: 2026-04-20, incorporate: {date: "+day+", depth: 3 in}, share"))
		return slices.ContainsFunc(p.Against, func(w plan.AgainstJSON) bool { return w.Strategy == "urea after planting" && w.Key == "surface-urea" })
	}
	require.False(t, warned("2026-04-20"))
	require.True(t, warned("2026-04-22"))
}

// A date of the year before, in an application or in the practice of the trial, is a slip.
func TestDatesAreOfTheCrop(t *testing.T) {
	for _, change := range [][2]string{{"depth: 4 in, date: 2026-06-05}\nstrategies", "depth: 4 in, date: 2025-06-05}\nstrategies"}, {"date: 2026-04-14", "date: 2025-04-14"}} {
		_, err := Plan([]Job{demoJob(t, "", change[0], change[1])}, How{Workers: 1, NoPage: true})
		require.ErrorContains(t, err, "more than 270 days before planting on 2026-04-28")
	}
	planned(t, demoJob(t, "", "date: 2026-04-14", "date: 2025-11-10"))
}

// The rates of a plan are steps added up: nine of 10 lb/ac are the 90 lb/ac that small corn
// stands, and ten are above it.
func TestARateOfStepsIsJudgedAsItsSum(t *testing.T) {
	for most, level := range map[string]string{"90 lb/ac": "note", "100 lb/ac": "warn"} {
		j := demoJob(t, "", "source: urea, placement: broadcast, date: 2026-05-12, inhibitor: urease", "source: uan-32, placement: broadcast, date: 2026-05-20, atrazine: no",
			"most: 240 lb/ac", "most: "+most, "  uan-32: 18 ton\n", "")
		p := planned(t, j)
		n := 0
		for _, w := range p.Against {
			if w.Strategy == "urea after planting" && w.Key == "uan-over-corn" {
				require.Equal(t, level, w.Level, w.Words)
				n++
			}
		}
		require.Positive(t, n)
	}
}

// Each field's stage of the crop is by the models that its own job names.
func TestAFieldsStageIsByItsOwnModels(t *testing.T) {
	change := []string{"source: urea, placement: broadcast, date: 2026-05-12, inhibitor: urease", "source: uan-32, placement: broadcast, date: 2026-06-05, atrazine: no", "  uan-32: 18 ton\n", "", "until: V12", "until: 2026-07-04"}
	stage := func(of string, jobs ...Job) string {
		p, err := Plan(jobs, How{Workers: 1, NoPage: true})
		require.NoError(t, err)
		for _, w := range p.Against {
			if w.Field == of && w.Key == "uan-over-corn" {
				_, at, _ := strings.Cut(w.Words, "over corn at ")
				at, _, _ = strings.Cut(at, ":")
				return at
			}
		}
		return ""
	}
	a := demoJob(t, "", change...)
	b := demoJob(t, "", append(change, "name: Heron Bend", "name: Second Bend", "crop: {planted: 2026-04-28}", "crop: {planted: 2026-04-28, stages: Purdue collars}",
		"file: weather.csv", "file: "+filepath.ToSlash(a.Weather.File))...) // one record for both
	alone := stage("Second Bend", b)
	require.NotEmpty(t, alone)
	require.NotEqual(t, stage("Heron Bend", a), alone, "or the test shows nothing")
	require.Equal(t, alone, stage("Second Bend", a, b))
}

// Fields that share a record and a planting look at one day, by whatever stage each job
// names.
func TestFieldsThatShareARecordLookAtOneDay(t *testing.T) {
	a := demoJob(t, "")
	of := func(until string) error {
		b := demoJob(t, "", "name: Heron Bend", "name: Second Bend", "until: V12", "until: "+until, "file: weather.csv", "file: "+filepath.ToSlash(a.Weather.File))
		_, err := Plan([]Job{a, b}, How{Workers: 1, NoPage: true})
		return err
	}
	require.NoError(t, of("V12"))
	require.NoError(t, of("2026-07-04"))
	require.ErrorContains(t, of("V10"), "its plan looks at 2026-06-")
	require.ErrorContains(t, of("2026-07-01"), "its plan looks at 2026-07-01, that of the first job at 2026-07-04")
}
