package main

import (
	"bytes"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/job"
)

func readme(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(projectRoot(t), "README.md"))
	require.NoError(t, err)
	return strings.ReplaceAll(string(data), "\r\n", "\n")
}

// blocks returns the fenced blocks of a kind.
func blocks(text, kind string) []string {
	var list []string
	for _, m := range regexp.MustCompile("(?s)```"+kind+"\n(.*?)```").FindAllStringSubmatch(text, -1) {
		list = append(list, m[1])
	}
	return list
}

// TestREADMECommandsRun runs every command block in order in one folder, through
// run in place of `go run ./cmd/ratewright`. The tests themselves and builds are
// only checked to name packages that are there: a test cannot run itself.
func TestREADMECommandsRun(t *testing.T) {
	text := readme(t)
	t.Chdir(t.TempDir())
	ran := 0
	for _, block := range blocks(text, "sh") {
		for line := range strings.Lines(block) {
			line = strings.TrimSpace(line)
			switch {
			case line == "" || line == "go test ./...":
			case strings.Contains(line, "go build"):
				require.Regexp(t, `^(CGO_ENABLED=0 )(GOOS=\w+ GOARCH=\w+ )?go build -o ratewright(\.exe)? \./cmd/ratewright$`, line)
			default:
				rest, ok := strings.CutPrefix(line, "go run ./cmd/ratewright ")
				require.True(t, ok, "the test does not know how to run %q", line)
				var out, errs bytes.Buffer
				code := run(t.Context(), strings.Fields(rest), nil, &out, &errs)
				require.Zero(t, code, "%s\n%s", line, errs.String())
				require.NotEmpty(t, out.String(), line)
				ran++
			}
		}
	}
	require.GreaterOrEqual(t, ran, 6)
}

// TestREADMEShowsTheRealOutput holds the output of the worked example to the
// program's: every line in order, a line of three dots for any number left out.
func TestREADMEShowsTheRealOutput(t *testing.T) {
	shown := blocks(readme(t), "output")
	t.Chdir(t.TempDir())
	var out, errs bytes.Buffer
	require.Zero(t, run(t.Context(), []string{"demo", "demo-out"}, nil, &out, &errs), errs.String())
	require.Len(t, shown, 1)
	real := strings.Split(out.String(), "\n")
	at, skip := 0, false
	for _, line := range strings.Split(strings.TrimSuffix(shown[0], "\n"), "\n") {
		if line == "..." {
			skip = true
			continue
		}
		from := at
		for at < len(real) && real[at] != line && skip {
			at++
		}
		require.Less(t, at, len(real), "README shows a line that the program does not print after line %d: %q", from, line)
		require.Equal(t, real[at], line)
		at++
		skip = false
	}
}

func TestREADMEHasTheExitCodes(t *testing.T) {
	var want []string
	for line := range strings.Lines(exitTable) {
		if f := strings.Fields(line); len(f) > 1 && f[0] != "Exit" {
			want = append(want, "| "+f[0]+" | "+strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(line), f[0]))+" |")
		}
	}
	require.Len(t, want, 5)
	require.Contains(t, readme(t), strings.Join(want, "\n"))
}

// decoderKeys are the keys that the job decoder takes, read from its source.
func decoderKeys(t *testing.T) []string {
	t.Helper()
	var keys []string
	dir := filepath.Join(projectRoot(t), "cmd", "ratewright", "internal", "job")
	files, err := filepath.Glob(filepath.Join(dir, "decode*.go"))
	require.NoError(t, err)
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		tree, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		require.NoError(t, err)
		ast.Inspect(tree, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			if sel, ok := call.Fun.(*ast.SelectorExpr); !ok || sel.Sel.Name != "mapping" {
				return true
			}
			for _, a := range call.Args[2:] {
				if lit, ok := a.(*ast.BasicLit); ok {
					key, err := strconv.Unquote(lit.Value)
					require.NoError(t, err)
					keys = append(keys, key)
				}
			}
			return true
		})
	}
	require.Greater(t, len(keys), 50, "the decoder's keys were not found")
	return append(append(keys, asapplied.Roles()...), job.Findings()[0])
}

func TestREADMENamesEveryJobKey(t *testing.T) {
	text := readme(t)
	for _, key := range decoderKeys(t) {
		require.Regexp(t, "[`.{ ,]"+regexp.QuoteMeta(key)+"[`.:,} \\[]", text, "job key %q", key)
	}
}

func TestREADMENamesEveryJSONKey(t *testing.T) {
	text := readme(t)
	t.Chdir(t.TempDir())
	var out, errs bytes.Buffer
	require.Zero(t, run(t.Context(), []string{"demo", "demo-out"}, nil, &out, &errs), errs.String())
	for _, name := range []string{"prescription.json", "reconcile.json"} {
		data, err := os.ReadFile(filepath.Join("demo-out", "out", name))
		require.NoError(t, err)
		var tree any
		require.NoError(t, json.Unmarshal(data, &tree))
		for _, key := range jsonKeys(tree, "") {
			require.Contains(t, text, "`"+key+"`", "%s has the key %s", name, key)
		}
	}
}

// jsonKeys are the keys of a tree, those under files, loads, dropped and findings
// left out: names of files, and what has a sentence of its own.
func jsonKeys(v any, under string) []string {
	switch under {
	case "files", "loads", "findings":
		return nil
	}
	var keys []string
	switch v := v.(type) {
	case map[string]any:
		for k, w := range v {
			keys = append(append(keys, k), jsonKeys(w, k)...)
		}
	case []any:
		for _, w := range v {
			keys = append(keys, jsonKeys(w, under)...)
		}
	}
	return keys
}
