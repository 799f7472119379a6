package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ratewright/cmd/ratewright/internal/job"
	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/geo/vector"
)

func TestEveryErrorHasItsExitCode(t *testing.T) {
	for want, errs := range map[int][]error{
		exitDone:        {nil},
		exitFailed:      {errors.New("x"), &vector.InputError{}, &faultError{}},
		exitUsage:       {wrongUse("demo", "x"), &job.ChoiceError{}, fmt.Errorf("in: %w", wrongUse("", "x"))},
		exitFinding:     {&findingError{[]string{"x"}}},
		exitInterrupted: {context.Canceled, fmt.Errorf("interrupted: %w", context.Canceled)},
	} {
		for _, err := range errs {
			assert.Equal(t, want, exitCode(err), "%v", err)
		}
	}
}

// A help has one blank line between its parts, and every exit code.
func TestEveryHelpIsWhole(t *testing.T) {
	names := []string{""}
	for _, cmd := range commands() {
		names = append(names, cmd.name)
	}
	for _, name := range names {
		text := helpText(name)
		assert.NotContains(t, text, "\n\n\n", "help of %q: two blank lines", name)
		assert.NotRegexp(t, `(?m)[ \t]$`, text, "help of %q: blanks at the end of a line", name)
		assert.Regexp(t, `\S\n\z`, text, "help of %q", name)
		for _, code := range []int{exitDone, exitFailed, exitUsage, exitFinding, exitInterrupted} {
			assert.Contains(t, text, fmt.Sprintf("\n  %-3d  ", code), "help of %q", name)
		}
	}
}

func TestAPanicIsToldWithoutATrace(t *testing.T) {
	err := guard(func() error {
		var list []int
		_ = list[len(list)]
		return nil
	})
	var fault *faultError
	require.ErrorAs(t, err, &fault)
	assert.Equal(t, exitFailed, exitCode(err))
	assert.Contains(t, err.Error(), "fault of ratewright itself")
	assert.Contains(t, err.Error(), "index out of range")
	assert.Contains(t, err.Error(), "TestAPanicIsToldWithoutATrace")
	assert.NotContains(t, err.Error(), "goroutine")
	assert.NotContains(t, err.Error(), "\n")
}

func TestAnInterruptEndsWith130AndWritesNothing(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	dir := filepath.Join(t.TempDir(), "demo")
	var stdout, stderr bytes.Buffer
	c := &call{ctx: ctx, stdout: &stdout, stderr: &stderr}
	err := c.demo([]string{dir})
	assert.Equal(t, exitInterrupted, exitCode(err))
	_, err = os.Stat(dir)
	assert.ErrorIs(t, err, os.ErrNotExist)
}

func TestAnInterruptDoesNotWaitForTheComputation(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	release := make(chan struct{})
	defer close(release)
	started := make(chan struct{})
	var stderr bytes.Buffer
	c := &call{ctx: ctx, stderr: &stderr}
	go func() {
		<-started
		cancel()
	}()
	code := c.wait(func() error {
		close(started)
		<-release
		return nil
	})
	assert.Equal(t, exitInterrupted, code)
	assert.Contains(t, stderr.String(), "interrupted")
}

func TestAnInterruptLetsASetBeFinished(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	dir := t.TempDir()
	var stderr bytes.Buffer
	c := &call{ctx: ctx, stderr: &stderr}
	code := c.wait(func() error {
		c.writing.Lock()
		cancel()
		defer c.writing.Unlock()
		_, err := outputs.Write(dir, outputs.Set{Summary: outputs.File{Name: "a.json", Data: []byte("x")}}, nil)
		return err
	})
	assert.Contains(t, []int{exitDone, exitInterrupted}, code)
	_, err := os.Stat(filepath.Join(dir, "a.json"))
	assert.NoError(t, err)
}

func TestFlagsStandAnywhere(t *testing.T) {
	o, err := parse("prescribe", []string{"-o", "x", "job.yaml", "--application=a", "--json"}, "o", "application", "json")
	require.NoError(t, err)
	assert.Equal(t, options{out: "x", application: "a", words: []string{"job.yaml"}}, o)
	o, err = parse("inspect", []string{"--json", "--", "-o"}, "json")
	require.NoError(t, err)
	assert.Equal(t, []string{"-o"}, o.words)
	for text, want := range map[string]bool{"--json": true, "-json=1": true, "--json=false": false, "json": false, "-- --json": false, "x -json": true} {
		assert.Equal(t, want, asksForJSON(strings.Fields(text)), text)
	}
}

func TestJSONErrorsNameEveryInput(t *testing.T) {
	var stderr bytes.Buffer
	c := &call{stderr: &stderr, json: true}
	a := &vector.InputError{File: "a.csv", Place: "line 3", What: "w", Fix: "f"}
	b := &vector.InputError{File: "b.csv", What: "v"}
	c.report(fmt.Errorf("outer: %w", job.Faults{a, b}))
	var got errorJSON
	require.NoError(t, json.Unmarshal(stderr.Bytes(), &got))
	assert.Equal(t, []inputJSON{{"a.csv", "line 3", "w", "f"}, {"b.csv", "", "v", ""}}, got.Inputs)
	assert.Equal(t, 1, got.Exit)
}

func TestATableLinesUp(t *testing.T) {
	tab := &table{left: 1, head: [][]string{{"zone", "area"}}}
	tab.add("A", "1.25")
	tab.add()
	tab.add("männlich", "-")
	assert.Equal(t, "  zone       area\n  A          1.25\n\n  männlich      -\n", tab.String())
}
