package season

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ratewright/asapplied"
	"ratewright/asapplied/fieldlog"
	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/geo"
)

// made is a made-up field: its folder has a boundary, a log and a job.
func made(t *testing.T, seed int) fieldlog.Work {
	t.Helper()
	w, err := fieldlog.Make(fieldlog.Spec{
		Records: 300, Vary: true, Seed: uint64(seed + 1),
		Origin: geo.LonLat{-93.6 + 0.02*float64(seed), 42.03}, // 1.6 km apart
	})
	require.NoError(t, err)
	return w
}

const jobText = `units: si
field:
  name: Field %d
  boundary: boundary.geojson
machines:
  bar: {width: 18 m, sections: 24}
applications:
  - name: sidedress
    source: uan-32
    shallow: 8 cm
    machine: bar
    logs:
      - files: [%s]
        of: nitrogen
`

func put(t *testing.T, data string, path ...string) {
	t.Helper()
	file := filepath.Join(path...)
	require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o777))
	require.NoError(t, os.WriteFile(file, []byte(data), 0o666))
}

// someFields makes so many fields below a new folder, each in one of its own.
func someFields(t *testing.T, n int) string {
	t.Helper()
	root := t.TempDir()
	for i := range n {
		w := made(t, i)
		dir := filepath.Join(root, fmt.Sprintf("f%02d", i))
		var boundary, log bytes.Buffer
		require.NoError(t, w.WriteBoundary(&boundary))
		require.NoError(t, w.WriteCSV(&log))
		put(t, boundary.String(), dir, "boundary.geojson")
		put(t, log.String(), dir, "log.csv")
		put(t, fmt.Sprintf(jobText, i, "log.csv"), dir, "job.yaml")
	}
	return root
}

// options run names as the command would, without its terminal.
func options(names ...string) Options {
	return Options{
		Names: names, Workers: 2, Program: "a program",
		Write: outputs.Write,
		Recover: func(dir string, inputs []string) error {
			_, err := outputs.Recover(dir, inputs)
			return err
		},
		Guard: func(work func() error) (err error) {
			defer func() {
				if v := recover(); v != nil {
					err = fmt.Errorf("fault: %v", v)
				}
			}()
			return work()
		},
	}
}

func mustRun(t *testing.T, o Options) Result {
	t.Helper()
	res, err := Run(t.Context(), o)
	require.NoError(t, err)
	return res
}

func states(s Season) string {
	var list []string
	for _, r := range s.Rows {
		list = append(list, string(r.State))
	}
	return strings.Join(list, " ")
}

// timeless is a table without what differs from run to run (times, and the sum of
// the CSV that holds them) and what is not written into it.
func timeless(s Season) Season {
	s.Files = nil
	s.Rows = append([]Row{}, s.Rows...)
	for i := range s.Rows {
		s.Rows[i].Seconds, s.Rows[i].dir, s.Rows[i].err = 0, "", nil
	}
	return s
}

func TestOneFieldThatFailsDoesNotStopTheOthers(t *testing.T) {
	root := someFields(t, 3)
	put(t, "field: {boundary: nowhere.geojson}\napplications: [{name: a, source: urea, logs: [{files: [x.csv]}]}]\n", root, "f01", "job.yaml")
	put(t, "fieldd: {}\nfield: {}\n", root, "g", "job.yaml")
	put(t, "field: {boundary: ../f00/boundary.geojson}\n", root, "h", "job.yaml")
	put(t, "field: {boundary: ../f00/boundary.geojson}\napplications: [{name: a, source: urea}, {name: b, source: urea}]\n", root, "i", "job.yaml")
	put(t, "field: {boundary: ../f00}\napplications: [{name: a, source: urea, logs: [{files: [x.csv]}]}]\n", root, "j", "job.yaml")
	res := mustRun(t, options(root))
	require.Equal(t, "done failed done failed failed failed failed failed", states(res.Season))
	require.Equal(t, Counts{Rows: 8, Done: 2, Failed: 6}, res.Season.Counts)
	failures := strings.Join(res.Season.Failures(), "\n")
	require.Contains(t, failures, "f01/job.yaml, a: ")
	require.Contains(t, failures, "nowhere.geojson")
	require.Contains(t, failures, `unknown key "fieldd" in the job`)
	require.Contains(t, failures, "h/job.yaml: ")
	require.Contains(t, failures, "the job has no application")
	require.Contains(t, failures, "i/job.yaml, b: ")
	require.Contains(t, failures, "application b asks for nothing")
	require.Contains(t, failures, "f00: cannot be read: is a directory; name a file in it")
	for _, r := range res.Season.Rows {
		if r.State == Failed {
			require.NotContains(t, r.Error, "\n")
			require.Nil(t, r.AreaM2["field"])
		} else {
			require.Positive(t, *r.AreaM2["covered"])
			require.InDelta(t, *r.AreaM2["field"], *r.AreaM2["covered"]+*r.AreaM2["missed"]+*r.AreaM2["not_planned"], 1e-6)
			require.Equal(t, r.Records.Read, r.Records.Used+r.Records.NotWorking+r.Records.Dropped)
		}
	}
}

func TestAPanicIsTheFailureOfItsFieldAlone(t *testing.T) {
	root := someFields(t, 3)
	o := options(root)
	write := o.Write
	o.Write = func(dir string, set outputs.Set, inputs []string) ([]byte, error) {
		if strings.Contains(dir, "f01") {
			panic("out of paper")
		}
		return write(dir, set, inputs)
	}
	res := mustRun(t, o)
	require.Equal(t, "done failed done", states(res.Season))
	require.Equal(t, "fault: out of paper", res.Season.Rows[1].Error)
}

// TestOnlyWhatChangedIsComputed changes everything that a result depends on, one
// after the other.
func TestOnlyWhatChangedIsComputed(t *testing.T) {
	root := someFields(t, 3)
	o := options(root)
	first := mustRun(t, o)
	require.Equal(t, "done done done", states(first.Season))
	again := mustRun(t, o)
	require.Equal(t, "unchanged unchanged unchanged", states(again.Season))
	for i, r := range again.Season.Rows {
		r.State = Done
		r.Seconds = first.Season.Rows[i].Seconds
		require.Equal(t, first.Season.Rows[i], r)
	}
	edit := func(edit func([]byte) []byte, path ...string) {
		file := filepath.Join(append([]string{root}, path...)...)
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(file, edit(data), 0o666))
	}
	cut := func(data []byte) []byte { return data[:bytes.LastIndexByte(data[:len(data)-1], '\n')+1] }
	space := func(data []byte) []byte { return append(data, ' ') }
	comment := func(data []byte) []byte { return append(data, "# a word\n"...) }

	edit(cut, "f01", "log.csv")
	require.Equal(t, "unchanged done unchanged", states(mustRun(t, o).Season), "a log")
	edit(comment, "f02", "job.yaml")
	require.Equal(t, "unchanged unchanged done", states(mustRun(t, o).Season), "a job")
	edit(space, "f00", "boundary.geojson")
	require.Equal(t, "done unchanged unchanged", states(mustRun(t, o).Season), "a boundary")
	edit(space, "f00", "out", "patches.geojson")
	require.Equal(t, "done unchanged unchanged", states(mustRun(t, o).Season), "an output")
	require.NoError(t, os.Remove(filepath.Join(root, "f00", "out", "patches.shp")))
	require.Equal(t, "done unchanged unchanged", states(mustRun(t, o).Season), "an output that is gone")
	require.NoError(t, os.Remove(filepath.Join(root, "f01", "out", "season-stamp.json")))
	require.Equal(t, "unchanged done unchanged", states(mustRun(t, o).Season), "a stamp")
	require.Equal(t, "unchanged unchanged unchanged", states(mustRun(t, o).Season))
	o.Fresh = true
	require.Equal(t, "done done done", states(mustRun(t, o).Season), "asked for")
	o.Fresh, o.Program = false, "another program"
	require.Equal(t, "done done done", states(mustRun(t, o).Season), "the program")
	o.Out = filepath.Join(root, "elsewhere")
	require.Equal(t, "done done done", states(mustRun(t, o).Season), "another folder")

	moved := filepath.Join(t.TempDir(), "moved")
	require.NoError(t, os.Rename(root, moved))
	o = options(moved)
	o.Program = "another program"
	require.Equal(t, "unchanged unchanged unchanged", states(mustRun(t, o).Season), "moved as a whole")
}

// The figures of an unchanged field come from its stamp: one that is not as it was
// written, or that cannot show that it is, counts for nothing.
func TestAStampThatWasEditedIsNotBelieved(t *testing.T) {
	root := someFields(t, 2)
	first := mustRun(t, options(root))
	file := filepath.Join(root, "f00", "out", "season-stamp.json")
	written, err := os.ReadFile(file)
	require.NoError(t, err)
	for what, edited := range map[string]string{
		"a figure":      regexp.MustCompile(`"covered": [\d.]+`).ReplaceAllString(string(written), `"covered": 5`),
		"a name":        strings.ReplaceAll(string(written), `"sidedress"`, `"topdress"`),
		"without a sum": regexp.MustCompile(`,\s+"sha256": "[0-9a-f]{64}"`).ReplaceAllString(string(written), ""),
	} {
		require.NotEqual(t, string(written), edited, what)
		put(t, edited, file)
		again := mustRun(t, options(root))
		require.Equal(t, "done unchanged", states(again.Season), what)
		require.Equal(t, first.Season.Rows[0].AreaM2, again.Season.Rows[0].AreaM2, what)
		require.Equal(t, "unchanged unchanged", states(mustRun(t, options(root)).Season), what)
	}
}

func TestAFailureIsTriedAgain(t *testing.T) {
	root := someFields(t, 2)
	log := filepath.Join(root, "f01", "log.csv")
	require.NoError(t, os.Rename(log, log+".away"))
	require.Equal(t, "done failed", states(mustRun(t, options(root)).Season))
	require.NoError(t, os.Rename(log+".away", log))
	require.Equal(t, "unchanged done", states(mustRun(t, options(root)).Season))
}

func TestTheTableDoesNotDependOnTheWorkers(t *testing.T) {
	root := someFields(t, 5)
	o := options(root)
	o.Fresh, o.Workers = true, 1
	want := timeless(mustRun(t, o).Season)
	o.Workers = 4
	require.Equal(t, want, timeless(mustRun(t, o).Season))
	o.Names = []string{filepath.Join(root, "f03"), root, filepath.Join(root, "f00", "job.yaml"), root}
	require.Equal(t, want, timeless(mustRun(t, o).Season), "nor on the order of names")
}

// sharedDay makes three fields of one log, and returns the log's number of
// records.
func sharedDay(t *testing.T) (root string, records int) {
	t.Helper()
	root = t.TempDir()
	var day strings.Builder
	seconds := 0.0
	for i := range 3 {
		w := made(t, i)
		for k := range w.Records { // the machine works one field after the other
			w.Records[k].Seconds += seconds
		}
		seconds = w.Records[len(w.Records)-1].Seconds + 1800
		records += len(w.Records)
		var boundary, log bytes.Buffer
		require.NoError(t, w.WriteBoundary(&boundary))
		require.NoError(t, w.WriteCSV(&log))
		text := log.String()
		if i > 0 {
			_, text, _ = strings.Cut(text, "\n")
		}
		day.WriteString(text)
		dir := filepath.Join(root, fmt.Sprintf("f%02d", i))
		put(t, boundary.String(), dir, "boundary.geojson")
		put(t, fmt.Sprintf(jobText, i, "../day.csv"), dir, "job.yaml")
	}
	put(t, day.String(), root, "day.csv")
	return root, records
}

// TestALogOfManyFieldsAddsUp holds every field's row to what it is when the whole
// log is read for that field alone, and the records to those of the log.
func TestALogOfManyFieldsAddsUp(t *testing.T) {
	root, records := sharedDay(t)
	o := options(root)
	o.Out = filepath.Join(t.TempDir(), "all")
	all := mustRun(t, o).Season
	require.Equal(t, "done done done", states(all))
	own := 0
	for i, r := range all.Rows {
		require.Equal(t, records, r.Records.Read)
		require.Equal(t, records, r.Records.Used+r.Records.NotWorking+r.Records.Dropped)
		require.Positive(t, r.Records.Used)
		own += records - r.Records.OtherField

		alone := options(filepath.Join(root, fmt.Sprintf("f%02d", i), "job.yaml"))
		alone.Out = filepath.Join(t.TempDir(), "alone")
		single := mustRun(t, alone).Season.Rows[0]
		single.Number, single.Job, single.Seconds, r.Seconds, single.dir = r.Number, r.Job, 0, 0, r.dir
		require.Equal(t, single, r)
		for _, name := range []string{"reconcile.json", "patches.geojson", "patches.shp"} {
			want, err := os.ReadFile(filepath.Join(alone.Out, "fields", "job", name))
			require.NoError(t, err)
			got, err := os.ReadFile(filepath.Join(o.Out, "fields", fmt.Sprintf("f%02d", i), "job", name))
			require.NoError(t, err)
			require.True(t, bytes.Equal(want, got), name)
		}
	}
	require.Equal(t, records, own, "each record belongs to one field")
}

// TestASharedLogIsReadOnceInARun also sees that nothing of it stays in memory.
func TestASharedLogIsReadOnceInARun(t *testing.T) {
	root, _ := sharedDay(t)
	list, err := Find([]string{root})
	require.NoError(t, err)
	r := newRunner(options(root), list)
	var reads atomic.Int32
	r.logs.read = func(spec asapplied.LogSpec) (asapplied.Log, error) {
		reads.Add(1)
		return asapplied.ReadLog(spec)
	}
	dirs, err := r.places.apart(list.Jobs)
	require.NoError(t, err)
	fields := r.take(list, dirs)
	require.NoError(t, r.work(t.Context(), fields))
	require.EqualValues(t, 1, reads.Load())
	require.Empty(t, r.logs.shared)
	require.Zero(t, r.logs.held)
	require.Equal(t, Done, fields[2].rows[0].State)
}

func TestJobsInOneFolderHaveFoldersOfTheirOwn(t *testing.T) {
	root := someFields(t, 1)
	dir := filepath.Join(root, "f00")
	put(t, fmt.Sprintf(jobText, 9, "log.csv"), dir, "other.yaml")
	put(t, "columns: [a, b]\n", dir, "notes.yaml")
	put(t, "field: {}\n", dir, ".hidden.yaml")
	put(t, "field: {}\n", dir, ".cache", "job.yaml")
	res := mustRun(t, options(root))
	require.Equal(t, "done done", states(res.Season))
	require.FileExists(t, filepath.Join(dir, "out", "job", "reconcile.json"))
	require.FileExists(t, filepath.Join(dir, "out", "other", "reconcile.json"))
	require.Len(t, res.Season.Notes, 1)
	require.Contains(t, res.Season.Notes[0], "f00/notes.yaml")
	single := mustRun(t, options(filepath.Join(dir, "other.yaml")))
	require.Equal(t, "unchanged", states(single.Season), "by itself it has the same folder")
	require.Empty(t, single.Season.Notes)
}

func TestOutputsNeverReplaceAnInputOfAnotherField(t *testing.T) {
	root := someFields(t, 2)
	patches := filepath.Join(root, "f00", "out", "patches.geojson")
	boundary, err := os.ReadFile(filepath.Join(root, "f01", "boundary.geojson"))
	require.NoError(t, err)
	put(t, string(boundary), patches)
	job := strings.Replace(fmt.Sprintf(jobText, 1, "log.csv"), "boundary.geojson", "../f00/out/patches.geojson", 1)
	put(t, job, root, "f01", "job.yaml")
	res := mustRun(t, options(root))
	require.Equal(t, "failed done", states(res.Season))
	require.Contains(t, res.Season.Rows[0].Error, "would overwrite an input of f01/job.yaml")
	got, err := os.ReadFile(patches)
	require.NoError(t, err)
	require.Equal(t, boundary, got)
}

func TestAnInterruptBeginsNothingNew(t *testing.T) {
	root := someFields(t, 6)
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	o := options(root)
	o.Workers = 1
	var written int
	var mu sync.Mutex
	o.Write = func(dir string, set outputs.Set, inputs []string) ([]byte, error) {
		cancel()
		mu.Lock()
		defer mu.Unlock()
		written++
		return outputs.Write(dir, set, inputs)
	}
	_, err := Run(ctx, o)
	require.ErrorIs(t, err, context.Canceled)
	require.LessOrEqual(t, written, 2, "what was begun is finished, and no more")
	again := mustRun(t, options(root)).Season
	require.Equal(t, written, again.Counts.Unchanged)
	require.Equal(t, 6-written, again.Counts.Done)
}

func TestTheTablesHaveTheSameFigures(t *testing.T) {
	root := someFields(t, 2)
	put(t, "field: {}\n", root, "g", "job.yaml")
	s := mustRun(t, options(root)).Season
	dir := t.TempDir()
	summary, err := outputs.Write(dir, s.Set(), nil)
	require.NoError(t, err)
	require.NotContains(t, string(summary), "NaN")
	table, err := os.ReadFile(filepath.Join(dir, csvName))
	require.NoError(t, err)
	lines, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
	require.NoError(t, err)
	require.Len(t, lines, 4)
	column := map[string]int{}
	for i, name := range lines[0] {
		column[name] = i
	}
	for i, r := range s.Rows {
		cell := func(name string) string { return lines[i+1][column[name]] }
		for _, k := range areaKeys {
			require.Equal(t, known(r.AreaM2[k]), cell(k+"_m2"))
		}
		for _, k := range nitrogenKeys {
			require.Equal(t, known(r.NitrogenKg[k]), cell("n_"+k+"_kg"))
		}
		require.Equal(t, strconv.Itoa(r.Notes), cell("notes"))
		require.Equal(t, string(r.State), cell("state"))
		require.Equal(t, r.Job, cell("job"))
		require.Equal(t, r.Error, cell("error"))
	}
	require.Empty(t, lines[3][column["covered_m2"]])
	require.NotEmpty(t, lines[1][column["covered_m2"]])
}

// TestTheKeysAreThoseOfAReconciliation keeps the columns in step with
// reconcile.json.
func TestTheKeysAreThoseOfAReconciliation(t *testing.T) {
	for _, c := range []struct {
		doc  any
		keys []string
	}{{asapplied.AreaJSON{}, areaKeys}, {asapplied.NitrogenJSON{}, nitrogenKeys}} {
		data, err := json.Marshal(c.doc)
		require.NoError(t, err)
		var got map[string]any
		require.NoError(t, json.Unmarshal(data, &got))
		require.Len(t, got, len(c.keys))
		for _, k := range c.keys {
			require.Contains(t, got, k)
		}
	}
}

func TestNumbersKeepTheirDigits(t *testing.T) {
	for text, v := range map[string]float64{"592376.6980197591": 592376.6980197591, "1000000": 1e6, "3.5e-12": 3.5e-12, "0": 0} {
		require.Equal(t, text, number(v))
	}
}

func TestNoJobIsAnError(t *testing.T) {
	dir := t.TempDir()
	put(t, "a: 1\n", dir, "x.yaml")
	_, err := Find([]string{dir})
	require.ErrorContains(t, err, "no job file found in "+dir)
	_, err = Find([]string{filepath.Join(dir, "gone.yaml")})
	require.ErrorContains(t, err, "gone.yaml: there is no such file or folder; check the name")
	put(t, "field: {name: F, boundary: b.geojson}\n", dir, "job.yaml")
	list, err := Find([]string{dir, filepath.Join(dir, "gone.yaml")})
	require.NoError(t, err, "beside others, a file that is named fails as a job")
	require.Len(t, list.Jobs, 2)
}

// TestAllProcessorsAreUsed unless fewer are asked for: fields are worked out side by side.
func TestAllProcessorsAreUsed(t *testing.T) {
	root := someFields(t, 4)
	for asked, want := range map[int]int{0: runtime.GOMAXPROCS(0), 1: 1, 3: 3} {
		o := options(root)
		o.Workers = asked
		list, err := Find(o.Names)
		require.NoError(t, err)
		r := newRunner(o, list)
		require.Equal(t, want, cap(r.processors), "%d asked for", asked)

		// Each waits until as many are at work as can be.
		var at, most atomic.Int32 // most is set once all are there
		each(t.Context(), want, r.Workers, func(int) {
			now := at.Add(1)
			if now == int32(want) {
				most.Store(now)
			}
			for stop := time.Now().Add(5 * time.Second); int(most.Load()) < want && time.Now().Before(stop); {
				time.Sleep(time.Millisecond)
			}
			at.Add(-1)
		})
		require.Equal(t, want, int(most.Load()), "at a time, of %d asked for", asked)
	}
}
