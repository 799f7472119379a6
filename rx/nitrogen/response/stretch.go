package response

// stretch is the part of a curve's joins between two neighbouring rates, or
// beyond the highest. Given the join, yield is mean + k (g - mean of g), linear
// in k, with g rising in N up to the join. The residual sum of squares is
//
//	total - 2 k T + k² S
//
// and T and S are polynomials of p, the place of the join.
type stretch struct {
	lo, hi float64 // of p
	t, s   poly
	beyond bool // the join lies beyond the highest rate
}

// Quadratic-plateau: g = -(J - u)² below the join, k = -C in units of u, p = J.
// Beyond the highest rate g = u - p u²/2, k the slope at the lowest rate and
// p = 1/J, so that p = 0 is a straight line.
//
// Linear-plateau: g = -(J - u) below the join, k the slope, p = J. Beyond the
// highest rate g = u, and p says nothing.

// moments are running sums over the rates below the join.
type moments struct {
	w [5]float64 // sums of w u^i
	y [3]float64 // sums of w y u^i
}

func (m *moments) add(u, w, y float64) {
	for i := range m.w {
		if i < len(m.y) {
			m.y[i] += w * y
		}
		m.w[i] += w
		w *= u
	}
}

// stretches lists those of a form with a join, from the lowest rate on.
func stretches(t *trial, m Model) []stretch {
	n := float64(t.obs)
	var sums moments
	out := make([]stretch, 0, len(t.u))
	for i, u := range t.u {
		sums.add(u, t.w[i], t.y[i])
		if i+1 == len(t.u) {
			break
		}
		s := stretch{lo: u, hi: t.u[i+1]}
		if m == QuadraticPlateau {
			s.t, s.s = sums.bent(n)
		} else {
			s.t, s.s = sums.straight(n)
		}
		out = append(out, s)
	}
	last := stretch{lo: 0, hi: 1, beyond: true}
	w, y := sums.w, sums.y
	mean1, mean2 := w[1]/n, w[2]/n
	last.t = poly{y[1]}
	last.s = poly{w[2] - mean1*w[1]}
	if m == QuadraticPlateau {
		last.t = append(last.t, -y[2]/2)
		last.s = append(last.s, -(w[3] - mean1*w[2]), (w[4]-mean2*w[2])/4)
	}
	return append(out, last)
}

func (m *moments) bent(n float64) (t, s poly) {
	t = poly{-m.y[2], 2 * m.y[1], -m.y[0]}
	sum := poly{m.w[2], -2 * m.w[1], m.w[0]}
	square := poly{m.w[4], -4 * m.w[3], 6 * m.w[2], -4 * m.w[1], m.w[0]}
	return t, square.plus(-1/n, sum.times(sum))
}

func (m *moments) straight(n float64) (t, s poly) {
	t = poly{m.y[1], -m.y[0]}
	sum := poly{-m.w[1], m.w[0]}
	square := poly{m.w[2], -2 * m.w[1], m.w[0]}
	return t, square.plus(-1/n, sum.times(sum))
}

// gain is by how much the best rising curve of this join lowers the sum of
// squares below that of the mean: T²/S.
func (s stretch) gain(p float64) float64 {
	t, d := s.t.at(p), s.s.at(p)
	if !(t > 0 && d > 0) {
		return 0
	}
	return t * t / d
}

// best is the join of the largest gain: an end or a stationary point, which
// solves 2 T' S = T S'.
func (s stretch) best() (p, gain float64) {
	slope := s.t.derivative().times(s.s).plus(-0.5, s.t.times(s.s.derivative()))
	p, gain = s.hi, s.gain(s.hi)
	for _, x := range append(slope.roots(s.lo, s.hi), s.lo) {
		if g := s.gain(x); g > gain {
			p, gain = x, g
		}
	}
	return p, gain
}
