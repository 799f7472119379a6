package job

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestALogOfAnotherSeasonIsAskedAbout: the log of last year's trip covers the same field.
func TestALogOfAnotherSeasonIsAskedAbout(t *testing.T) {
	for date, says := range map[string]string{
		"2026-06-05": "",
		"2026-06-18": "",
		"2026-05-25": "",
		"2025-06-05": "The log is of 2026-06-05, and the job has 2025-06-05 for sidedress: see that it is the log of this trip",
		"2026-05-06": "that day and month are not swapped",
	} {
		_, j := made(t, "    date: 2026-06-05\n    machine", "    date: "+date+"\n    machine", "min_patch: 0.02 ac", "patches: none")
		r, err := j.Reconcile("")
		require.NoError(t, err)
		notes := strings.Join(r.Notes, "\n")
		if says == "" {
			require.NotContains(t, notes, "The log is of", date)
			continue
		}
		require.Contains(t, notes, says, date)
	}
}

// TestTimesOfAnotherAgeAreAskedAbout: a receiver without a position writes its epoch.
func TestTimesOfAnotherAgeAreAskedAbout(t *testing.T) {
	dir, j := made(t, "min_patch: 0.02 ac", "patches: none")
	file := filepath.Join(dir, "log.csv")
	log, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(file, bytes.ReplaceAll(log, []byte("2026-06-05T13:00:"), []byte("1980-01-06T00:00:")), 0o600))
	r, err := j.Reconcile("")
	require.NoError(t, err)
	notes := strings.Join(r.Notes, "\n")
	require.Contains(t, notes, "The log's times run from 1980-01-06 to 2026-06-05: see that it is of one season")
	require.NotContains(t, notes, "The log is of")
}
