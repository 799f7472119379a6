package cover

// tieM is the distance below which two edges count as meeting, in metres.
const tieM = 1e-10

// live is a piece in the current strip with its x at the strip's bottom and top, and
// twice that at its middle.
type live struct {
	xb, xt, mid float64
	piece       int32
}

// gap is the trapezoid between two neighbouring pieces of a strip.
type gap struct {
	left, right        int32 // the pieces on its sides; wallSide for the block's walls
	xbl, xbr, xtl, xtr float64
	areaM2             float64
	verdict            *Verdict
}

// wallSide stands for a wall of the block where a gap reaches it.
const wallSide int32 = -1

// sweeper works through the blocks of one row. Its slices are reused from block
// to block.
type sweeper struct {
	sw    *sweep
	judge Judge
	rec   *recorder // nil without patches

	box    box
	pieces []piece
	starts []start // of the pieces, from the lowest
	walls  []wallStep
	beside []beside
	on     []winding // on the left wall at the present height
	owners owners
	lives  []live
	gaps   []gap
	over   overlay
	lace   lace
}

// block judges every face of one block.
func (s *sweeper) block(b box, swaths, edges []int32, corner []winding) {
	s.box = b
	s.collect(swaths, edges, corner)
	s.over.begin()
	s.lives, s.on = s.lives[:0], s.on[:0]
	starts, walls := s.starts, s.walls
	for y0 := b.y0; y0 < b.y1; {
		for ; len(walls) > 0 && walls[0].y <= y0; walls = walls[1:] {
			s.on = addWinding(s.on, winding{walls[0].owner, walls[0].w})
			s.over.wall = unknown
		}
		y1 := b.y1
		if len(walls) > 0 {
			y1 = min(y1, walls[0].y)
		}
		y1, starts = s.enter(y0, y1, starts)
		s.strip(y0, y1)
		y0 = y1
	}
	s.over.flush()
	if s.rec != nil {
		s.rec.endBlock()
	}
}

// compare is [cmp.Compare] of what is never NaN, which most of the time of sorting
// goes into otherwise.
func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// enter brings the live pieces to the strip from y0 up: those that ended leave, those
// that begin join. The strip ends at y1 at most, and where the first of them ends or
// another begins.
func (s *sweeper) enter(y0, y1 float64, starts []start) (float64, []start) {
	kept := s.lives[:0]
	for _, l := range s.lives {
		if hi := s.pieces[l.piece].hi; hi > y0 {
			l.xb = l.xt
			kept, y1 = append(kept, l), min(y1, hi)
		}
	}
	for ; len(starts) > 0 && starts[0].y <= y0; starts = starts[1:] {
		p := &s.pieces[starts[0].piece]
		kept, y1 = append(kept, live{xb: p.at(y0, &s.box), piece: starts[0].piece}), min(y1, p.hi)
	}
	if len(starts) > 0 {
		y1 = min(y1, starts[0].y)
	}
	s.lives = kept
	s.place(y1)
	return y1, starts
}

// place finds the x of the live pieces at the top of a strip and sorts them from left
// to right at its middle. They are nearly in order from the strip below.
func (s *sweeper) place(y1 float64) {
	ls := s.lives
	for i := range ls {
		l := ls[i]
		l.xt = s.pieces[l.piece].at(y1, &s.box)
		l.mid = l.xb + l.xt
		j := i
		for ; j > 0 && ls[j-1].mid > l.mid; j-- {
			ls[j] = ls[j-1]
		}
		ls[j] = l
	}
}
