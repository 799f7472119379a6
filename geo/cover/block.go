package cover

import (
	"cmp"
	"slices"
)

// tieM is the distance below which two edges count as meeting, in metres.
const tieM = 1e-10

// live is a piece in the current strip with its x at the strip's bottom, top
// and middle.
type live struct {
	xb, xt, mid float64
	piece       int32
}

// gap is the trapezoid between two neighbouring pieces of a strip.
type gap struct {
	left, right        int32 // the pieces on its sides; wallSide for the block's walls
	xbl, xbr, xtl, xtr float64
	areaM2             float64
	verdict            Verdict
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
	walls  []wallStep
	on     []winding // on the left wall at the present height
	owners owners
	cuts   []float64
	order  []int32 // pieces by their lower end
	lives  []live
	sorted []live
	gaps   []gap
	over   overlay
	weave  weave
}

// block judges every face of one block.
func (s *sweeper) block(b box, swaths, edges []int32, corner []winding) {
	s.box = b
	s.collect(swaths, edges, corner)
	s.over.start(len(s.owners.list))
	s.cutHeights()

	s.lives, s.on = s.lives[:0], s.on[:0]
	var nextPiece, nextStep int
	for i := 0; i+1 < len(s.cuts); i++ {
		y0, y1 := s.cuts[i], s.cuts[i+1]
		for ; nextStep < len(s.walls) && s.walls[nextStep].y <= y0; nextStep++ {
			s.on = addWinding(s.on, winding{s.walls[nextStep].owner, s.walls[nextStep].w})
		}
		nextPiece = s.enter(nextPiece, y0, y1)
		s.strip(y0, y1)
	}
	if s.rec != nil {
		s.rec.endBlock()
	}
}

// collect gathers the pieces and wall steps of all swaths and polygons that
// touch the block.
func (s *sweeper) collect(swaths, edges []int32, corner []winding) {
	s.pieces, s.walls = s.pieces[:0], s.walls[:0]
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
			s.pieces = append(s.pieces, piece{*e, in.lo, in.hi})
		}
		if y, w, ok := s.box.passesLeftWall(e); ok {
			s.walls = append(s.walls, wallStep{y, e.owner, w})
		}
	}
	s.settleWalls()
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
			s.pieces = append(s.pieces, piece{e, in.lo, in.hi})
		}
	}
	if !left.empty() {
		s.walls = append(s.walls, wallStep{left.lo, owner, w})
		if left.hi < s.box.y1 {
			s.walls = append(s.walls, wallStep{left.hi, owner, -w})
		}
	}
}

// settleWalls sorts the wall steps by height and drops those that cancel, such
// as where one side of a run of swaths goes on into the next.
func (s *sweeper) settleWalls() {
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

// cutHeights sorts the heights at which a piece begins or ends or the wall
// changes, and the pieces by their lower ends.
func (s *sweeper) cutHeights() {
	s.cuts = append(s.cuts[:0], s.box.y0, s.box.y1)
	s.order = s.order[:0]
	for i := range s.pieces {
		s.cuts = append(s.cuts, s.pieces[i].lo, s.pieces[i].hi)
		s.order = append(s.order, int32(i))
	}
	for i := range s.walls {
		s.cuts = append(s.cuts, s.walls[i].y)
	}
	slices.Sort(s.cuts)
	s.cuts = slices.Compact(s.cuts)
	slices.SortFunc(s.order, func(a, b int32) int { return compare(s.pieces[a].lo, s.pieces[b].lo) })
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

// enter brings the live pieces to the strip [y0, y1]: those that ended leave,
// those that begin join, and each is placed at the strip's bottom and top.
func (s *sweeper) enter(next int, y0, y1 float64) int {
	kept := s.lives[:0]
	for _, l := range s.lives {
		if p := &s.pieces[l.piece]; p.hi > y0 {
			kept = append(kept, live{xb: l.xt, xt: p.at(y1, &s.box), piece: l.piece})
		}
	}
	for ; next < len(s.order) && s.pieces[s.order[next]].lo <= y0; next++ {
		p := &s.pieces[s.order[next]]
		kept = append(kept, live{xb: p.at(y0, &s.box), xt: p.at(y1, &s.box), piece: s.order[next]})
	}
	s.lives = kept
	return next
}

// strip judges the faces between two heights, cutting once more where live
// pieces cross.
func (s *sweeper) strip(y0, y1 float64) {
	sortByMiddle(s.lives)
	if inOrder(s.lives) {
		s.walk(y0, y1)
		return
	}
	s.weaveStrip(y0, s.crossings(y0, y1), y1)
}

// sortByMiddle orders pieces from left to right at the middle of the strip.
// They are nearly in order from the strip below.
func sortByMiddle(ls []live) {
	for i := range ls {
		ls[i].mid = ls[i].xb + ls[i].xt
	}
	for i := 1; i < len(ls); i++ {
		l := ls[i]
		j := i
		for ; j > 0 && ls[j-1].mid > l.mid; j-- {
			ls[j] = ls[j-1]
		}
		ls[j] = l
	}
}

// inOrder tells whether no two pieces change places within the strip.
func inOrder(ls []live) bool {
	for i := 1; i < len(ls); i++ {
		if ls[i-1].xb > ls[i].xb+tieM || ls[i-1].xt > ls[i].xt+tieM {
			return false
		}
	}
	return true
}

// crossings returns the heights inside (y0, y1) at which live pieces cross,
// ascending. Sorting the bottom order into the top order swaps each crossing
// pair once.
func (s *sweeper) crossings(y0, y1 float64) []float64 {
	ls := append(s.sorted[:0], s.lives...)
	slices.SortFunc(ls, func(a, b live) int {
		if a.xb != b.xb {
			return compare(a.xb, b.xb)
		}
		return compare(a.xt, b.xt)
	})
	var ys []float64
	for i := 1; i < len(ls); i++ {
		l := ls[i]
		j := i
		for ; j > 0 && ls[j-1].xt > l.xt; j-- {
			bottom, top := l.xb-ls[j-1].xb, ls[j-1].xt-l.xt
			if bottom > tieM && top > tieM {
				ys = append(ys, y0+(y1-y0)*bottom/(bottom+top))
			}
			ls[j] = ls[j-1]
		}
		ls[j] = l
	}
	s.sorted = ls
	slices.Sort(ys)
	inside := ys[:0]
	last := y0
	for _, y := range ys {
		if y > last && y < y1 {
			inside = append(inside, y)
			last = y
		}
	}
	return inside
}

// walk goes through a strip from left to right and judges each gap between
// pieces.
func (s *sweeper) walk(y0, y1 float64) {
	h := (y1 - y0) / 2
	s.gaps = s.gaps[:0]
	for _, w := range s.on {
		s.over.cross(s, w.owner, w.w)
	}
	g := gap{left: wallSide, xbl: s.box.x0, xtl: s.box.x0}
	for i := range s.lives {
		l := &s.lives[i]
		g.right, g.xbr, g.xtr = l.piece, l.xb, l.xt
		s.face(&g, h)
		g = gap{left: l.piece, xbl: l.xb, xtl: l.xt}
		p := &s.pieces[l.piece]
		s.over.cross(s, p.owner, p.w)
	}
	g.right, g.xbr, g.xtr = wallSide, s.box.x1, s.box.x1
	s.face(&g, h)
	s.over.clear(s)
	if s.rec != nil {
		s.rec.strip(y0, y1, &s.box, s.gaps)
	}
}

// face judges one gap of half height h.
func (s *sweeper) face(g *gap, h float64) {
	g.areaM2 = ((g.xbr + g.xtr) - (g.xbl + g.xtl)) * h
	if g.areaM2 <= 0 {
		return
	}
	if f, ok := s.over.face(s); ok {
		g.verdict = s.judge.Face(f, g.areaM2)
		if s.rec != nil && g.verdict.Kinds != 0 {
			s.gaps = append(s.gaps, *g)
		}
	}
}
