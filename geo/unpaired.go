package geo

import (
	"math"
	"math/bits"
	"slices"
)

// unpaired is edges of a region without those that others run exactly the other way, and
// one in place of those that run alike, in the order in which they come. Its table holds
// no more than places in a list, for of a field's edges and its zones' by the hundred
// thousand most leave.
type unpaired struct {
	edges []borderEdge
	table []int32 // one more than the place in edges; 0 is free
}

// newUnpaired is for at most so many edges.
func newUnpaired(most int) *unpaired {
	return &unpaired{make([]borderEdge, 0, most), make([]int32, 2<<bits.Len(uint(most)))}
}

func (u *unpaired) add(e segment, net int32) {
	s := e.forth()
	if s != e {
		net = -net
	}
	last := uint64(len(u.table) - 1)
	at := s.hash() & last
	for u.table[at] != 0 && u.edges[u.table[at]-1].segment != s {
		at = (at + 1) & last
	}
	if u.table[at] == 0 {
		u.edges = append(u.edges, borderEdge{segment: s, mayMeet: true})
		u.table[at] = int32(len(u.edges))
	}
	u.edges[u.table[at]-1].net[0] += net
}

// left is what is left of the edges, of which no more can be added.
func (u *unpaired) left() []borderEdge {
	return slices.DeleteFunc(u.edges, func(e borderEdge) bool { return e.net[0] == 0 })
}

// hash is the same for equal segments, and differs in all bits where others do.
func (s segment) hash() uint64 {
	const odd = 0x9e3779b97f4a7c15
	h := uint64(0)
	for _, v := range [4]float64{s.a[0], s.a[1], s.b[0], s.b[1]} {
		h = (h ^ math.Float64bits(v+0)) * odd // -0 is 0
		h ^= h >> 32
	}
	return h
}
