package job

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/rx"
	"ratewright/rx/course"
	"ratewright/rx/nitrogen/guard"
	"ratewright/rx/nitrogen/loss"
)

// followedJob is the made-up job of losses with some of its lines changed, in a folder
// of its own.
func followedJob(t *testing.T, changes ...string) Job {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{"trial", "loss"} {
		require.NoError(t, os.CopyFS(filepath.Join(dir, name), os.DirFS(filepath.Join("..", "..", "..", "..", "testdata", name))))
	}
	path := filepath.Join(dir, "loss", "job.yaml")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	s := string(text)
	for i := 0; i < len(changes); i += 2 {
		require.Contains(t, s, changes[i])
		s = strings.ReplaceAll(s, changes[i], changes[i+1])
	}
	require.NoError(t, os.WriteFile(path, []byte(s), 0o600))
	j, err := Load(path)
	require.NoError(t, err)
	return j
}

func followed(t *testing.T, j Job, application string) (Followed, map[string]any) {
	t.Helper()
	f, err := j.Loss(application)
	require.NoError(t, err)
	files := written(t, f.Set)
	for name, data := range files {
		if filepath.Ext(name) == ".json" {
			return f, tree(t, data)
		}
	}
	require.Fail(t, "no summary")
	return f, nil
}

// TestFiguresOfLossesAreThoseOfTheJSON compares every keyed figure of the page.
func TestFiguresOfLossesAreThoseOfTheJSON(t *testing.T) {
	for units, u := range map[string]unit.System{"us": unit.US, "si": unit.SI} {
		j := followedJob(t, "units: us", "units: "+units)
		f, summary := followed(t, j, "")
		s := j.sheetOfLoss(f, nil)
		compared := 0
		same := func(key, text string) {
			if key == "" {
				return
			}
			v := figureAt(t, summary, key)
			switch {
			case strings.HasSuffix(key, "_kg_ha"):
				require.Equal(t, u.NRateNumber(unit.KgNPerHa(v.(float64))), text, key)
			default:
				require.Equal(t, fmt.Sprint(v), text, key)
			}
			compared++
		}
		for _, l := range s.Lead {
			same(l.Key, l.Value)
		}
		for _, table := range s.Tables {
			for _, row := range table.Rows {
				require.Len(t, row, len(table.Head))
				for _, cell := range row {
					same(cell.Key, cell.Text)
				}
			}
		}
		require.Greater(t, compared, 1000)
		require.Len(t, s.Courses, 2*5, "the field and four zones of each application")
		for _, c := range s.Courses {
			require.NotEmpty(t, c.SVG())
			last := c.Days[len(c.Days)-1]
			sum := last.Still
			for _, v := range last.Parts {
				sum += v
			}
			require.InDelta(t, c.Whole, sum, 1e-9, "what is drawn closes")
		}
		zones := s.Map.Zones
		bare := zones[len(zones)-1]
		require.Equal(t, rx.UnzonedID, bare.ID)
		require.True(t, math.IsNaN(bare.Rate), "ground in no zone has no share, and the map knows it by that")
		s.Map.Zones = zones[:len(zones)-1]
		require.NotContains(t, fmt.Sprintf("%+v", s), "NaN")
	}
}

// TestLossFollowsTheRatesOfPrescribe holds rates, area and notes against prescribe.
func TestLossFollowsTheRatesOfPrescribe(t *testing.T) {
	j := followedJob(t, "lb/ac, of: nitrogen}\n  - name: preplant", "lb/ac, of: nitrogen}\n    limits: {max: 160 lb/ac, step: 20 lb/ac, of: nitrogen}\n  - name: preplant")
	f, _ := followed(t, j, "sidedress")
	p, err := j.Prescribe("sidedress")
	require.NoError(t, err)
	require.Len(t, f.JSON.Applications, 1)
	for i, z := range p.Prescription.Zones {
		got := f.JSON.Applications[0].Zones[i]
		require.Equal(t, z.ZoneID, got.ID)
		require.Equal(t, z.NRate.KgNPerHa(), got.NRateKgHa)
		require.Equal(t, z.Region.Area().SquareMetres(), got.AreaM2)
	}
	require.InDelta(t, unit.LbNPerAcre(160).KgNPerHa(), f.JSON.Applications[0].Zones[3].NRateKgHa, 1e-9)
	require.Equal(t, loss.Ranking, f.Notes[0], "said always, and first")
	require.Contains(t, f.Cautions, p.Cautions[0])
}

// TestLossKnowsWhenToEnd has the three ways to say how long.
func TestLossKnowsWhenToEnd(t *testing.T) {
	for text, want := range map[string][2]string{
		"loss: {until: 2026-07-15}":           {"2026-07-15", "2026-07-15"},
		"loss: {draws: 0}":                    {"2026-08-04", "2026-06-19"},
		"plan: {until: 2026-07-01}":           {"2026-07-01", "2026-07-01"},
		"plan: {until: V8}\nloss: {draws: 0}": {"2026-08-04", "2026-06-19"},
	} {
		f, _ := followed(t, followedJob(t, "loss: {until: 2026-07-15}", text), "")
		for i, a := range f.JSON.Applications {
			require.Equal(t, want[i], a.Until, text)
			last := a.Zones[0].Days[len(a.Zones[0].Days)-1]
			require.Equal(t, want[i], last.Date)
			require.NotNil(t, last.Actual)
		}
	}
}

// TestLossTakesTheJobsCoefficients turns the loss of ammonia off.
func TestLossTakesTheJobsCoefficients(t *testing.T) {
	usual, _ := followed(t, followedJob(t), "sidedress")
	f, _ := followed(t, followedJob(t, "loss: {until: 2026-07-15}", "plan: {until: 2026-07-15, coefficients: {most_phi: 0}}"), "sidedress")
	end := func(f Followed) course.YearsJSON {
		days := f.JSON.Applications[0].Days
		return days[len(days)-1].Years
	}
	require.Greater(t, end(usual).Ammonia, 1.0)
	require.Zero(t, end(f).Ammonia)
	require.Contains(t, strings.Join(f.Notes, "\n"), "most_phi 0 (else ")
	require.Greater(t, *end(f).StillP5, *end(usual).StillP5, "the draws have it, too")
}

// TestGuardsKnowWhatTheZonesTell has a job whose zones tell nothing: what stands in for
// the losses is not taken for known by the warnings.
func TestGuardsKnowWhatTheZonesTell(t *testing.T) {
	keys := func(f Followed, unchecked bool) []string {
		var list []string
		for _, w := range f.JSON.Applications[0].Warnings {
			if w.Unchecked == unchecked {
				list = append(list, w.Key)
			}
		}
		return list
	}
	f, _ := followed(t, followedJob(t), "sidedress")
	require.Contains(t, keys(f, false), guard.SurfaceUrea)
	require.Contains(t, keys(f, false), guard.LateSidedress)
	require.Empty(t, keys(f, true))
	f, _ = followed(t, followedJob(t, ", texture: TEXTURE, drainage: DRAINAGE, hydrologic: HYDGRP, ph: PH, residue_cover: RES_PCT", "", "crop: {planted: 2026-05-02}\n", ""), "sidedress")
	require.Contains(t, keys(f, true), guard.SurfaceUrea)
	require.Contains(t, keys(f, true), guard.LateSidedress, "nor is the crop")
	require.Contains(t, strings.Join(f.Notes, "\n"), "residue cover, so that bare ground stands in: A, B, C, D")

	// The care of ammonia stands among the cautions and is not said twice.
	f, _ = followed(t, followedJob(t), "preplant")
	require.NotContains(t, append(keys(f, true), keys(f, false)...), guard.AmmoniaCare)
	require.True(t, slices.ContainsFunc(f.Cautions, func(c string) bool { return strings.HasPrefix(c, "Anhydrous ammonia:") }))
}

// TestWarningsInLinesSayAllOfEach reads the lines that gather warnings against each of
// these.
func TestWarningsInLinesSayAllOfEach(t *testing.T) {
	f, _ := followed(t, followedJob(t), "")
	for _, a := range f.JSON.Applications {
		text := strings.Join(LossWarnings(a), "\n")
		require.NotEmpty(t, a.Warnings)
		for i := range a.Warnings {
			what, rest := parted(&a.Warnings[i])
			require.Equal(t, a.Warnings[i].Text, what+rest)
			require.Contains(t, text, what)
			require.Contains(t, text, rest)
			require.NotEmpty(t, rest)
		}
	}
}

// TestLossesAreTheSameEachTime compares bytes.
func TestLossesAreTheSameEachTime(t *testing.T) {
	j := followedJob(t)
	f, _ := followed(t, j, "")
	g, _ := followed(t, j, "")
	a, err := json.Marshal(f.JSON)
	require.NoError(t, err)
	b, err := json.Marshal(g.JSON)
	require.NoError(t, err)
	require.Equal(t, string(a), string(b))
	require.Equal(t, f.Notes, g.Notes)
}

// What a job refuses is found on the zones that a warning is about, in either system of
// units, and what it does not tell is said to be unjudged.
func TestLossesAreJudgedByWhatTheJobRefuses(t *testing.T) {
	const refuse = "loss: {until: 2026-07-15}\naccept: {refuse: [ammonia-depth, slot, surface-urea]}"
	for _, units := range []string{"us", "si"} {
		change := []string{"units: us", "units: " + units, "loss: {until: 2026-07-15}", refuse, "    depth: 7 in\n", "    depth: 6 in\n"}
		j := followedJob(t, change...)
		f, err := j.Loss("preplant")
		require.NoError(t, err)
		require.Equal(t, []string{"ammonia-depth: preplant, zone C"}, f.Beyond(j), "the coarse zone alone")
		require.Contains(t, strings.Join(f.Notes, "\n"), "accept: slot cannot be judged for preplant, zones A, B, C, D: the job does not tell what it needs")

		told := followedJob(t, append(change, "    depth: 6 in\n", "    depth: 8 in\n    slot: closed\n")...)
		f, err = told.Loss("preplant")
		require.NoError(t, err)
		require.Empty(t, f.Beyond(told))
		require.NotContains(t, strings.Join(f.Notes, "\n"), "cannot be judged")

		f, err = j.Loss("sidedress")
		require.NoError(t, err)
		require.NotEmpty(t, f.Beyond(j))
		require.NotContains(t, strings.Join(f.Notes, "\n"), "cannot be judged")
	}
}
