// Package boxes finds which regions of a list lie near each other, by their boxes.
package boxes

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"ratewright/geo"
)

// Index finds the regions of a list whose boxes meet a box. It is a grid of cells
// of about a region each.
type Index struct {
	cellM float64
	at    map[[2]int][]int
	boxes []orb.Bound // of the regions
}

// Of is the index of regions, by their place in the list; empty ones are in none.
func Of(regions []geo.Region) *Index {
	const leastM = 0.001 // of a cell
	var all orb.Bound
	n := 0
	for _, r := range regions {
		if r.IsEmpty() {
			continue
		}
		if n++; n == 1 {
			all = r.Bound()
		}
		all = all.Union(r.Bound())
	}
	size := (all.Max[0] - all.Min[0]) * (all.Max[1] - all.Min[1])
	b := &Index{
		cellM: max(math.Sqrt(size/float64(max(n, 1))), leastM),
		at:    map[[2]int][]int{}, boxes: make([]orb.Bound, len(regions)),
	}
	for i, r := range regions {
		if !r.IsEmpty() {
			b.boxes[i] = r.Bound()
			b.eachCell(b.boxes[i], func(cell [2]int) { b.at[cell] = append(b.at[cell], i) })
		}
	}
	return b
}

// Near lists, ascending, the regions whose boxes meet this one.
func (b *Index) Near(box orb.Bound) []int {
	var found []int
	b.eachCell(box, func(cell [2]int) {
		for _, i := range b.at[cell] {
			if b.boxes[i].Intersects(box) {
				found = append(found, i)
			}
		}
	})
	slices.Sort(found)
	return slices.Compact(found)
}

// Beside lists, ascending, the regions that may touch this one: boxes of neighbours may
// miss each other by rounding. A region of the list is beside itself.
func (b *Index) Beside(r geo.Region) []int {
	const reachM = 0.01
	return b.Near(r.Bound().Pad(reachM))
}

func (b *Index) eachCell(box orb.Bound, f func([2]int)) {
	cell := func(v float64) int { return int(math.Floor(v / b.cellM)) }
	for x := cell(box.Min[0]); x <= cell(box.Max[0]); x++ {
		for y := cell(box.Min[1]); y <= cell(box.Max[1]); y++ {
			f([2]int{x, y})
		}
	}
}
