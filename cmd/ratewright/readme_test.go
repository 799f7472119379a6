package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// README is held to the program: every command block runs, what it shows is what
// the program prints, and its tables have the keys, words and codes that the
// program has, none more and none less (readmekeys_test.go).

func readme(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(projectRoot(t), "README.md"))
	require.NoError(t, err)
	return strings.ReplaceAll(string(data), "\r\n", "\n")
}

// block is a fenced block of README.
type block struct{ kind, text string }

var fence = regexp.MustCompile("(?ms)^```([a-z]*)\n(.*?)^```$")

func blocks(text string) []block {
	var list []block
	for _, m := range fence.FindAllStringSubmatch(text, -1) {
		list = append(list, block{m[1], m[2]})
	}
	return list
}

// shell runs the commands of README in a folder of its own, with a program that
// it built as README says.
type shell struct {
	root, program, dir string
	ran                int
}

func newShell(t *testing.T) *shell {
	t.Helper()
	s := &shell{root: projectRoot(t), dir: t.TempDir()}
	s.program = filepath.Join(t.TempDir(), "ratewright")
	if runtime.GOOS == "windows" {
		s.program += ".exe"
	}
	build := exec.CommandContext(t.Context(), "go", "build", "-o", s.program, "./cmd/ratewright")
	build.Dir, build.Env = s.root, append(os.Environ(), "CGO_ENABLED=0")
	out, err := build.CombinedOutput()
	require.NoError(t, err, "%s", out)
	require.NoError(t, os.CopyFS(filepath.Join(s.dir, "testdata"), os.DirFS(filepath.Join(s.root, "testdata"))))
	return s
}

// run runs one line of README and returns what a terminal would show. `go run
// ./cmd/ratewright` becomes the built program; a failure adds the line that go
// run would.
func (s *shell) run(ctx context.Context, line string) (shown string, code int, err error) {
	rest, ok := strings.CutPrefix(line, "go run ./cmd/ratewright ")
	if !ok {
		return "", 0, fmt.Errorf("the test does not know how to run %q", line)
	}
	s.ran++
	var out bytes.Buffer
	rest, to, kept := strings.Cut(rest, " > ")
	cmd := exec.CommandContext(ctx, s.program, words(rest)...)
	cmd.Dir, cmd.Stdout, cmd.Stderr = s.dir, &out, &out
	err = cmd.Run()
	if code = cmd.ProcessState.ExitCode(); code > 0 {
		fmt.Fprintf(&out, "exit status %d\n", code)
		err = nil
	}
	if kept && err == nil {
		err = os.WriteFile(filepath.Join(s.dir, to), out.Bytes(), 0o600)
	}
	return out.String(), code, err
}

// words splits a line as a shell does; double quotes keep blanks.
func words(line string) []string {
	var list []string
	for _, m := range regexp.MustCompile(`"([^"]*)"|(\S+)`).FindAllStringSubmatch(line, -1) {
		list = append(list, m[1]+m[2])
	}
	return list
}

// buildLine is a line that builds the program; it must name a system that the
// checks build for.
var buildLine = regexp.MustCompile(`^CGO_ENABLED=0 (?:GOOS=(\w+) GOARCH=(\w+) )?go build -o ratewright[-.a-z]* \./cmd/ratewright$`)

// TestREADMECommandsRunAndShowWhatTheyPrint runs every line of the sh blocks and
// every command of the output blocks, in order. Not run are `go test ./...`,
// which would run this test, and builds for other systems, which .ci/run does;
// newShell builds for this one.
func TestREADMECommandsRunAndShowWhatTheyPrint(t *testing.T) {
	s := newShell(t)
	builds := map[string]bool{}
	shown, arrays := 0, 0
	for _, b := range blocks(readme(t)) {
		switch b.kind {
		case "sh":
			for line := range strings.Lines(b.text) {
				line = strings.TrimSpace(line)
				if m := buildLine.FindStringSubmatch(line); m != nil {
					builds[m[1]] = true
					continue
				}
				if line == "go test ./..." {
					continue
				}
				out, code, err := s.run(t.Context(), line)
				require.NoError(t, err)
				require.Zero(t, code, "%s\n%s", line, out)
				require.NotEmpty(t, out, line)
			}
		case "output":
			first, rest, _ := strings.Cut(b.text, "\n")
			line, ok := strings.CutPrefix(first, "$ ")
			require.True(t, ok, "an output block begins with its command: %q", first)
			out, _, err := s.run(t.Context(), line)
			require.NoError(t, err)
			if runtime.GOOS == "windows" { // which words it in its own way
				out = strings.ReplaceAll(filepath.ToSlash(out), "The system cannot find the file specified.", "no such file or directory")
			}
			require.Empty(t, differs(rest, out), line)
			shown++
		case "yaml", "slurm":
			// No scheduler is here; its variables are put in by hand and the command
			// of one index is run on the demo's folder.
			line := jobArrayLine(b.text)
			require.Contains(t, b.text, map[string]string{"yaml": "completions: 20\n", "slurm": "#SBATCH --array=1-20\n"}[b.kind])
			require.Contains(t, line, "--shard 1/20 ")
			_, code, err := s.run(t.Context(), line)
			require.NoError(t, err)
			require.Zero(t, code, line)
			arrays++
		case "job":
			data, err := os.ReadFile(filepath.Join(s.dir, "demo-out", "job.yaml"))
			require.NoError(t, err)
			require.Equal(t, string(data), b.text, "the job of the demo")
			shown++
		default:
			t.Errorf("a block of kind %q is not tested: %q", b.kind, b.text)
		}
	}
	require.GreaterOrEqual(t, s.ran, 9)
	require.GreaterOrEqual(t, shown, 7)
	require.Equal(t, 2, arrays)
	require.Equal(t, map[string]bool{"": true, "linux": true, "darwin": true, "windows": true}, builds)
}

// jobArrayLine is the command that a job array gives its first member.
func jobArrayLine(text string) string {
	line := regexp.MustCompile(`(?m)^ *ratewright (season .*)$`).FindStringSubmatch(text)
	if line == nil {
		return ""
	}
	return "go run ./cmd/ratewright " + strings.NewReplacer(
		"$((JOB_COMPLETION_INDEX+1))", "1", "\"$SLURM_ARRAY_TASK_ID/20\"", "1/20", "\"$SLURM_CPUS_PER_TASK\"", "2",
		"/data/fields", "demo-out", " fields", " demo-out").Replace(line[1])
}

// differs says where shown is not what was printed. A line of three dots in shown
// stands for any number of lines left out; all others must follow one another.
func differs(shown, printed string) string {
	want := strings.Split(strings.TrimSuffix(shown, "\n"), "\n")
	have := strings.Split(strings.TrimSuffix(printed, "\n"), "\n")
	at, skip := 0, false
	for _, line := range want {
		if line == "..." {
			skip = true
			continue
		}
		for skip && at < len(have) && have[at] != line {
			at++
		}
		switch {
		case at == len(have):
			return fmt.Sprintf("README shows %q, which is not printed there", line)
		case have[at] != line:
			return fmt.Sprintf("README shows %q, and printed is %q", line, have[at])
		}
		at, skip = at+1, false
	}
	if !skip && at < len(have) {
		return fmt.Sprintf("README ends, and printed is still %q", have[at])
	}
	return ""
}

func TestDiffersFindsADifference(t *testing.T) {
	require.Empty(t, differs("a\n...\nc\n", "a\nb\nc\n"))
	require.Empty(t, differs("a\n...\n", "a\nb\nc\n"))
	for _, shown := range []string{"a\nb\n", "a\nc\n", "...\nx\n...\n", "...\nb\n", "b\n...\n", "a\nb\nc\nd\n"} {
		require.NotEmpty(t, differs(shown, "a\nb\nc\n"), shown)
	}
}

// TestREADMEJobOfInspectRuns fills in what the job that README's line of inspect
// saves leaves open, and prescribes with it where it was saved.
func TestREADMEJobOfInspectRuns(t *testing.T) {
	m := regexp.MustCompile(`(?m)^go run \./cmd/ratewright inspect --job .* > (\S+)$`).FindStringSubmatch(readme(t))
	require.NotNil(t, m)
	s := newShell(t)
	for _, line := range []string{"go run ./cmd/ratewright demo demo-out", m[0]} {
		out, code, err := s.run(t.Context(), line)
		require.NoError(t, err)
		require.Zero(t, code, out)
	}
	path := filepath.Join(s.dir, m[1])
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	for _, open := range [][2]string{
		{`distance: }`, "distance: 100 ft}"}, {`width: .*`, "width: 60 ft"}, {`source: .*`, "source: uan-32"}, {`date: .*`, "date: 2026-06-05"}, {` of:  .*`, " of: nitrogen"},
	} {
		filled := regexp.MustCompile(open[0]).ReplaceAll(text, []byte(open[1]))
		require.NotEqual(t, string(text), string(filled), open[0])
		text = filled
	}
	require.NoError(t, os.WriteFile(path, text, 0o600))
	for command, shows := range map[string]string{"prescribe": "off limits     2.45", "reconcile": "in off-limits ground"} {
		out, code, err := s.run(t.Context(), "go run ./cmd/ratewright "+command+" "+m[1])
		require.NoError(t, err)
		require.Zero(t, code, out)
		require.Contains(t, out, shows)
	}
}

// TestREADMEFiguresOfAWrongOffset runs the demo's job with the offsets that README
// names and compares the acres it states.
func TestREADMEFiguresOfAWrongOffset(t *testing.T) {
	m := regexp.MustCompile(`gives ([0-9.]+) ac doubled and ([0-9.]+) ac missed in place of ([0-9.]+) ac and ([0-9.]+) ac; leaving out the 8 ft gives ([0-9.]+) ac and ([0-9.]+) ac\.`).
		FindStringSubmatch(readme(t))
	require.NotNil(t, m)
	s := newShell(t)
	_, _, err := s.run(t.Context(), "go run ./cmd/ratewright demo d")
	require.NoError(t, err)
	data, err := os.ReadFile(filepath.Join(s.dir, "d", "job.yaml"))
	require.NoError(t, err)
	const bar = "bar: {behind: 8 ft}"
	require.Contains(t, string(data), bar)
	for i, instead := range []string{"bar: {behind: 8 ft, right: 0.5 m}", bar, "bar: {behind: 0 ft}"} {
		text := strings.Replace(string(data), bar, instead, 1)
		require.NoError(t, os.WriteFile(filepath.Join(s.dir, "d", "moved.yaml"), []byte(text), 0o600))
		area := reconciled(t, s, "d/moved.yaml").AreaM2
		acres := func(m2 float64) string { return fmt.Sprintf("%.2f", m2/4046.8564224) }
		require.Equal(t, m[1+2*i], acres(area.Doubled), instead)
		require.Equal(t, m[2+2*i], acres(area.Missed), instead)
	}
}

// TestREADMEFiguresOfTheHarvestLog runs the real log through a job and compares
// what README states of it.
func TestREADMEFiguresOfTheHarvestLog(t *testing.T) {
	text := readme(t)
	log := regexp.MustCompile(`\(([0-9,]+) records;.*? of the field, ([0-9.]+) ha\.`).FindStringSubmatch(text)
	sums := regexp.MustCompile(`above 5 s\. ([0-9.]+) ha are covered.*? the records ([0-9]+) are dropped as .no_ground. .*? and ([0-9]+) as .no_heading.`).FindStringSubmatch(text)
	require.NotNil(t, log)
	require.NotNil(t, sums)
	dir := filepath.Join(projectRoot(t), "..", "shared", "data", "gartner")
	if _, err := os.Stat(dir); err != nil {
		t.Skip("the open data folder is not there; TestRealHarvestLogCovers holds these figures where it is")
	}
	s := newShell(t)
	jobText := fmt.Sprintf(`
field: {name: harvest, boundary: %[1]q}
machines: {harvester: {}}
applications:
  - name: harvest
    logs:
      - files: [%[2]q]
        columns: {time: Time, lon: Longitude, lat: Latitude, width: Swath, heading: none, rate: none, working: none, flow: none}
        units: {width: in}
        max_gap: 5 s
`, filepath.ToSlash(filepath.Join(dir, "soilmu_a_aoi.shp")), filepath.ToSlash(filepath.Join(dir, "gartner_corn_rawlog.csv")))
	require.NoError(t, os.WriteFile(filepath.Join(s.dir, "harvest.yaml"), []byte(jobText), 0o600))
	r := reconciled(t, s, "harvest.yaml")
	require.Equal(t, strings.ReplaceAll(log[1], ",", ""), fmt.Sprint(r.Records.Read))
	require.Equal(t, log[2], fmt.Sprintf("%.4f", r.AreaM2.Field/1e4))
	require.Equal(t, sums[1], fmt.Sprintf("%.2f", r.AreaM2.Covered/1e4))
	require.Equal(t, sums[2], fmt.Sprint(r.Records.Dropped["no_ground"]))
	require.Equal(t, sums[3], fmt.Sprint(r.Records.Dropped["no_heading"]))
	require.Nil(t, r.NitrogenKg.Applied)
	require.Nil(t, r.AreaM2.Shallow)
}
