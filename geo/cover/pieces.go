package cover

import (
	"cmp"
	"slices"
)

// start is where a piece begins.
type start struct {
	y     float64
	piece int32
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
