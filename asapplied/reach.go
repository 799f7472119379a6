package asapplied

import (
	"math"
	"sync/atomic"

	"github.com/paulmach/orb"

	"ratewright/geo"
)

// reach tells which places lie within otherFieldM of the boundary. Most places
// are told by the cell of a coarse grid they fall in; only in cells that the
// limit passes through is the distance taken place by place.
type reach struct {
	boundary geo.Region
	box      orb.Bound
	cell     float64
	cols     int
	cells    []atomic.Int32 // a cellReach each
}

type cellReach = int32

const (
	unasked cellReach = iota
	allNear
	allFar
	mixed
)

// reachCells is the number of cells along the longer side of the boundary's box.
const reachCells = 64

func newReach(boundary geo.Region) reach {
	r := reach{boundary: boundary, box: boundary.Bound().Pad(otherFieldM)}
	w, h := r.box.Max[0]-r.box.Min[0], r.box.Max[1]-r.box.Min[1]
	r.cell = math.Max(w, h) / reachCells
	r.cols = int(w/r.cell) + 1
	r.cells = make([]atomic.Int32, r.cols*(int(h/r.cell)+1))
	return r
}

// holds tells whether a place is within reach.
func (r *reach) holds(p orb.Point) bool {
	if !r.box.Contains(p) {
		return false
	}
	col, row := int((p[0]-r.box.Min[0])/r.cell), int((p[1]-r.box.Min[1])/r.cell)
	at := &r.cells[row*r.cols+col]
	c := at.Load()
	if c == unasked {
		// Two workers may ask at once and find the same.
		c = r.ask(col, row)
		at.Store(c)
	}
	return c == allNear || c == mixed && r.boundary.DistanceTo(p).Metres() <= otherFieldM
}

// ask tells a cell by the distance of its middle: no place in it is further from
// the middle than half its diagonal.
func (r *reach) ask(col, row int) cellReach {
	half := r.cell / 2
	middle := orb.Point{r.box.Min[0] + (float64(col)+0.5)*r.cell, r.box.Min[1] + (float64(row)+0.5)*r.cell}
	d, spread := r.boundary.DistanceTo(middle).Metres(), half*math.Sqrt2*(1+1e-9)
	switch {
	case d+spread <= otherFieldM:
		return allNear
	case d-spread > otherFieldM:
		return allFar
	}
	return mixed
}
