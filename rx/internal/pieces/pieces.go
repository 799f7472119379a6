// Package pieces joins neighbouring pieces of ground, the smallest first, and keeps
// count of the areas and common borders of what has been joined.
package pieces

import (
	"cmp"
	"container/heap"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/rx/internal/boxes"
)

// Same is what borders that are drawn alike may differ by.
const Same = unit.Length(1e-6)

// Set is pieces of ground that share none. Pieces that have been joined go by one of
// their numbers, and only that one has an area and borders that mean anything.
type Set struct {
	Regions []geo.Region          // as they were given
	Area    []unit.Area           // of all that goes by a number
	Border  []map[int]unit.Length // shared with each of the others
	Steps   int                   // borders looked at

	least unit.Area
	up    []int // to the number that a piece goes by
	small queue
}

// Of is a set of which those below an area are small: they have borders, once Measure
// has been called, and wait for Next once they are offered.
func Of(regions []geo.Region, least unit.Area) *Set {
	s := &Set{Regions: regions, least: least}
	for i, r := range regions {
		s.up = append(s.up, i)
		s.Area = append(s.Area, r.Area())
		s.Border = append(s.Border, map[int]unit.Length{})
	}
	return s
}

// Measure finds the borders of small pieces.
func (s *Set) Measure() {
	near := boxes.Of(s.Regions)
	for i, r := range s.Regions {
		if !s.IsSmall(i) {
			continue
		}
		for _, j := range near.Beside(r) {
			if _, known := s.Border[i][j]; known || i == j {
				continue
			}
			s.Steps++
			if l := r.SharedEdge(s.Regions[j]); l > 0 {
				s.Border[i][j], s.Border[j][i] = l, l
			}
		}
	}
}

// IsSmall reports whether all that goes by a number is small.
func (s *Set) IsSmall(i int) bool { return s.Area[i] < s.least }

// Number is what a piece goes by.
func (s *Set) Number(i int) int {
	for s.up[i] != i {
		s.up[i] = s.up[s.up[i]]
		i = s.up[i]
	}
	return i
}

// Join makes one of two numbers and returns the one that stays: that with the longer
// list of borders, so that each border is moved a few times at most.
func (s *Set) Join(i, j int) int {
	if len(s.Border[i]) < len(s.Border[j]) {
		i, j = j, i
	}
	for k, l := range s.Border[j] {
		s.Steps++
		delete(s.Border[k], j)
		if k != i {
			s.Border[i][k] += l
			s.Border[k][i] = s.Border[i][k]
		}
	}
	s.Border[j] = nil
	s.up[j] = i
	s.Area[i] += s.Area[j]
	return i
}

// Offer has a number wait for Next if it is small. Of equal areas the lower rank comes
// first, then the lower number.
func (s *Set) Offer(i, rank int) {
	if s.IsSmall(i) {
		heap.Push(&s.small, waiting{i, rank, s.Area[i]})
	}
}

// Next takes the smallest number that waits; ok is false where none does. One that has
// grown or has been joined since it was offered is passed over.
func (s *Set) Next() (i int, ok bool) {
	for s.small.Len() > 0 {
		w := heap.Pop(&s.small).(waiting)
		if s.Number(w.piece) == w.piece && s.Area[w.piece] == w.area {
			return w.piece, true
		}
	}
	return 0, false
}

// Waits reports whether any is left for Next to look at.
func (s *Set) Waits() bool { return s.small.Len() > 0 }

type waiting struct {
	piece, rank int
	area        unit.Area
}

type queue []waiting

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	a, b := q[i], q[j]
	return cmp.Or(cmp.Compare(a.area, b.area), cmp.Compare(a.rank, b.rank), cmp.Compare(a.piece, b.piece)) < 0
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(waiting)) }
func (q *queue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}
