package job

import (
	"sync"

	"ratewright/geo/parallel"
	"ratewright/geo/vector"
)

// ahead is a file of features that is read before it is asked for.
type ahead struct {
	path, crs string
	done      func() // waits
	layer     vector.Layer
	err       error
}

// readAhead begins to read a file beside what is done until it is asked for. done waits
// until it is read.
func (o *opener) readAhead(path, crs string) (done func()) {
	a := &ahead{path: path, crs: crs}
	a.done = sync.OnceFunc(parallel.Beside(func() { a.layer, a.err = vector.Read(path, vector.Options{CRS: crs}) }))
	o.ahead = a
	return a.done
}

// layer reads a whole file of features, or waits for one that is read ahead.
func (o *opener) layer(path, crs string) (vector.Layer, error) {
	a := o.ahead
	if a == nil || a.path != path || a.crs != crs {
		return vector.Read(path, vector.Options{CRS: crs})
	}
	o.ahead = nil // it serves once, for who has a layer may add to it
	a.done()
	return a.layer, a.err
}
