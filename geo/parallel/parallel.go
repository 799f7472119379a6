// Package parallel spreads work over processors.
package parallel

import (
	"runtime"
	"sync/atomic"

	"github.com/sourcegraph/conc"
)

// Each calls f for 0 to n-1, each once, as many at a time as there are workers; 0
// is one per processor, and one works in the goroutine of the caller. A panic in f is
// raised again in the caller, who may want to catch it.
func Each(n, workers int, f func(i int)) {
	EachBy(n, workers, func() func(int) { return f })
}

// Try is [Each] of what may fail: all are called, and the error is that of the lowest i
// that has one.
func Try(n, workers int, f func(i int) error) error {
	errs := make([]error, n)
	Each(n, workers, func(i int) { errs[i] = f(i) })
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// Beside calls f beside what follows. wait waits for it, and raises a panic of it.
func Beside(f func()) (wait func()) {
	var wg conc.WaitGroup
	wg.Go(f)
	return wg.Wait
}

// EachBy is [Each] with a function for every worker, so that it may keep to itself
// what it works with.
func EachBy(n, workers int, newWorker func() func(i int)) {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	var next atomic.Int64
	work := func() {
		f := newWorker()
		for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
			f(i)
		}
	}
	if workers = min(workers, n); workers < 2 {
		work()
		return
	}
	var wg conc.WaitGroup
	for range workers {
		wg.Go(work)
	}
	wg.Wait()
}
