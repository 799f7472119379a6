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
// enough of them; workers 0 is one per processor.
func inChunks(n, workers int, f func(lo, hi int)) {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	workers = max(min(workers, n/smallestChunk), 1)
	inTurn(workers, workers, func(w int) { f(n*w/workers, n*(w+1)/workers) })
}

// inTurn calls f for 0 to n-1, each once, as many at a time as there are workers;
// 0 is one per processor. A panic in one is raised again in the caller.
func inTurn(n, workers int, f func(i int)) {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	if workers = min(workers, n); workers < 2 {
		for i := range n {
			f(i)
		}
		return
	}
	var next atomic.Int64
	var wg sync.WaitGroup
	var fault atomic.Value
	for range workers {
		wg.Go(func() {
			defer func() {
				if r := recover(); r != nil {
					fault.CompareAndSwap(nil, fmt.Sprintf("%v\n%s", r, debug.Stack()))
				}
			}()
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				f(i)
			}
		})
	}
	wg.Wait()
	if r := fault.Load(); r != nil {
		panic(r)
	}
}
