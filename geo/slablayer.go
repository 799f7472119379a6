package geo

import (
	"cmp"
	"slices"
)

// layer holds the edges of one set that pass through a slab, from west to east.
type layer struct {
	edges []*slabEdge
	turns []int32 // the winding east of the first, the first two ...
}

func (l *layer) sort(lo, hi float64) {
	slices.SortFunc(l.edges, func(e, f *slabEdge) int {
		return cmp.Or(cmp.Compare(e.at(lo)+e.at(hi), f.at(lo)+f.at(hi)), cmp.Compare(e.at(lo), f.at(lo)))
	})
	l.turns = make([]int32, len(l.edges)+1)
	for i, e := range l.edges {
		l.turns[i+1] = l.turns[i] + e.turn
	}
}

// westOf is how many edges lie west of a place.
func (l *layer) westOf(u, v float64) int {
	from, to := 0, len(l.edges)
	for from < to {
		if mid := (from + to) / 2; l.edges[mid].at(v) < u {
			from = mid + 1
		} else {
			to = mid
		}
	}
	return from
}

// count answers the places in a slab as to the edges that pass through it.
func (l *layer) count(places []slabPlace, set int32) {
	if len(l.edges) == 0 {
		return
	}
	for i := range places {
		if p := &places[i]; p.set == set {
			*p.winding += l.turns[l.westOf(p.u-slabTolerance, p.v)]
		}
	}
}

// across pairs an edge with those of a layer that it may meet.
func (s *slabs) across(l *layer, e *slabEdge, lo, hi float64) {
	if len(l.edges) == 0 || s.sets == 2 && e.set == l.edges[0].set {
		return
	}
	u0, u1 := e.within(lo, hi)
	v0, v1 := max(lo, e.v0), min(hi, e.v1)
	from := min(l.westOf(u0-slabTolerance, v0), l.westOf(u1-slabTolerance, v1))
	to := max(l.westOf(u0+slabTolerance, v0), l.westOf(u1+slabTolerance, v1))
	for _, f := range l.edges[from:to] {
		s.pair(e, f)
	}
}

// beside pairs edges of a layer that lie beside each other and may meet. Where any
// two cross, some that lie beside each other do.
func (s *slabs) beside(l *layer, lo, hi float64) {
	for i := 1; i < len(l.edges); i++ {
		e, f := l.edges[i-1], l.edges[i]
		if e.at(lo) >= f.at(lo)-slabTolerance || e.at(hi) >= f.at(hi)-slabTolerance {
			s.pair(e, f)
		}
	}
}
