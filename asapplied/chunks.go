package asapplied

import (
	"runtime"

	"ratewright/geo/parallel"
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
	parallel.Each(workers, workers, func(w int) { f(n*w/workers, n*(w+1)/workers) })
}
