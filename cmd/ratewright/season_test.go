package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ratewright/cmd/ratewright/internal/season"
)

func TestAnInterruptedSeasonEndsWith130AndLeavesNoTable(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "f")
	var out, errs bytes.Buffer
	require.Zero(t, run(t.Context(), []string{"demo", dir}, nil, &out, &errs), errs.String())
	require.NoError(t, os.RemoveAll(filepath.Join(dir, "out")))
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	c := &call{ctx: ctx, stdout: &out, stderr: &errs}
	assert.Equal(t, exitInterrupted, exitCode(c.season([]string{dir})))
	assert.NoDirExists(t, filepath.Join(dir, "out"))
}

// A table that cannot be written takes nothing away from what is said of the fields.
func TestFailedFieldsAreTold(t *testing.T) {
	dir := t.TempDir()
	job := filepath.Join(dir, "job.yaml")
	require.NoError(t, os.WriteFile(job, []byte("field: {boundary: gone.geojson}\napplications: [{name: a, logs: [{files: [x.csv]}]}]\n"), 0o666))
	var out, errs bytes.Buffer
	require.Equal(t, exitFailed, run(t.Context(), []string{"season", dir}, nil, &out, &errs))
	require.Contains(t, errs.String(), "1 of 1 failed:\n")
	require.Contains(t, errs.String(), "gone.geojson: cannot be read")

	require.NoError(t, os.RemoveAll(filepath.Join(dir, "out")))
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "out", "season.csv"), 0o777))
	errs.Reset()
	require.Equal(t, exitFailed, run(t.Context(), []string{"season", dir}, nil, &out, &errs))
	require.Contains(t, errs.String(), "a folder stands where an output file belongs")
	require.Contains(t, errs.String(), "1 of 1 failed:\n")
	require.Contains(t, errs.String(), "gone.geojson: cannot be read")
}

func TestProgressIsShownOnlyAtATerminal(t *testing.T) {
	file, err := os.Create(filepath.Join(t.TempDir(), "stderr"))
	require.NoError(t, err)
	defer file.Close()
	p := newProgressLine(file)
	p.show(season.Progress{Finished: 1, Jobs: 2})
	p.clear()
	info, err := file.Stat()
	require.NoError(t, err)
	assert.Zero(t, info.Size(), "a file is no terminal")
	assert.Nil(t, newProgressLine(&bytes.Buffer{}).to)

	var screen bytes.Buffer
	p = &progressLine{to: &screen}
	p.show(season.Progress{Finished: 10, Failed: 1, Jobs: 12})
	p.show(season.Progress{Finished: 11, Jobs: 12})
	p.clear()
	assert.Equal(t, "\r10 of 12 jobs, 1 failed\r11 of 12 jobs          \r             \r", screen.String())
}
