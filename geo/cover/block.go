package cover

import (
	"cmp"
	"slices"
)

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

// start is where a piece begins.
type start struct {
	y     float64
	piece int32
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

// collect gathers the pieces and wall steps of all swaths and polygons that
// touch the block.
func (s *sweeper) collect(swaths, edges []int32, corner []winding) {
	s.pieces, s.walls, s.beside = s.pieces[:0], s.walls[:0], s.beside[:0]
	s.owners.assign(s.sw, swaths)
	for k, i := range swaths {
		s.collectSwath(&s.sw.in.Swaths[i], &s.owners.of[k])
	}
	for _, c := range corner {
		s.walls = append(s.walls, wallStep{s.box.y0, c.owner, c.w})
	}
	for _, i := range edges {
		e := &s.sw.base.edges[i]
		if in, _ := s.box.cut(e); !in.empty() {
			s.pieces = append(s.pieces, newPiece(e, in))
		}
		if y, w, ok := s.box.passesLeftWall(e); ok {
			s.walls = append(s.walls, wallStep{y, e.owner, w})
		}
	}
	s.settleWalls()
	s.sortStarts()
}

// collectSwath adds the edges of one swath, without the bars it shares.
func (s *sweeper) collectSwath(w *Swath, o *owned) {
	if w.Shape != 0 {
		for _, r := range s.sw.in.shape(w) {
			eachRingEdge(r, func(a, b point) { s.addSide(a, b, o.owner) })
		}
		return
	}
	q := &w.Quad
	if !o.sharesBack {
		s.addSide(q[0], q[1], o.owner)
	}
	s.addSide(q[1], q[2], o.owner)
	if !o.sharesFront {
		s.addSide(q[2], q[3], o.owner)
	}
	s.addSide(q[3], q[0], o.owner)
}

// addSide adds a directed side of a swath. Most sides of the swaths that touch a
// block lie wholly beside it and are told by their ends alone.
func (s *sweeper) addSide(a, b point, owner int32) {
	lo, hi, w := a[1], b[1], int32(-1)
	if lo > hi {
		lo, hi, w = hi, lo, 1
	}
	if hi <= s.box.y0 || lo >= s.box.y1 || lo == hi || a[0] >= s.box.x1 && b[0] >= s.box.x1 {
		return
	}
	left := stretch{max(lo, s.box.y0), min(hi, s.box.y1)}
	if a[0] > s.box.x0 || b[0] > s.box.x0 {
		e := newEdge(a, b, owner)
		var in stretch
		in, left = s.box.cut(&e)
		if !in.empty() {
			s.pieces = append(s.pieces, newPiece(&e, in))
		}
	}
	if !left.empty() {
		s.addBeside(beside{left, owner, w})
	}
}

// addBeside adds a stretch of the left wall. Along a pass most go on where the one of
// the same side of the swath before ends, two before.
func (s *sweeper) addBeside(n beside) {
	for i := len(s.beside) - 1; i >= max(len(s.beside)-2, 0); i-- {
		b := &s.beside[i]
		if b.owner != n.owner || b.w != n.w {
			continue
		}
		switch {
		case b.hi == n.lo:
			b.hi = n.hi
			return
		case b.lo == n.hi:
			b.lo = n.lo
			return
		}
	}
	s.beside = append(s.beside, n)
}

// settleWalls sorts the wall steps by height and drops those that cancel, such
// as where one side of a run of swaths goes on into the next.
func (s *sweeper) settleWalls() {
	for _, b := range s.beside {
		s.walls = append(s.walls, wallStep{b.lo, b.owner, b.w})
		if b.hi < s.box.y1 {
			s.walls = append(s.walls, wallStep{b.hi, b.owner, -b.w})
		}
	}
	slices.SortFunc(s.walls, func(a, b wallStep) int {
		if a.y != b.y {
			return compare(a.y, b.y)
		}
		return cmp.Compare(a.owner, b.owner)
	})
	kept := s.walls[:0]
	for _, w := range s.walls {
		if n := len(kept); n > 0 && kept[n-1].y == w.y && kept[n-1].owner == w.owner {
			kept[n-1].w += w.w
			continue
		}
		if n := len(kept); n > 0 && kept[n-1].w == 0 {
			kept = kept[:n-1]
		}
		kept = append(kept, w)
	}
	if n := len(kept); n > 0 && kept[n-1].w == 0 {
		kept = kept[:n-1]
	}
	s.walls = kept
}

// sortStarts orders the pieces by where they begin. Along a pass they come in order, up
// or down.
func (s *sweeper) sortStarts() {
	s.starts = s.starts[:0]
	for i := range s.pieces {
		s.starts = append(s.starts, start{s.pieces[i].lo, int32(i)})
	}
	if n := len(s.starts); n > 1 && s.starts[0].y > s.starts[n-1].y {
		slices.Reverse(s.starts)
	}
	if len(s.starts) > fewStarts {
		slices.SortFunc(s.starts, func(a, b start) int { return compare(a.y, b.y) })
		return
	}
	for i := 1; i < len(s.starts); i++ {
		n, j := s.starts[i], i
		for ; j > 0 && s.starts[j-1].y > n.y; j-- {
			s.starts[j] = s.starts[j-1]
		}
		s.starts[j] = n
	}
}

// fewStarts are sorted faster by hand.
const fewStarts = 48

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
