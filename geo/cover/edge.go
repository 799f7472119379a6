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

// piece is the part of an edge that matters to one block: inside it, or pressed
// against its left wall.
type piece struct {
	edge
	lo, hi float64 // heights between which the piece is there
	wall   bool    // on the left wall of the block
}

// box is the square of one block.
type box struct{ x0, y0, x1, y1 float64 }

// at returns the piece's x at a height, kept inside the block.
func (p *piece) at(y float64, b *box) float64 {
	if p.wall {
		return b.x0
	}
	return min(max(p.edge.at(y), b.x0), b.x1)
}

// cut appends the pieces of an edge that matter to a block: what lies inside
// and, when walls is set, what lies to the left of it. What lies right of the
// block changes nothing inside.
func (b *box) cut(pieces []piece, e *edge, walls bool) []piece {
	lo, hi := max(e.y0, b.y0), min(e.y1, b.y1)
	if lo >= hi {
		return pieces
	}
	xlo, xhi := e.at(lo), e.at(hi)
	if xlo >= b.x1 && xhi >= b.x1 {
		return pieces
	}
	if xlo <= b.x0 && xhi <= b.x0 {
		if walls {
			pieces = append(pieces, piece{edge: *e, lo: lo, hi: hi, wall: true})
		}
		return pieces
	}
	inLo, inHi := lo, hi
	if (xlo <= b.x0) != (xhi <= b.x0) {
		y := e.crossingX(b.x0, lo, hi)
		wl, wh := lo, y
		if xlo > b.x0 {
			wl, wh = y, hi
			inHi = y
		} else {
			inLo = y
		}
		if walls && wl < wh {
			pieces = append(pieces, piece{edge: *e, lo: wl, hi: wh, wall: true})
		}
	}
	if (xlo >= b.x1) != (xhi >= b.x1) {
		y := e.crossingX(b.x1, inLo, inHi)
		if xlo >= b.x1 {
			inLo = y
		} else {
			inHi = y
		}
	}
	if inLo < inHi {
		pieces = append(pieces, piece{edge: *e, lo: inLo, hi: inHi})
	}
	return pieces
}
