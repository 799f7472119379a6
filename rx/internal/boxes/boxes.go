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
	b := &Index{cellM: max(math.Sqrt(size/float64(max(n, 1))), leastM), at: map[[2]int][]int{}}
	for i, r := range regions {
		if !r.IsEmpty() {
			b.add(i, r.Bound())
		}
	}
	return b
}

func (b *Index) add(i int, box orb.Bound) {
	b.eachCell(box, func(cell [2]int) { b.at[cell] = append(b.at[cell], i) })
}

// Near lists, ascending, the regions of which a box may meet this one.
func (b *Index) Near(box orb.Bound) []int {
	var found []int
	b.eachCell(box, func(cell [2]int) { found = append(found, b.at[cell]...) })
	slices.Sort(found)
	return slices.Compact(found)
}

func (b *Index) eachCell(box orb.Bound, f func([2]int)) {
	cell := func(v float64) int { return int(math.Floor(v / b.cellM)) }
	for x := cell(box.Min[0]); x <= cell(box.Max[0]); x++ {
		for y := cell(box.Min[1]); y <= cell(box.Max[1]); y++ {
			f([2]int{x, y})
		}
	}
}
