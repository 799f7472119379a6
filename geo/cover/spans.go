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

// joinSpans puts the stretches of two sides of a line together. Where only one
// side has a stretch it is outline: emit is called with it in its direction.
// Where both have, they are one patch: link is called. Where they meet over less
// than slitM they do not join, and both remain outline.
func joinSpans(forward, backward []span, emit func(a, b float64, trap int32), link func(a, b int32)) {
	ends := make([]spanEnd, 0, 2*(len(forward)+len(backward)))
	for _, s := range forward {
		ends = appendEnds(ends, s, 1)
	}
	for _, s := range backward {
		ends = appendEnds(ends, s, -1)
	}
	slices.SortFunc(ends, func(a, b spanEnd) int {
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.trap, b.trap), cmp.Compare(a.side, b.side))
	})
	var plus, minus []int32
	for i, e := range ends {
		list := &plus
		if e.side < 0 {
			list = &minus
		}
		if e.begin {
			*list = append(*list, e.trap)
		} else if j := slices.Index(*list, e.trap); j >= 0 {
			*list = slices.Delete(*list, j, j+1)
		}
		if i+1 == len(ends) || ends[i+1].at == e.at {
			continue
		}
		a, b := e.at, ends[i+1].at
		p, m := plus, minus
		if n := min(len(p), len(m)); n > 0 && b-a > slitM {
			for j := range n {
				link(p[j], m[j])
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
