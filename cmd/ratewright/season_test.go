package main

import (
	"bytes"
	"context"
	"encoding/json"
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

// With --json the inputs at fault are told as those of any other command.
func TestFailedFieldsNameTheirInputs(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"a": "field: {boundary: gone.geojson}\napplications: [{name: a, logs: [{files: [x.csv]}]}]\n",
		"b": "fields: {}\nfield: {}\n",
	} {
		require.NoError(t, os.Mkdir(filepath.Join(dir, name), 0o777))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name, "job.yaml"), []byte(text), 0o666))
	}
	var out, errs bytes.Buffer
	require.Equal(t, exitFailed, run(t.Context(), []string{"season", dir, "--json"}, nil, &out, &errs))
	var got errorJSON
	require.NoError(t, json.Unmarshal(errs.Bytes(), &got))
	require.Len(t, got.Inputs, 3, errs.String())
	require.Equal(t, filepath.Join(dir, "a", "gone.geojson"), got.Inputs[0].File)
	require.Contains(t, got.Inputs[0].What, "cannot be read")
	require.Equal(t, inputJSON{File: filepath.Join(dir, "b", "job.yaml"), Place: "line 1"}, inputJSON{File: got.Inputs[1].File, Place: got.Inputs[1].Place})
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
