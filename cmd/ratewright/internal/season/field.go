package season

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"time"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/job"
	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/geo/vector"
	"ratewright/rx"
)

// field is one job of the run.
type field struct {
	number int
	found  Found
	dir    string // of its results

	job     job.Job
	rows    []Row    // by application; one where the job cannot be read
	inputs  []string // of all applications
	todo    []int    // applications to compute
	logKeys []string // of the logs that they read, each once
}

// open reads the job and finds out which of its applications are unchanged.
func (r *runner) open(f *field) {
	err := r.Guard(func() error {
		if err := refusePipe(f.found.Path, "job file"); err != nil {
			return err
		}
		var err error
		if f.job, err = job.Load(f.found.Path); err != nil {
			return err
		}
		if len(f.job.Applications) == 0 {
			return &vector.InputError{File: f.found.Path, What: "the job has no application", Fix: "describe one under `applications:`"}
		}
		for i, a := range f.job.Applications {
			if err := r.openApplication(f, i, a); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		row := newRow(f.number, f.found)
		row.Field = f.job.Field.Name
		row.fail(err)
		f.rows, f.todo, f.logKeys = []Row{row}, nil, nil
	}
}

func (r *runner) openApplication(f *field, i int, a job.ApplicationSpec) error {
	began := time.Now()
	row := newRow(f.number, f.found)
	row.Field, row.Application, row.Units, row.dir = f.job.Field.Name, a.Name, f.job.Units.String(), f.dir
	prescribe, reconcile := f.job.Asks(a)
	if prescribe {
		row.Steps = append(row.Steps, "prescribe")
	}
	if reconcile {
		row.Steps = append(row.Steps, "reconcile")
	}
	files := f.job.Inputs(a)
	f.inputs = append(f.inputs, files...)
	if err := r.Recover(f.dir, files); err != nil {
		return err
	}
	if st, ok := readStamp(f.dir, stampName(f.job, a)); ok && !r.Fresh && st.fresh(r.sums, r.Program, f.dir, f.job, files) {
		row = st.Row
		row.dir, row.card = f.dir, st.Card
		row.Number, row.Job, row.State, row.Seconds = f.number, f.found.Rel, Unchanged, since(began)
		f.rows = append(f.rows, row)
		return nil
	}
	f.rows = append(f.rows, row)
	f.todo = append(f.todo, i)
	specs, err := f.job.LogSpecs(a)
	if err != nil {
		return nil // the step itself will say so, in the row of this application
	}
	for _, spec := range specs {
		key, err := logKey(spec)
		if err != nil {
			return err
		}
		if !slices.Contains(f.logKeys, key) {
			f.logKeys = append(f.logKeys, key)
		}
	}
	return nil
}

// compute works on the applications of a field that are not unchanged.
func (r *runner) compute(ctx context.Context, f *field) {
	for _, i := range f.todo {
		if ctx.Err() != nil {
			return
		}
		began := time.Now()
		row := &f.rows[i]
		row.State = Done
		err := r.Guard(func() error { return r.steps(f, f.job.Applications[i], row) })
		if err != nil {
			row.fail(err)
		}
		row.Seconds = since(began)
	}
}

// since is the time in seconds, to a tenth of a millisecond.
func since(began time.Time) float64 {
	return math.Round(time.Since(began).Seconds()*1e4) / 1e4
}

// steps does what an application asks for and writes all of it as one set. A
// processor is held for the work, not while the disk is waited for.
func (r *runner) steps(f *field, a job.ApplicationSpec, row *Row) error {
	set, inputs, err := r.results(f, a, row)
	if err != nil {
		return err
	}
	if err := r.refuseOthersInputs(f, set); err != nil {
		return err
	}
	_, err = r.Write(f.dir, set, inputs)
	return err
}

// results works out the row and the files of an application, the stamp last.
func (r *runner) results(f *field, a job.ApplicationSpec, row *Row) (set outputs.Set, inputs []string, err error) {
	r.processors <- struct{}{}
	defer func() { <-r.processors }()
	prescribe, reconcile := f.job.Asks(a)
	if !prescribe && !reconcile {
		return set, nil, &vector.InputError{
			File: f.found.Path, What: fmt.Sprintf("application %s asks for nothing: it has neither a rate with zones nor logs", a.Name),
			Fix: "give it `rate:` and the job `zones:`, or list its `logs:`",
		}
	}
	inputs = f.job.Inputs(a)
	st := stamp{Program: r.Program}
	if st.Inputs, err = r.sums.inputs(f.job, inputs); err != nil {
		return set, nil, err
	}
	var sets []outputs.Set
	var notes []string
	if prescribe {
		p, err := f.job.PrescribeAs(a.Name, job.How{Workers: r.inner, Sum: r.sums.of, Card: !reconcile})
		if err != nil {
			return set, nil, err
		}
		row.prescribed(p)
		row.card = p.Card
		sets, notes, inputs = append(sets, p.Set), append(notes, p.Notes...), append(inputs, p.Inputs...)
	}
	if reconcile {
		rec, err := f.job.ReconcileAs(a.Name, job.How{Workers: r.inner, ReadLog: r.readLog, Sum: r.sums.of, Card: true})
		if err != nil {
			return set, nil, err
		}
		if err := row.reconciled(rec); err != nil {
			return set, nil, err
		}
		row.card = rec.Card
		sets, notes, inputs = append(sets, rec.Set), append(notes, rec.Notes...), append(inputs, rec.Inputs...)
	}
	row.Notes = distinct(notes)
	st.Row, st.Card = *row, row.card
	st.Row.Seconds, st.Row.Number = 0, 0
	return stamped(sets, stampName(f.job, a), st), inputs, nil
}

func (r *runner) readLog(spec asapplied.LogSpec, ground rx.Field) (asapplied.Log, error) {
	return r.logs.readFor(spec, ground)
}

// distinct counts notes, equal ones once: both steps note how the field was read.
func distinct(notes []string) int {
	seen := map[string]bool{}
	for _, n := range notes {
		seen[n] = true
	}
	return len(seen)
}

// refuseOthersInputs keeps a field from writing over what another one reads. Its
// own inputs are guarded where the set is written.
func (r *runner) refuseOthersInputs(f *field, set outputs.Set) error {
	for _, name := range set.Names() {
		path := filepath.Join(f.dir, filepath.FromSlash(name))
		if rel, ok := r.owner[absolute(path)]; ok {
			return fmt.Errorf("%s: this output would overwrite an input of %s; choose another folder with -o", path, rel)
		}
	}
	return nil
}

// absolute is a path in the form by which inputs are compared.
func absolute(path string) string {
	if abs, err := filepath.Abs(path); err == nil {
		return abs
	}
	return filepath.Clean(path)
}

// refusePipe: a season reads a job and its inputs more than once, which a pipe gives
// once or never, and waits for ever on one that nobody writes to.
func refusePipe(file, what string) error {
	if info, err := os.Stat(file); err == nil && !info.IsDir() && !info.Mode().IsRegular() {
		return &vector.InputError{File: file, What: "is a pipe or a device, not a " + what, Fix: "name a file"}
	}
	return nil
}

func unreadable(file string, err error) error {
	return &vector.InputError{File: file, What: "cannot be read: " + reason(err), Fix: vector.Remedy(err, "check its name in the job; it is relative to the job file")}
}

// reason is a failed file operation without the path.
func reason(err error) string {
	for inner := errors.Unwrap(err); inner != nil; inner = errors.Unwrap(err) {
		err = inner
	}
	return err.Error()
}
