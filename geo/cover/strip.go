package cover

// strip adds up the ground between two heights.
func (s *sweeper) strip(y0, y1 float64) {
	if len(s.over.windings) > mostWindings {
		s.over.forget()
	}
	if inOrder(s.lives) {
		s.walk(y0, y1, true)
		return
	}
	s.lace.bind(s.lives, y0, y1)
	s.crossAll(y0, y1)
	if s.rec != nil {
		s.layRows(y0, y1)
	}
	s.lives = append(s.lives[:0], s.lace.row...)
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

// layRows hands the recorder a strip in which pieces cross, cut at the crossings.
func (s *sweeper) layRows(y0, y1 float64) {
	for i := range s.lives {
		s.lives[i].xt = s.lives[i].xb
	}
	for _, y := range s.heights(y0, y1) {
		for i := range s.lives {
			s.lives[i].xb = s.lives[i].xt
		}
		s.place(y)
		if len(s.over.windings) > s.lace.room {
			s.over.forget()
		}
		s.walk(y0, y, false)
		y0 = y
	}
}

// walk goes through a strip from left to right and finds out in which state each gap
// between pieces is. It adds the gaps to the ground of their states, where it is to, and
// hands them to the recorder.
func (s *sweeper) walk(y0, y1 float64, add bool) {
	h := (y1 - y0) / 2
	s.gaps = s.gaps[:0]
	left, at := 2*s.box.x0, s.over.atWall()
	for i := 0; ; i++ {
		right := 2 * s.box.x1
		if i < len(s.lives) {
			right = s.lives[i].mid
		}
		if areaM2 := (right - left) * h; areaM2 > 0 && at != nothing {
			if add {
				s.over.add(at, areaM2)
			}
			if s.rec != nil {
				s.mark(i, at, areaM2)
			}
		}
		if i == len(s.lives) {
			break
		}
		left, at = right, s.over.cross(at, &s.pieces[s.lives[i].piece])
	}
	if s.rec != nil {
		s.rec.strip(y0, y1, &s.box, s.gaps)
	}
}

// mark notes the gap left of the live piece i for the recorder, if it is of any kind.
func (s *sweeper) mark(i int, at int32, areaM2 float64) {
	if v := s.over.verdict(at); v.Kinds != 0 {
		s.gaps = append(s.gaps, s.gap(i, areaM2, v))
	}
}

// gap is the trapezoid left of the live piece i.
func (s *sweeper) gap(i int, areaM2 float64, v *Verdict) gap {
	g := gap{left: wallSide, xbl: s.box.x0, xtl: s.box.x0, right: wallSide, xbr: s.box.x1, xtr: s.box.x1, areaM2: areaM2, verdict: v}
	if i > 0 {
		l := &s.lives[i-1]
		g.left, g.xbl, g.xtl = l.piece, l.xb, l.xt
	}
	if i < len(s.lives) {
		r := &s.lives[i]
		g.right, g.xbr, g.xtr = r.piece, r.xb, r.xt
	}
	return g
}
