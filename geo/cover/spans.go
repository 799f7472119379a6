package cover

import (
	"cmp"
	"slices"
)

// spanEnd is where a stretch begins or ends on a line. Side is +1 for stretches
// whose outline runs forward along the line and -1 for those that run backward.
type spanEnd struct {
	at    float64
	side  int8
	begin bool
	trap  int32
}

// spanJoiner joins stretches; its slices are reused.
type spanJoiner struct {
	ends        []spanEnd
	plus, minus []int32
}

// join puts the stretches of two sides of a line together. Where only one
// side has a stretch it is outline: emit is called with it in its direction.
// Where both have, they are one patch: link is called. Where they meet over less
// than slitM they do not join, and both remain outline.
func (j *spanJoiner) join(forward, backward []span, emit func(a, b float64, trap int32), link func(a, b int32)) {
	ends := j.ends[:0]
	for _, s := range forward {
		ends = appendEnds(ends, s, 1)
	}
	for _, s := range backward {
		ends = appendEnds(ends, s, -1)
	}
	j.ends = ends
	slices.SortFunc(ends, compareEnds)
	plus, minus := j.plus[:0], j.minus[:0]
	for i, e := range ends {
		list := &plus
		if e.side < 0 {
			list = &minus
		}
		if e.begin {
			*list = append(*list, e.trap)
		} else if at := slices.Index(*list, e.trap); at >= 0 {
			*list = slices.Delete(*list, at, at+1)
		}
		if i+1 == len(ends) || ends[i+1].at == e.at {
			continue
		}
		a, b := e.at, ends[i+1].at
		p, m := plus, minus
		if n := min(len(p), len(m)); n > 0 && b-a > slitM {
			for i := range n {
				link(p[i], m[i])
			}
			p, m = p[n:], m[n:]
		}
		for _, t := range p {
			emit(a, b, t)
		}
		for _, t := range m {
			emit(b, a, t)
		}
	}
	j.plus, j.minus = plus, minus
}

func compareEnds(a, b spanEnd) int {
	if a.at != b.at {
		return compare(a.at, b.at)
	}
	if a.trap != b.trap {
		return cmp.Compare(a.trap, b.trap)
	}
	return cmp.Compare(a.side, b.side)
}

// appendEnds adds the two ends of a stretch; one that rounding turned round
// counts for the other side.
func appendEnds(ends []spanEnd, s span, side int8) []spanEnd {
	if s.a == s.b {
		return ends
	}
	if s.a > s.b {
		s.a, s.b, side = s.b, s.a, -side
	}
	return append(ends, spanEnd{s.a, side, true, s.trap}, spanEnd{s.b, side, false, s.trap})
}
