package job

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/cmd/ratewright/internal/demo"
	"ratewright/geo/unit"
)

// TestSplitRepeatedAndShuffledFilesGiveTheSameJSON holds the summary to what the
// log says, however it was cut into files. The page lists the files, so that its sum
// is left out.
func TestSplitRepeatedAndShuffledFilesGiveTheSameJSON(t *testing.T) {
	_, whole := made(t)
	want, err := whole.ReconcileAs("", How{NoPage: true})
	require.NoError(t, err)
	files, err := demo.Files()
	require.NoError(t, err)
	lines := strings.SplitAfter(string(files["log.csv"]), "\n")
	head, rows := lines[0], lines[1:]
	rng := rand.New(rand.NewPCG(4, 2))
	for round := range 3 {
		names := []string{"a.csv", "b.csv", "c.csv", "d.csv"}
		list := append([]string{}, names...)
		list = append(list, "again.csv")
		rng.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
		dir, j := made(t, "files: [log.csv]", "files: ["+strings.Join(list, ", ")+"]")
		cut := []int{0, rng.IntN(len(rows) / 3), len(rows)/3 + rng.IntN(len(rows)/3), 2*len(rows)/3 + rng.IntN(len(rows)/4), len(rows)}
		for i, name := range names {
			text := head + strings.Join(rows[cut[i]:cut[i+1]], "")
			require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
			if i == 1 {
				require.NoError(t, os.WriteFile(filepath.Join(dir, "again.csv"), []byte(text), 0o666))
			}
		}
		got, err := j.ReconcileAs("", How{NoPage: true})
		require.NoError(t, err)
		require.Equal(t, written(t, want.Set)["reconcile.json"], written(t, got.Set)["reconcile.json"], "round %d, files %v", round, list)
		require.Contains(t, strings.Join(got.LogNotes, "\n"), "was read once")
	}
}

func TestSumsAreTheSameWithoutPatches(t *testing.T) {
	_, with := made(t)
	a, err := with.Reconcile("")
	require.NoError(t, err)
	_, without := made(t, "reconcile:", "reconcile:\n  patches: none")
	b, err := without.Reconcile("")
	require.NoError(t, err)
	require.Equal(t, a.Reconciliation.Area, b.Reconciliation.Area)
	require.Equal(t, a.Reconciliation.Nitrogen, b.Reconciliation.Nitrogen)
	require.NotEmpty(t, a.Set.Files)
	require.Empty(t, b.Set.Files)
	require.Empty(t, b.Reconciliation.Patches)
}

// TestEveryPatchCanBeWritten lists patches of any size, slivers along every pass
// included, and drives the field a second time, so that edges lie on one another.
func TestEveryPatchCanBeWritten(t *testing.T) {
	_, every := made(t, "min_patch: 0.02 ac", "min_patch: 0 ac")
	r, err := every.Reconcile("")
	require.NoError(t, err)
	require.Greater(t, len(r.Reconciliation.Patches), 500)

	dir, twice := made(t, "[log.csv]", "[log.csv, later.csv]")
	log, err := os.ReadFile(filepath.Join(dir, "log.csv"))
	require.NoError(t, err)
	later := strings.ReplaceAll(string(log), "\n2026-06-05T", "\n2026-06-06T")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "later.csv"), []byte(later), 0o666))
	again, err := twice.Reconcile("")
	require.NoError(t, err)
	a := again.Reconciliation.Area
	require.InDelta(t, r.Reconciliation.Area.Covered, a.Doubled, 1e-7*a.Field)
	require.InDelta(t, 0, a.Once, 1e-7*a.Field)
}

func TestSimplifiedOutlinesAreSmallerAndSumsTheSame(t *testing.T) {
	_, j := made(t)
	exact, err := j.Reconcile("")
	require.NoError(t, err)
	small, err := j.ReconcileAs("", How{Simplify: unit.Metres(0.5)})
	require.NoError(t, err)
	require.Equal(t, exact.Reconciliation.Area, small.Reconciliation.Area)
	require.Equal(t, exact.Reconciliation.PatchSums, small.Reconciliation.PatchSums)
	require.Equal(t, len(exact.Reconciliation.Patches), len(small.Reconciliation.Patches))
	size := func(r Reconciled) int { return len(written(t, r.Set)["patches.geojson"]) }
	require.Less(t, 2*size(small), size(exact))
	for i, p := range small.Reconciliation.Patches {
		require.Equal(t, exact.Reconciliation.Patches[i].Area, p.Area)
	}
}

func TestALogThatIsReadOnceIsNamed(t *testing.T) {
	dir, j := made(t)
	data, err := os.ReadFile(filepath.Join(dir, "log.csv"))
	require.NoError(t, err)
	require.NoError(t, os.Mkdir(filepath.Join(dir, "copy"), 0o777))
	for _, name := range []string{filepath.Join("copy", "log.csv"), "twin.csv"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o666))
	}
	for files, want := range map[string]string{
		"log.csv, ./log.csv":    "log.csv is named twice and was read once",
		"log.csv, twin.csv":     "twin.csv has the same content as log.csv and was read once",
		"log.csv, copy/log.csv": "copy/log.csv has the same content as log.csv and was read once",
	} {
		o := &opener{}
		list := strings.Split(files, ", ")
		for i, file := range list {
			list[i] = dir + "/" + file
		}
		kept, err := o.distinct(j, contents{}, list)
		require.NoError(t, err)
		require.Len(t, kept, 1)
		require.Equal(t, []string{want}, o.logNotes)
	}
}
