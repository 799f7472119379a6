package cover

import "github.com/paulmach/orb"

// edge is a straight line that climbs from (x0, y0) to (x1, y1). Crossing it
// from left to right adds w to the winding of its owner. A level line counts as
// climbing from left to right by nothing.
type edge struct {
	x0, y0, x1, y1 float64
	slope          float64 // dx/dy; not used where the edge is level
	owner          int32
	w              int32
}

// newEdge turns a directed side of a ring into an edge.
func newEdge(a, b orb.Point, owner int32) edge {
	e := edge{x0: a[0], y0: a[1], x1: b[0], y1: b[1], owner: owner, w: -1}
	if a[1] > b[1] || a[1] == b[1] && a[0] > b[0] {
		e.x0, e.y0, e.x1, e.y1, e.w = b[0], b[1], a[0], a[1], 1
	}
	if !e.level() {
		e.slope = (e.x1 - e.x0) / (e.y1 - e.y0)
	}
	return e
}

func (e *edge) level() bool { return e.y0 == e.y1 }

// at returns the edge's x at a height. It is the only place where a point on an
// edge is computed, so that every block finds the same point.
func (e *edge) at(y float64) float64 {
	if y <= e.y0 {
		return e.x0
	}
	if y >= e.y1 {
		return e.x1
	}
	return e.x0 + (y-e.y0)*e.slope
}

// crossingX returns the height, within [lo, hi], at which the edge passes x.
func (e *edge) crossingX(x, lo, hi float64) float64 {
	if e.slope == 0 {
		return hi
	}
	return min(max(e.y0+(x-e.x0)/e.slope, lo), hi)
}

// piece is the part of an edge that lies inside a block.
type piece struct {
	edge
	lo, hi float64 // heights between which the piece is there
	// Where it was crossed last, mostly from the same state as the time before.
	from, to int32
}

func newPiece(e *edge, in stretch) piece { return piece{*e, in.lo, in.hi, unknown, unknown} }

// wallStep is a change of an owner's winding on the left wall of a block, from a
// height upwards. What lies left of a block matters to it only in this way.
type wallStep struct {
	y        float64
	owner, w int32
}

// beside is a stretch of the left wall along which a side of an owner lies left of it.
type beside struct {
	stretch
	owner, w int32
}

// box is the square of one block.
type box struct{ x0, y0, x1, y1 float64 }

// at returns the piece's x at a height, kept inside the block.
func (p *piece) at(y float64, b *box) float64 {
	return min(max(p.edge.at(y), b.x0), b.x1)
}

// cut divides an edge at the walls of the block: in is the stretch of heights in
// which it lies inside, left the one in which it lies left of the block. An
// empty stretch has no height. What lies right of the block changes nothing
// inside.
func (b *box) cut(e *edge) (in, left stretch) {
	lo, hi := max(e.y0, b.y0), min(e.y1, b.y1)
	if lo >= hi {
		return in, left
	}
	xlo, xhi := e.at(lo), e.at(hi)
	if xlo >= b.x1 && xhi >= b.x1 {
		return in, left
	}
	in = stretch{lo, hi}
	switch lowLeft, highLeft := xlo <= b.x0, xhi <= b.x0; {
	case lowLeft && highLeft:
		return stretch{}, in
	case lowLeft:
		in.lo = e.crossingX(b.x0, lo, hi)
		left = stretch{lo, in.lo}
	case highLeft:
		in.hi = e.crossingX(b.x0, lo, hi)
		left = stretch{in.hi, hi}
	}
	switch lowRight, highRight := xlo >= b.x1, xhi >= b.x1; {
	case lowRight:
		in.lo = e.crossingX(b.x1, in.lo, in.hi)
	case highRight:
		in.hi = e.crossingX(b.x1, in.lo, in.hi)
	}
	return in, left
}

// stretch is a range of heights.
type stretch struct{ lo, hi float64 }

func (s stretch) empty() bool { return s.lo >= s.hi }
