package season

import (
	"cmp"
	"context"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"ratewright/cmd/ratewright/internal/outputs"
)

// Options say what to run and how.
type Options struct {
	Names   []string // folders and job files
	Out     string   // where everything goes; empty: beside the jobs
	Shard   Shard
	Workers int  // processors to use; 0 is all
	Fresh   bool // compute what is unchanged, too
	Program string

	// Write and Recover replace a set of files and put a folder right; they may
	// be called by several goroutines at once. Guard turns a panic into an error.
	Write   func(dir string, set outputs.Set, inputs []string) ([]byte, error)
	Recover func(dir string, inputs []string) error
	Guard   func(work func() error) error
	// Progress hears of every job that is finished; nil for nobody. It is called
	// by one goroutine at a time.
	Progress func(Progress)
}

// Progress says how far a run is.
type Progress struct{ Finished, Failed, Jobs int }

// Result is a finished run.
type Result struct {
	Season Season
	Dir    string   // of the tables
	Inputs []string // of the tables: no output may overwrite one
}

// runner is one run.
type runner struct {
	Options
	places *places
	sums   *sums
	logs   *logs
	inner  int // processors for each field
	// processors holds an entry for each field that is being worked out.
	processors chan struct{}
	owner      map[string]string // absolute path of an input -> a job that reads it

	mu       sync.Mutex
	progress Progress
}

// Run does what every job asks for and returns the table; writing it is left to
// the caller. A field that fails is a row of the table and no error. An error
// means that the season could not be run as a whole, or the context's end: then
// nothing new is begun, and what was written is whole.
func Run(ctx context.Context, o Options) (Result, error) {
	list, err := Find(o.Names)
	if err != nil {
		return Result{}, err
	}
	r := newRunner(o, list)
	dirs, err := r.places.apart(list.Jobs)
	if err != nil {
		return Result{}, err
	}
	res := Result{Dir: r.places.tables(o.Shard)}
	if err := r.Recover(res.Dir, nil); err != nil {
		return Result{}, err
	}
	if err := refuseOtherShard(res.Dir, o.Shard); err != nil {
		return Result{}, err
	}
	fields := r.take(list, dirs)
	if err := r.work(ctx, fields); err != nil {
		return Result{}, err
	}
	var rows []Row
	for _, f := range fields {
		rows = append(rows, f.rows...)
		res.Inputs = append(append(res.Inputs, f.found.Path), f.inputs...)
	}
	res.Season = newSeason(o, list, rows)
	return res, nil
}

func newRunner(o Options, list List) *runner {
	if o.Workers <= 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	return &runner{
		Options: o, sums: newSums(), logs: newLogs(keptLogBytes), owner: map[string]string{},
		processors: make(chan struct{}, o.Workers),
		places:     &places{out: o.Out, root: list.Root, folders: map[string]jobsOf{}},
	}
}

// take makes the fields of the shard, with the folders of their results.
func (r *runner) take(list List, dirs []string) []*field {
	var fields []*field
	for i, found := range list.Jobs {
		if r.Shard.holds(i + 1) {
			fields = append(fields, &field{number: i + 1, found: found, dir: dirs[i]})
		}
	}
	r.progress.Jobs = len(fields)
	return fields
}

// work first looks which fields are unchanged, then computes the others.
func (r *runner) work(ctx context.Context, fields []*field) error {
	each(ctx, len(fields), r.Workers, func(i int) { r.open(fields[i]) })
	if err := ctx.Err(); err != nil {
		return err
	}
	var todo []*field
	for _, f := range fields {
		for _, path := range f.inputs {
			r.owner[absolute(path)] = f.found.Rel
		}
		if len(f.todo) == 0 {
			r.finished(f)
			continue
		}
		todo = append(todo, f)
		r.logs.expect(f.logKeys)
	}
	r.logs.settle()
	todo = together(todo)
	r.inner = max(1, r.Workers/max(1, len(todo)))
	defer r.letGarbagePile(todo)()
	// Twice as many as there are processors: half of them may wait for the disk.
	each(ctx, len(todo), 2*r.Workers, func(i int) {
		r.compute(ctx, todo[i])
		r.logs.done(todo[i].logKeys)
		r.finished(todo[i])
	})
	return ctx.Err()
}

// together puts fields that share a log behind one another, so that it need not
// be kept for long.
func together(fields []*field) []*field {
	first := map[string]int{}
	rank := make(map[*field]int, len(fields))
	for i, f := range fields {
		rank[f] = i
		for _, k := range f.logKeys {
			if at, ok := first[k]; ok {
				rank[f] = min(rank[f], at)
			}
		}
		for _, k := range f.logKeys {
			if _, ok := first[k]; !ok {
				first[k] = rank[f]
			}
		}
	}
	sorted := slices.Clone(fields)
	slices.SortStableFunc(sorted, func(a, b *field) int { return cmp.Compare(rank[a], rank[b]) })
	return sorted
}

// finished tells the progress.
func (r *runner) finished(f *field) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.progress.Finished++
	if slices.ContainsFunc(f.rows, func(row Row) bool { return row.State == Failed }) {
		r.progress.Failed++
	}
	if r.Progress != nil {
		r.Progress(r.progress)
	}
}

// each calls f for 0 to n-1 with so many goroutines; after the end of the context
// no other is begun.
func each(ctx context.Context, n, workers int, f func(int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(workers, n) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < n && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				f(i)
			}
		})
	}
	wg.Wait()
}
