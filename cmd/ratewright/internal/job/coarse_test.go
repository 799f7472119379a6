package job

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

func TestFilesOfPatchesDoNotGrowWithTheTolerance(t *testing.T) {
	_, j := made(t)
	exact, err := j.Reconcile("")
	require.NoError(t, err)
	require.Nil(t, exact.Reconciliation.JSON().SimplifyM)
	var sizes []int
	for _, metres := range []float64{0.5, 3, 10, 20, 50, 100} {
		r, err := j.ReconcileAs("", How{Simplify: unit.Metres(metres)})
		require.NoError(t, err)
		size := len(written(t, r.Set)["patches.geojson"])
		if n := len(sizes); n > 0 {
			require.LessOrEqual(t, float64(size), 1.05*float64(sizes[n-1]), "%v m after %v", metres, sizes)
		}
		sizes = append(sizes, size)
		require.Equal(t, exact.Reconciliation.Area, r.Reconciliation.Area)
		js := r.Reconciliation.JSON()
		require.Equal(t, metres, *js.SimplifyM)
		held := slices.ContainsFunc(js.Notes, func(n string) bool { return strings.Contains(n, "could not be thinned by the whole") })
		require.Equal(t, metres > 1, held, "%v m: %v", metres, js.Notes) // the field's patches are wider than 1 m
	}
}
