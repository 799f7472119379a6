package main

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/asapplied/fieldlog"
)

// measuredIn is what the command says of a made-up log, written as a folder says.
func measuredIn(t *testing.T, s fieldlog.Spec, f fieldlog.Folder) (sums struct {
	Area    map[string]float64 `json:"area_m2"`
	Records struct{ Read, Used int }
	Zones   []struct {
		ID   string
		Area map[string]float64 `json:"area_m2"`
	}
},
) {
	t.Helper()
	dir := t.TempDir()
	w, err := fieldlog.Make(s)
	require.NoError(t, err)
	require.NoError(t, w.WriteFolder(dir, f))
	var out, errs bytes.Buffer
	args := []string{"reconcile", filepath.Join(dir, fieldlog.PatchesJob), "-o", filepath.Join(dir, "out"), "--json"}
	require.Equal(t, exitDone, run(t.Context(), args, nil, &out, &errs), errs.String())
	require.NoError(t, json.Unmarshal(out.Bytes(), &sums))
	require.Equal(t, len(w.Records), sums.Records.Read)
	return sums
}

func TestALogInManyFilesMeasuresAsInOne(t *testing.T) {
	s := fieldlog.Spec{Records: 500, Vary: true}
	one, many := measuredIn(t, s, fieldlog.Folder{}), measuredIn(t, s, fieldlog.Folder{Files: 100})
	require.Equal(t, one, many)
	require.Positive(t, one.Area["doubled"])
}

func TestManyZonesAddUpToTheField(t *testing.T) {
	s := fieldlog.Spec{Records: 500, Vary: true}
	whole, r := measuredIn(t, s, fieldlog.Folder{}), measuredIn(t, s, fieldlog.Folder{Zones: 12})
	require.GreaterOrEqual(t, len(r.Zones), 144)
	for _, key := range []string{"field", "covered", "doubled", "missed", "as_prescribed", "light", "heavy", "shallow"} {
		total := 0.0
		for _, z := range r.Zones {
			total += z.Area[key]
		}
		require.InDelta(t, r.Area[key], total, 1e-9*r.Area["field"], key)
	}
	// Where the ground is does not depend on the rates that were planned for it.
	for _, key := range []string{"field", "covered", "doubled", "missed", "shallow"} {
		require.InDelta(t, whole.Area[key], r.Area[key], 1e-9*whole.Area["field"], key)
	}
}

// TestABoundaryOfManyCornersIsMeasured gives the same log two wavy boundaries, one of
// them with ten times the corners and waves.
func TestABoundaryOfManyCornersIsMeasured(t *testing.T) {
	s := fieldlog.Spec{Records: 500, CoverageOnly: true}
	few, many := measuredIn(t, s, fieldlog.Folder{Vertices: 500}), measuredIn(t, s, fieldlog.Folder{Vertices: 5000})
	for _, r := range []map[string]float64{few.Area, many.Area} {
		require.InDelta(t, r["field"], r["covered"]+r["missed"], 1e-9*r["field"])
		require.InDelta(t, r["covered"], r["once"]+r["doubled"], 1e-9*r["field"])
		require.Positive(t, r["outside"])
	}
	// What was covered is the same ground, inside and outside together.
	require.InDelta(t, few.Area["covered"]+few.Area["outside"], many.Area["covered"]+many.Area["outside"], 1e-9*few.Area["field"])
}
