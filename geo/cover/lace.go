package cover

import "slices"

// lace is a strip in which pieces cross. Where bars lie across one another there are
// thousands of crossings, and each changes the ground at its own place alone: two
// neighbours change places, and with them the state of the gap between them. So that
// gap and the two beside it are added up at the crossing and begin anew, and all others
// go on.
type lace struct {
	row    []live  // the pieces at the present height, from left to right
	tops   []live  // the same at the top
	gaps   []laced // left of each of them, and the last one
	place  []int32 // piece -> its place in row
	events []event // by height
	ys     []float64
	room   int // of windings
}

// laced is a gap that goes on upwards.
type laced struct {
	state int32
	y     float64 // from where
	width float64 // there
}

// event is where two pieces cross.
type event struct {
	y           float64
	left, right int32 // below
}

// bind finds the crossings of a strip. Sorting the order at its bottom into the order at
// its top swaps each crossing pair once. Pairs that meet at the top alone do not cross.
func (l *lace) bind(lives []live, y0, y1 float64) {
	l.events = l.events[:0]
	l.row = append(l.row[:0], lives...)
	for i, n := range l.row { // nearly in order
		j := i
		for ; j > 0 && (l.row[j-1].xb > n.xb || l.row[j-1].xb == n.xb && l.row[j-1].xt > n.xt); j-- {
			l.row[j] = l.row[j-1]
		}
		l.row[j] = n
	}
	l.tops = append(l.tops[:0], l.row...)
	for i, n := range l.tops {
		j := i
		for ; j > 0 && l.tops[j-1].xt > n.xt; j-- {
			o := &l.tops[j-1]
			if bottom, top := n.xb-o.xb, o.xt-n.xt; top > tieM {
				y := min(y0+(y1-y0)*bottom/(bottom+top), y1)
				l.events = append(l.events, event{y, o.piece, n.piece})
			}
			l.tops[j] = *o
		}
		l.tops[j] = n
	}
	slices.SortFunc(l.events, func(a, b event) int { return compare(a.y, b.y) })
}

// heights are those at which the recorder has the strip cut, and its top. Pieces that
// part at the bottom do not cross there.
func (s *sweeper) heights(y0, y1 float64) []float64 {
	l, last := &s.lace, y0
	l.ys = l.ys[:0]
	for _, e := range l.events {
		if e.y > last && e.y < y1 && s.pieces[e.right].at(y0, &s.box)-s.pieces[e.left].at(y0, &s.box) > tieM {
			l.ys = append(l.ys, e.y)
			last = e.y
		}
	}
	l.ys = append(l.ys, y1)
	return l.ys
}

// crossAll adds up the ground of a strip in which pieces cross.
func (s *sweeper) crossAll(y0, y1 float64) {
	l := &s.lace
	l.place = slices.Grow(l.place[:0], len(s.pieces))[:len(s.pieces)]
	l.gaps = slices.Grow(l.gaps[:0], len(l.row)+1)[:len(l.row)+1]
	for i := range l.row {
		l.place[l.row[i].piece] = int32(i)
	}
	s.settle(0, len(l.row))
	s.openGaps(0, len(l.row), y0)
	l.room = mostWindings
	for _, e := range l.events {
		s.makeRoom()
		switch i, j := int(l.place[e.left]), int(l.place[e.right]); {
		case j == i+1:
			s.swap(i, e.y)
		case j > i:
			s.change(i, j, e.y)
		}
	}
	s.closeGaps(0, len(l.row), y1)
}

// swap lets the pieces at a place and at the next cross at a height.
func (s *sweeper) swap(i int, y float64) {
	l := &s.lace
	west, p, q, east := s.sideOf(i-1, y), s.sideOf(i, y), s.sideOf(i+1, y), s.sideOf(i+2, y)
	g := l.gaps[i : i+3]
	s.over.add(g[0].state, (g[0].width+p-west)*((y-g[0].y)/2))
	s.over.add(g[1].state, (g[1].width+q-p)*((y-g[1].y)/2))
	s.over.add(g[2].state, (g[2].width+east-q)*((y-g[2].y)/2))
	a, b := &l.row[i], &l.row[i+1]
	*a, *b = *b, *a
	l.place[a.piece], l.place[b.piece] = int32(i), int32(i+1)
	g[0].y, g[0].width = y, q-west
	g[1].y, g[1].width = y, p-q
	g[2].y, g[2].width = y, east-p
	g[1].state = s.over.cross(g[0].state, &s.pieces[a.piece])
}

// change lets the pieces from place i to j change places at a height, where the outer
// two cross. What lies between them goes through the same point, so that their order
// above is that at the top of the strip.
func (s *sweeper) change(i, j int, y float64) {
	l := &s.lace
	s.closeGaps(i, j+1, y)
	for k := i + 1; k <= j; k++ {
		n, to := l.row[k], k
		for ; to > i && l.row[to-1].xt > n.xt; to-- {
			l.row[to] = l.row[to-1]
		}
		l.row[to] = n
	}
	for k := i; k <= j; k++ {
		l.place[l.row[k].piece] = int32(k)
	}
	s.settle(i, j)
	s.openGaps(i, j+1, y)
}

// settle finds out the states of the gaps from i on to j; that of gap i is known.
func (s *sweeper) settle(i, j int) {
	l := &s.lace
	if i == 0 {
		l.gaps[0].state = s.over.atWall()
	}
	for k := i; k < j; k++ {
		l.gaps[k+1].state = s.over.cross(l.gaps[k].state, &s.pieces[l.row[k].piece])
	}
}

// makeRoom forgets the states of a block where there are many, but for those of the row.
func (s *sweeper) makeRoom() {
	l := &s.lace
	if len(s.over.windings) < l.room {
		return
	}
	s.over.forget()
	s.settle(0, len(l.row))
	l.room = 2*len(s.over.windings) + mostWindings
}

// openGaps lets the gaps i to j begin at a height.
func (s *sweeper) openGaps(i, j int, y float64) {
	left := s.sideOf(i-1, y)
	for k := i; k <= j; k++ {
		g, right := &s.lace.gaps[k], s.sideOf(k, y)
		g.y, g.width = y, right-left
		left = right
	}
}

// closeGaps adds up the gaps i to j as far as a height.
func (s *sweeper) closeGaps(i, j int, y float64) {
	l := &s.lace
	left := s.sideOf(i-1, y)
	for k := i; k <= j; k++ {
		g, right := &l.gaps[k], s.sideOf(k, y)
		s.over.add(g.state, (g.width+right-left)*((y-g.y)/2))
		left = right
	}
}

// sideOf is the x of the piece at a place, or of the wall, at a height.
func (s *sweeper) sideOf(k int, y float64) float64 {
	switch {
	case k < 0:
		return s.box.x0
	case k == len(s.lace.row):
		return s.box.x1
	}
	return s.pieces[s.lace.row[k].piece].at(y, &s.box)
}
