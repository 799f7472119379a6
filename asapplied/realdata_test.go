package asapplied

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// sharedData finds the folder of open data beside the project, or skips.
func sharedData(t *testing.T, name string) string {
	t.Helper()
	dir, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		if filepath.Dir(dir) == dir {
			t.Fatal("no go.mod above the test")
		}
		dir = filepath.Dir(dir)
	}
	path := filepath.Join(dir, "..", "shared", "data", name)
	if _, err := os.Stat(path); err != nil {
		t.Skipf("%s is not there; testdata has a small file of the same kind", path)
	}
	return path
}

func TestHarvestLog(t *testing.T) {
	log, err := ReadLog(LogSpec{Files: []string{"testdata/harvest.csv"}, Units: map[string]string{"width": "in"}})
	require.NoError(t, err)
	requireWhole(t, &log)
	require.Equal(t, 24, log.Len())
	require.InDelta(t, 6.096, log.Width[0], 1e-12) // 240 in
	require.InDelta(t, 3.048, log.Width[20], 1e-12)
	require.Equal(t, int8(4), log.Fix[0])
	require.Nil(t, log.Flow)
}

// Counts from the description beside the data: 4949 rows, 34 partial swaths, 2
// records out of time order, 87 gaps of 9 s and more, 13 records of 4 s.
func TestRealHarvestLog(t *testing.T) {
	log, err := ReadLog(LogSpec{
		Files: []string{sharedData(t, "gartner/gartner_corn_rawlog.csv")},
		Units: map[string]string{"width": "in", "distance": "in", "duration": "s"},
	})
	require.NoError(t, err)
	requireWhole(t, &log)
	require.Equal(t, 4949, log.Read)
	require.Equal(t, 4949, log.Len())
	require.Empty(t, log.Dropped)
	partial, backward, gaps, four := 0, 0, 0, 0
	for i := range log.Len() {
		if log.Width[i] < 9.144-1e-9 { // 360 in
			partial++
		}
		if log.Duration[i] == 4 {
			four++
		}
		if i == 0 {
			continue
		}
		switch step := log.TimeNS[i] - log.TimeNS[i-1]; {
		case step < 0:
			backward++
		case step >= 9e9:
			gaps++
		}
	}
	require.Equal(t, []int{34, 2, 87, 13}, []int{partial, backward, gaps, four})
	require.Equal(t, time.Unix(1004549898, 0).UnixNano(), log.TimeNS[0])
}

func TestPassesLogs(t *testing.T) {
	for name, rows := range map[string]int{"rect": 4920, "field-61ac": 6698, "field-61ac-tight-turns": 6704} {
		path := sharedData(t, "passes/"+name+"/log.csv")
		log, err := ReadLog(LogSpec{Files: []string{path}, Of: unit.Nitrogen, HasOf: true})
		require.NoError(t, err)
		requireWhole(t, &log)
		require.Equal(t, rows, log.Len(), name)
		require.Equal(t, 24, log.Sections.N)
		require.Equal(t, 196.2, log.Rate.V[0])
		require.Equal(t, 0.1, log.Depth.V[0])
		require.Empty(t, log.Notes)
		require.Len(t, log.Mapping, 8)
	}
}
