package asapplied

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// smallestChunk is the number of records below which a second worker does not
// pay.
const smallestChunk = 1 << 14

// inChunks calls f for ranges that make up 0 to n, side by side where there are
// enough of them; workers 0 is one per processor. A panic in one is raised again
// in the caller.
func inChunks(n, workers int, f func(lo, hi int)) {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	if workers = min(workers, n/smallestChunk); workers < 2 {
		f(0, n)
		return
	}
	var wg sync.WaitGroup
	var fault atomic.Value
	for w := range workers {
		wg.Go(func() {
			defer func() {
				if r := recover(); r != nil {
					fault.CompareAndSwap(nil, fmt.Sprintf("%v\n%s", r, debug.Stack()))
				}
			}()
			f(n*w/workers, n*(w+1)/workers)
		})
	}
	wg.Wait()
	if r := fault.Load(); r != nil {
		panic(r)
	}
}
