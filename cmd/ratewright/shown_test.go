package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// odd is a name that would forge a line, colour what follows, turn it round, and
// is no text; shownOdd is how people see it.
const (
	odd      = "a\nratewright: forged\x1b[31m\u202e\xff"
	shownOdd = `a\nratewright: forged\x1b[31m\u202e\xff`
)

func requireHarmless(t *testing.T, text string) {
	t.Helper()
	require.True(t, utf8.ValidString(text), "%q", text)
	for _, line := range strings.Split(text, "\n") {
		require.False(t, strings.HasPrefix(line, "ratewright: forged"), "%q", text)
		for _, r := range line {
			require.True(t, strconv.IsPrint(r), "%q", line)
		}
	}
}

// TestNamesDoNothingToATerminal gives each command what is named to mean ill.
func TestNamesDoNothingToATerminal(t *testing.T) {
	t.Chdir(t.TempDir())
	var out, errs bytes.Buffer
	require.Zero(t, run(t.Context(), []string{"demo", "d"}, nil, &out, &errs), errs.String())
	same := func(from, to string) {
		data, err := os.ReadFile(filepath.Join("d", from))
		require.NoError(t, err)
		if err := os.WriteFile(to, data, 0o666); err != nil {
			t.Skip("no such names here: ", err)
		}
	}
	same("job.yaml", "d/"+odd+".yaml")
	same("log.csv", "d/"+odd+".csv")
	require.NoError(t, os.WriteFile("d/b"+odd+".yaml", []byte("field: {name: B, boundary: gone.geojson}\nfoo: 1\nbar: 2\n"), 0o666))
	require.NoError(t, os.WriteFile(odd, nil, 0o666))
	require.NoError(t, os.Mkdir(odd+".png", 0o777))

	for _, c := range []struct {
		exit int
		args []string
	}{
		{exitDone, []string{"prescribe", "d/" + odd + ".yaml", "-o", "o" + odd, "--png", "p" + odd + ".png"}},
		{exitDone, []string{"reconcile", "d/" + odd + ".yaml", "-o", "o" + odd, "--png", "p" + odd + ".png"}},
		{exitDone, []string{"demo", "d" + odd}},
		{exitDone, []string{"inspect", "d/" + odd + ".csv"}},
		{exitDone, []string{"inspect", "--job", "d/" + odd + ".csv"}},
		{exitDone, []string{"season", "-o", "s" + odd, "d/" + odd + ".yaml"}},
		{exitFailed, []string{"season", "-o", "s" + odd, "d/job.yaml", "d/" + odd + ".yaml", "d/b" + odd + ".yaml"}},
		{exitFailed, []string{"season", "--join", odd}},
		{exitFailed, []string{"season", "-o", "s" + odd, odd}},
		{exitFailed, []string{"prescribe", odd + odd}},
		{exitFailed, []string{"prescribe", "d/b" + odd + ".yaml"}},
		{exitFailed, []string{"prescribe", "d/job.yaml", "-o", odd}},
		{exitFailed, []string{"prescribe", "d/job.yaml", "--png", odd + ".png"}},
		{exitFailed, []string{"inspect", odd + odd, "d/" + odd + ".csv"}},
		{exitUsage, []string{"prescribe", "d/job.yaml", "--application", odd}},
		{exitUsage, []string{"prescribe", odd, "b"}},
		{exitUsage, []string{"prescribe", "-" + odd}},
		{exitUsage, []string{"season", "-j", odd}},
		{exitUsage, []string{odd}},
	} {
		out.Reset()
		errs.Reset()
		require.Equal(t, c.exit, run(t.Context(), c.args, nil, &out, &errs), "%q: %s", c.args, errs.String())
		requireHarmless(t, out.String())
		requireHarmless(t, errs.String())
		if c.exit != exitUsage {
			require.Contains(t, out.String()+errs.String(), shownOdd, "%q", c.args)
		}
	}
}

// TestTablesForProgramsKeepTheRealName looks at the formats that escape it
// themselves. JSON holds no byte that is no text.
func TestTablesForProgramsKeepTheRealName(t *testing.T) {
	t.Chdir(t.TempDir())
	name := strings.TrimSuffix(odd, "\xff") + ".yaml"
	if err := os.WriteFile(name, []byte("field: {}\n"), 0o666); err != nil {
		t.Skip("no such names here: ", err)
	}
	var out, errs bytes.Buffer
	require.Equal(t, exitFailed, run(t.Context(), []string{"season", "--json", name}, nil, &out, &errs))
	var doc struct {
		Rows []struct{ Job, Error string } `json:"rows"`
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &doc))
	require.Len(t, doc.Rows, 1)
	assert.Equal(t, name, doc.Rows[0].Job)
	assert.Contains(t, doc.Rows[0].Error, name)
	file, err := os.Open("out/season.csv")
	require.NoError(t, err)
	defer file.Close()
	lines, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, name, lines[1][1])

	errs.Reset()
	require.Equal(t, exitFailed, run(t.Context(), []string{"prescribe", "--json", name}, nil, &out, &errs))
	var told errorJSON
	require.NoError(t, json.Unmarshal(errs.Bytes(), &told))
	require.NotEmpty(t, told.Inputs)
	assert.Equal(t, name, told.Inputs[0].File)
}

func TestATableShowsItsCellsEscaped(t *testing.T) {
	tab := &table{left: 1, head: [][]string{{"zone", "area"}}}
	tab.add("A\x1b\n", "1")
	assert.Equal(t, "  zone      area\n  A\\x1b\\n      1\n", tab.String())
	assert.Equal(t, "\nNotes\n  - a\\nb c\n", section("Notes", []string{"a\nb c"}))
}

func TestATraceKeepsItsLines(t *testing.T) {
	var errs bytes.Buffer
	c := &call{stderr: &errs}
	c.report(&faultError{"boom\n\nmain.f()\n\tmain.go:1", "here"})
	assert.Contains(t, errs.String(), "\nratewright: main.f()\nratewright:     main.go:1 (here).")
}
