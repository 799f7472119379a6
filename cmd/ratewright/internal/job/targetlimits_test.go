package job

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// seasonJob is a job on the made-up field with some applications.
func seasonJob(t *testing.T, head, applications string) Job {
	t.Helper()
	j, err := trialJob(t, head, "method: yield-goal, form: stanford, yield: 200 bu/ac", nil)
	require.NoError(t, err)
	text := head + "\nfield: {name: made up, boundary: boundary.geojson}\nzones: {file: zones.geojson, id: ZONE}\napplications:\n" + applications
	require.NoError(t, os.WriteFile(j.Path, []byte(text), 0o666))
	j, err = Load(filepath.Join(filepath.Dir(j.Path), "job.yaml"))
	require.NoError(t, err)
	return j
}

// 1.2 lb/bu x 200 bu/ac are 240 lb/ac, of which half is 120. Cut to 90, it leaves 150; in
// steps of 10 gal/ac of UAN 28 (10.67 lb/gal at 60 F, 2.99 lb N/gal) it leaves what the
// steps leave. What is prescribed for all applications adds up to the target.
func TestLaterApplicationsAreNetOfWhatLimitsLeave(t *testing.T) {
	const goal = "target: {method: yield-goal, form: stanford, yield: 200 bu/ac}"
	for name, c := range map[string]struct {
		first  string
		source string
		put    float64 // lb/ac; 0: by the prescription
	}{
		"max":               {"{target: 50 %}, limits: {max: 90 lb/ac, of: nitrogen}", "urea", 90},
		"max of a rate":     {"{target: 120 lb/ac}, limits: {max: 90 lb/ac, of: nitrogen}", "urea", 90},
		"min":               {"{target: 10 %}, limits: {min: 40 lb/ac, of: nitrogen}", "urea", 40},
		"step":              {"{target: 47 %}, limits: {step: 25 lb/ac, of: nitrogen}", "urea", 125},
		"step of a product": {"{target: 50 %}, limits: {step: 25 gal/ac, of: product}", "uan-28", 0},
		"max of a product":  {"{target: 50 %}, limits: {max: 150 lb/ac, of: product}", "urea", 69},
	} {
		j := seasonJob(t, goal, "  - {name: a1, source: "+c.source+", rate: "+c.first+"}\n  - {name: a2, source: urea, rate: {target: rest}}\n")
		first, err := j.Prescribe("a1")
		require.NoError(t, err, name)
		put := first.Prescription.Zones[0].NRate.LbNPerAcre()
		if c.put > 0 {
			require.InDelta(t, c.put, put, 1e-9, name)
		}
		rest, err := j.Prescribe("a2")
		require.NoError(t, err, name)
		require.InDelta(t, 240-put, rest.Prescription.Zones[0].NRate.LbNPerAcre(), 1e-9, name)
		require.Contains(t, strings.Join(rest.Notes, "\n"), "the limits and steps of the job make it a1", name)
		for at, want := range map[string]float64{"a1": put, "a2": 240 - put} {
			r, err := j.Rates(at)
			require.NoError(t, err, name)
			worked := r.Result.Zones[0].Rate.LbNPerAcre()
			sum := 0.0
			for _, term := range r.Result.Zones[0].Terms {
				sum += term.N.LbNPerAcre()
			}
			require.InDelta(t, worked, sum, 1e-9, "%s: the terms add up", name)
			require.Contains(t, strings.Join(r.Notes, "\n"), "the limits and steps of the job make it a1", name)
			if at == "a2" {
				require.InDelta(t, want, worked, 1e-9, name)
				continue
			}
			require.Contains(t, strings.Join(r.Notes, "\n"), fmt.Sprintf("prescribe makes the rate of zone A %.1f", want), name)
		}
	}
}

// Limits that count product of a source that is not named cannot be reckoned in nitrogen.
func TestLimitsOfProductNeedTheSource(t *testing.T) {
	j := seasonJob(t, "target: {method: yield-goal, form: stanford, yield: 200 bu/ac}",
		"  - {name: a1, rate: {target: 50 %}, limits: {step: 10 gal/ac, of: product}}\n  - {name: a2, source: urea, rate: {target: rest}}\n")
	_, err := j.Prescribe("a2")
	require.ErrorContains(t, err, "application a1 takes a part of the season's target, and its limits count product; name its source")
}

// What prescribe refuses of a starter, rates refuses in the same words.
func TestRatesRefusesTheStarterThatPrescribeRefuses(t *testing.T) {
	for name, a := range map[string]string{
		"over":   "  - {name: st, source: ammonium-polyphosphate, rate: {target: 30 lb/ac}, starter: {placement: with-seed, table: kansas-state, soil: medium, rows: 30 in}}\n",
		"urea":   "  - {name: st, source: urea, rate: {target: 2 lb/ac}, starter: {placement: with-seed, table: kansas-state, soil: medium, rows: 30 in, k2o: 0 %}}\n",
		"potash": "  - {name: st, source: uan-28, rate: {target: 2 lb/ac}, starter: {placement: with-seed, table: kansas-state, soil: medium, rows: 30 in}}\n",
	} {
		j := seasonJob(t, "target: {method: yield-goal, form: stanford, yield: 200 bu/ac}", a)
		_, want := j.Prescribe("")
		require.Error(t, want, name)
		_, err := j.Rates("")
		require.EqualError(t, err, want.Error(), name)
	}
}
