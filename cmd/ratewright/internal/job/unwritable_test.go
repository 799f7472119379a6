package job

import (
	"math"
	"path/filepath"
	"testing"

	"ratewright/cmd/ratewright/internal/outputs"

	"github.com/stretchr/testify/require"
)

// What a format cannot hold names the input it came of.
func TestResultsThatCannotBeWrittenNameTheirInput(t *testing.T) {
	dir, j := made(t)
	a := &j.Applications[0]
	r, err := j.Reconcile("")
	require.NoError(t, err)
	r.Reconciliation.Patches[0].Short, r.Reconciliation.Patches[0].HasShort = 1e300, true
	_, err = outputs.Write(t.TempDir(), outputs.Set{Files: j.patchFiles(a, r.Reconciliation), Summary: outputs.File{Name: "a.json"}}, nil)
	require.ErrorContains(t, err, filepath.Join(dir, "log.csv")+": the patches found in it cannot be written: write shapefile: shape 1")
	r.Reconciliation.Patches = nil
	r.Reconciliation.Area.Missed = math.Inf(1)
	_, err = j.reconcileJSON(a, r, nil).From(nil)
	require.ErrorContains(t, err, filepath.Join(dir, "log.csv")+": the sums over it cannot be written")

	p, err := j.Prescribe("")
	require.NoError(t, err)
	m, err := p.Prescription.RateMap()
	require.NoError(t, err)
	m.Features[0].Rate = 1e300
	_, err = j.rateMapFiles(a, p.Prescription, m)
	require.ErrorContains(t, err, filepath.Join(dir, "zones.shp")+": the rate map made of it cannot be written")

	_, j = made(t, "rate: {column: N_LB_AC, unit", "rate: {table: {A: 1e300, B: 50, C: 50, D: 50}, unit")
	for _, step := range []func(string) error{
		func(a string) error { _, err := j.Prescribe(a); return err },
		func(a string) error { _, err := j.Reconcile(a); return err },
	} {
		require.ErrorContains(t, step(""), "job.yaml: line 21: application sidedress: rate table: zone A: rate 1e+300 is above 1000000")
	}
}
