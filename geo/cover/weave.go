package cover

import "slices"

// Where many bars lie across one another a strip is cut at thousands of crossings,
// and each changes the ground at its own place alone. So a trapezoid goes on upwards
// through the cuts for as long as the pieces on its sides, and what lies left of
// them, stay; it is judged once, as a whole.

// weaveRows is how many cuts of a strip are looked at together.
const weaveRows = 64

// weave is the cuts of a strip that are looked at together.
type weave struct {
	ys       []float64 // of the cuts, bottom and top with them
	pieces   int       // live in the strip
	lives    []live    // of each row, left to right
	marks    []mark    // of each row's gaps, one more than its pieces
	place    []int32   // piece -> its place in the row below
	verdicts []Verdict // of the gaps of the present row
}

// mark tells of a gap what the row below has at the same number of pieces.
type mark uint8

const (
	evenMark mark = 1 << iota // the same pieces lie left of it
	onMark                    // it goes on: the pieces on its sides are the same, too
)

func (w *weave) row(k int) []live { return w.lives[k*w.pieces : (k+1)*w.pieces] }

func (w *weave) marksOf(k int) []mark { return w.marks[k*(w.pieces+1) : (k+1)*(w.pieces+1)] }

// weaveStrip judges the faces between heights at which live pieces change places.
func (s *sweeper) weaveStrip(y0 float64, crossings []float64, y1 float64) {
	w := &s.weave
	for l := range s.lives {
		s.lives[l].xt = s.pieces[s.lives[l].piece].at(y0, &s.box)
	}
	for first := y0; ; {
		n := min(len(crossings), weaveRows-1)
		w.ys = append(append(w.ys[:0], first), crossings[:n]...)
		if crossings = crossings[n:]; len(crossings) == 0 {
			w.ys = append(w.ys, y1)
			s.layRows()
			s.walkRows()
			return
		}
		first = w.ys[n]
		s.layRows()
		s.walkRows()
	}
}

// layRows finds the order of the pieces between each two cuts.
func (s *sweeper) layRows() {
	w := &s.weave
	rows, n := len(w.ys)-1, len(s.lives)
	w.pieces = n
	w.lives = w.lives[:0]
	w.marks = slices.Grow(w.marks[:0], rows*(n+1))[:rows*(n+1)]
	w.place = slices.Grow(w.place[:0], len(s.pieces))[:len(s.pieces)]
	for k := range rows {
		for i := range s.lives {
			l := &s.lives[i]
			l.xb, l.xt = l.xt, s.pieces[l.piece].at(w.ys[k+1], &s.box)
		}
		sortByMiddle(s.lives)
		w.lives = append(w.lives, s.lives...)
		w.markRow(k)
	}
}

// markRow compares a row with the one below.
func (w *weave) markRow(k int) {
	marks := w.marksOf(k)
	clear(marks)
	if k == 0 {
		return
	}
	below, row := w.row(k-1), w.row(k)
	for i := range below {
		w.place[below[i].piece] = int32(i)
	}
	highest := int32(-1) // place below of what lies left
	for i := range marks {
		if i > 0 {
			highest = max(highest, w.place[row[i-1].piece])
		}
		if highest >= int32(i) {
			continue
		}
		marks[i] = evenMark
		if (i == 0 || below[i-1].piece == row[i-1].piece) && (i == len(row) || below[i].piece == row[i].piece) {
			marks[i] |= onMark
		}
	}
}

// walkRows judges each gap in the row in which it begins. It goes to and fro, for
// what begins lies around a crossing.
func (s *sweeper) walkRows() {
	w := &s.weave
	w.verdicts = slices.Grow(w.verdicts[:0], w.pieces+1)[:w.pieces+1]
	for _, o := range s.on {
		s.over.cross(s, o.owner, o.w)
	}
	at := 0
	for k := range len(w.ys) - 1 {
		marks := w.marksOf(k)
		if k > 0 {
			for marks[at]&evenMark == 0 {
				at = s.goTo(w.row(k-1), at, at-1)
			}
		}
		for i, m := range marks {
			if m&onMark != 0 {
				continue
			}
			w.verdicts[i] = Verdict{}
			areaM2 := s.wholeGap(k, i)
			if areaM2 <= 0 {
				continue
			}
			at = s.goTo(w.row(k), at, i)
			if f, ok := s.over.face(s); ok {
				w.verdicts[i] = s.judge.Face(f, areaM2)
			}
		}
		if s.rec != nil {
			s.recordRow(k)
		}
	}
	s.over.clear(s)
}

// goTo crosses pieces from one gap to another.
func (s *sweeper) goTo(row []live, from, to int) int {
	for ; from < to; from++ {
		p := &s.pieces[row[from].piece]
		s.over.cross(s, p.owner, p.w)
	}
	for ; from > to; from-- {
		p := &s.pieces[row[from-1].piece]
		s.over.cross(s, p.owner, -p.w)
	}
	return to
}

// wholeGap is the area of a gap from the row in which it begins as far as it goes on.
func (s *sweeper) wholeGap(k, i int) float64 {
	w := &s.weave
	end, rows, gaps := k, len(w.ys)-1, w.pieces+1
	for end+1 < rows && w.marks[(end+1)*gaps+i]&onMark != 0 {
		end++
	}
	low, high := w.row(k), w.row(end)
	left, right := 2*s.box.x0, 2*s.box.x1
	if i > 0 {
		left = low[i-1].xb + high[i-1].xt
	}
	if i < w.pieces {
		right = low[i].xb + high[i].xt
	}
	return (right - left) * ((w.ys[end+1] - w.ys[k]) / 2)
}

// gapAt is the part of a gap that lies in a row.
func (s *sweeper) gapAt(k, i int) gap {
	row := s.weave.row(k)
	g := gap{left: wallSide, xbl: s.box.x0, xtl: s.box.x0, right: wallSide, xbr: s.box.x1, xtr: s.box.x1}
	if i > 0 {
		l := &row[i-1]
		g.left, g.xbl, g.xtl = l.piece, l.xb, l.xt
	}
	if i < len(row) {
		r := &row[i]
		g.right, g.xbr, g.xtr = r.piece, r.xb, r.xt
	}
	return g
}

// recordRow hands the marked gaps of a row to the recorder.
func (s *sweeper) recordRow(k int) {
	w := &s.weave
	s.gaps = s.gaps[:0]
	h := (w.ys[k+1] - w.ys[k]) / 2
	for i, v := range w.verdicts {
		if v.Kinds == 0 {
			continue
		}
		g := s.gapAt(k, i)
		if g.areaM2 = ((g.xbr + g.xtr) - (g.xbl + g.xtl)) * h; g.areaM2 > 0 {
			g.verdict = v
			s.gaps = append(s.gaps, g)
		}
	}
	s.rec.strip(w.ys[k], w.ys[k+1], &s.box, s.gaps)
}
