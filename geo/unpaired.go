package geo

import (
	"math"
	"math/bits"
	"slices"
)

// unpaired leaves out edges that others run exactly the other way, and makes one of
// those that run alike, in the order in which they come. Its table holds no more than
// places in a list, for of a field's edges and its zones' by the hundred thousand most
// leave.
func unpaired(edges []borderEdge) []borderEdge {
	out := make([]borderEdge, 0, len(edges))
	table := make([]int32, 2<<bits.Len(uint(len(edges)))) // one more than the place in out; 0 is free
	last := uint64(len(table) - 1)
	for _, e := range edges {
		s, way := e.forth(), int32(1)
		if s != e.segment {
			way = -1
		}
		at := s.hash() & last
		for table[at] != 0 && out[table[at]-1].segment != s {
			at = (at + 1) & last
		}
		if table[at] == 0 {
			out = append(out, borderEdge{segment: s, mayMeet: e.mayMeet})
			table[at] = int32(len(out))
		}
		for set, n := range e.net {
			out[table[at]-1].net[set] += way * n
		}
	}
	return slices.DeleteFunc(out, func(e borderEdge) bool { return e.net == [2]int32{} })
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
