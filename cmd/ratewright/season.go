package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"

	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/cmd/ratewright/internal/season"
	"ratewright/geo/vector"
)

var seasonCommand = command{
	name: "season", args: "DIR|JOB... [-j N] [--fresh] [--shard I/N] [-o DIR] [--json]  |  --join DIR... [-o DIR] [--json]",
	about: "many fields in one run, and one table of them all",
	help: `Runs every job found: prescribe where an application has a rate and the job zones,
reconcile where it has logs. A DIR is walked for *.yaml files that are jobs. Writes
the page season.html, which lists first what needs attention, and season.csv and season.json
with a row for each application of each field.

The results of a field go to out/ beside its job, or to out/JOB/ where several jobs share
a folder; no two jobs share one, and a job reached by two names runs once. The tables
go to out/ in the folder that holds everything. With -o DIR the tables go to DIR and the
results to DIR/fields/.

A field that fails does not stop the others; the end says which failed and why. A field
whose inputs, job file and program are those of its last whole results is not computed
again. A run that was interrupted or killed goes on where it was when it is started again.

A log that several jobs read in the same way is read once; each field takes the records
within 100 m of its boundary and counts the others as other_field.

Flags:
  -j N         processors to use (default: all)
  --fresh      compute unchanged fields, too
  --shard I/N  only every N-th job from the I-th on, counted from 1; the tables go to
               out/shard-I-of-N/, or to -o, which each shard needs to itself
  --join       put the tables of all shards in DIR... together; they go beside those
               folders, or to -o
  -o DIR       where everything goes
  --json       print exactly season.json; an error is JSON on stderr

Over several machines that share a disk, with a Kubernetes Indexed Job of 20:
  ratewright season --shard $((JOB_COMPLETION_INDEX+1))/20 fields
with a Slurm array (#SBATCH --array=1-20):
  ratewright season --shard $SLURM_ARRAY_TASK_ID/20 fields
and then, in either case:
  ratewright season --join fields/out/shard-*-of-20`,
	run: (*call).season,
}

// seasonOptions are the flags that only a season has.
type seasonOptions struct {
	workers, shard string
	fresh, join    bool
}

func (c *call) season(args []string) error {
	o, err := parse("season", args, "o", "j", "fresh", "shard", "join", "json")
	if err != nil {
		return err
	}
	if o.season.join {
		return c.joinSeason(o)
	}
	if len(o.words) == 0 {
		return wrongUse("season", "a folder or a job file is missing")
	}
	ask := season.Options{Names: o.words, Out: o.out, Fresh: o.season.fresh, Write: c.write, Guard: guard}
	if text := o.season.workers; text != "" {
		if ask.Workers, err = strconv.Atoi(text); err != nil || ask.Workers < 1 {
			return wrongUse("season", "-j %s: give a number of processors, 1 or more", text)
		}
	}
	if text := o.season.shard; text != "" {
		if ask.Shard, err = season.ParseShard(text); err != nil {
			return wrongUse("season", "--shard: %s", err)
		}
	}
	if ask.Program, err = season.Program(); err != nil {
		return err
	}
	mended := &mender{call: c}
	ask.Recover = mended.recover
	progress := newProgressLine(c.stderr)
	ask.Progress = progress.show
	res, err := season.Run(c.ctx, ask)
	progress.clear()
	mended.tell()
	if errors.Is(err, context.Canceled) {
		return errInterrupted
	}
	if err != nil {
		return err
	}
	return c.finishSeason(res)
}

func (c *call) joinSeason(o options) error {
	switch {
	case o.season.fresh || o.season.shard != "" || o.season.workers != "":
		return wrongUse("season", "--join only puts tables together; -j, --fresh and --shard belong to the runs of the shards")
	case len(o.words) == 0:
		return wrongUse("season", "--join needs the folders of the shards")
	}
	mended := &mender{call: c}
	for _, dir := range o.words {
		if err := mended.recover(dir, nil); err != nil {
			return err
		}
	}
	mended.tell()
	res, err := season.Join(o.words)
	if err != nil {
		return err
	}
	if o.out != "" {
		res.Dir = o.out
	}
	return c.finishSeason(res)
}

// finishSeason writes the tables and says how the season went.
func (c *call) finishSeason(res season.Result) error {
	set := res.Set()
	failed := failedLines(&res.Season)
	summary, err := c.write(res.Dir, set, res.Inputs)
	if exitCode(err) == exitFailed && len(failed) > 0 { // no table will say so
		return &linesError{append(errorLines(err), failed...), append(inputErrors(err), failedInputs(&res.Season)...)}
	}
	if err != nil {
		return err
	}
	if c.json {
		_, err = c.stdout.Write(summary)
	} else {
		_, err = fmt.Fprint(c.stdout, seasonText(&res.Season))
		c.printFiles(res.Dir, set)
	}
	if err != nil {
		return err
	}
	if len(failed) > 0 {
		return &linesError{failed, failedInputs(&res.Season)}
	}
	if beyond := res.Season.Beyond(); len(beyond) > 0 {
		return &findingError{beyond}
	}
	return nil
}

// failedLines say which applications failed and why; there are none where none did.
func failedLines(s *season.Season) []string {
	failures := s.Failures()
	if len(failures) == 0 {
		return nil
	}
	return append([]string{fmt.Sprintf("%d of %d failed:", len(failures), s.Counts.Rows)}, failures...)
}

// failedInputs are the inputs at fault.
func failedInputs(s *season.Season) []*vector.InputError {
	return inputErrors(errors.Join(s.Errors()...))
}

func seasonText(s *season.Season) string {
	var b strings.Builder
	title := "Season"
	if s.Shard != nil {
		title = fmt.Sprintf("Shard %d of %d of a season", s.Shard.Index, s.Shard.Of)
	}
	n := s.Counts
	what := count(s.Totals.Fields, "field")
	if n.Rows > s.Totals.Fields {
		what += fmt.Sprintf(" with %d applications", n.Rows)
	}
	fmt.Fprintf(&b, "%s: %s, %d done, %d unchanged, %d failed", title, what, n.Done, n.Unchanged, n.Failed)
	if n.Beyond > 0 {
		fmt.Fprintf(&b, ", %d with findings beyond what their jobs accept", n.Beyond)
	}
	b.WriteString("\n" + section("Notes", s.Notes))
	return b.String()
}

// count words a number of things.
func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// mender puts folders right and remembers that it had to.
type mender struct {
	call             *call
	mu               sync.Mutex
	finished, undone []string
}

func (m *mender) recover(dir string, inputs []string) error {
	m.call.writing.RLock()
	defer m.call.writing.RUnlock()
	r, err := outputs.Recover(dir, inputs)
	m.mu.Lock()
	defer m.mu.Unlock()
	switch r {
	case outputs.Finished:
		m.finished = append(m.finished, filepath.Clean(dir))
	case outputs.Undone:
		m.undone = append(m.undone, filepath.Clean(dir))
	case outputs.Clean:
	}
	return err
}

func (m *mender) tell() {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.call.json {
		return
	}
	for _, dir := range m.finished {
		m.call.tellRecovery(outputs.Finished, dir)
	}
	for _, dir := range m.undone {
		m.call.tellRecovery(outputs.Undone, dir)
	}
}

// progressLine is one line on a terminal that is written over again and again.
type progressLine struct {
	to    io.Writer // nil where stderr is no terminal
	width int
}

func newProgressLine(stderr io.Writer) *progressLine {
	f, ok := stderr.(*os.File)
	if !ok {
		return &progressLine{}
	}
	info, err := f.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return &progressLine{}
	}
	return &progressLine{to: f}
}

func (p *progressLine) show(at season.Progress) {
	if p.to == nil {
		return
	}
	text := fmt.Sprintf("%d of %s", at.Finished, count(at.Jobs, "job"))
	if at.Failed > 0 {
		text += fmt.Sprintf(", %d failed", at.Failed)
	}
	fmt.Fprintf(p.to, "\r%-*s", p.width, text)
	p.width = len(text)
}

func (p *progressLine) clear() {
	if p.to != nil && p.width > 0 {
		fmt.Fprintf(p.to, "\r%*s\r", p.width, "")
	}
}
