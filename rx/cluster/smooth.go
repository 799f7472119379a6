package cluster

import (
	"math"
	"slices"
)

// smooth gives cells the label of most of the eight around them, then lets patches of
// too few cells join the label that surrounds them most.
func (r *Result) smooth(o Options) {
	at := map[[2]int]int{}
	for i, c := range r.Cells {
		at[[2]int{c.Col, c.Row}] = i
	}
	for range o.Rounds {
		next := slices.Clone(r.Labels)
		changed := false
		for i, c := range r.Cells {
			counts := map[int]int{}
			around := 0
			for dc := -1; dc <= 1; dc++ {
				for dr := -1; dr <= 1; dr++ {
					if j, ok := at[[2]int{c.Col + dc, c.Row + dr}]; ok && j != i {
						counts[r.Labels[j]]++
						around++
					}
				}
			}
			if l := most(counts, r.Labels[i]); counts[l]*2 > around && l != r.Labels[i] {
				next[i], changed = l, true
			}
		}
		r.Labels = next
		if !changed {
			break
		}
	}
	r.join(at, o.LeastCells)
}

// most is the label with the most votes; own wins a tie, then the lower one.
func most(counts map[int]int, own int) int {
	best := own
	for l, n := range counts {
		switch {
		case n > counts[best], n == counts[best] && best != own && l < best:
			best = l
		}
	}
	return best
}

// join lets patches below a number of cells join what surrounds them, the smallest first.
func (r *Result) join(at map[[2]int]int, least int) {
	for {
		patches := r.patches(at)
		small, size := -1, math.MaxInt
		for p, cells := range patches {
			if len(cells) < least && len(cells) < size && len(patches) > 1 {
				small, size = p, len(cells)
			}
		}
		if small < 0 {
			return
		}
		counts := map[int]int{}
		for _, i := range patches[small] {
			for _, j := range r.beside(at, i) {
				if r.Labels[j] != r.Labels[i] {
					counts[r.Labels[j]]++
				}
			}
		}
		own := r.Labels[patches[small][0]]
		to := most(counts, own)
		if to == own || counts[to] == 0 {
			return // an island of cells
		}
		for _, i := range patches[small] {
			r.Labels[i] = to
		}
	}
}

// beside are the cells that share a side with one.
func (r *Result) beside(at map[[2]int]int, i int) []int {
	c := r.Cells[i]
	var list []int
	for _, d := range [][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
		if j, ok := at[[2]int{c.Col + d[0], c.Row + d[1]}]; ok {
			list = append(list, j)
		}
	}
	return list
}

// patches are the cells that hang together by sides and have one label.
func (r *Result) patches(at map[[2]int]int) [][]int {
	seen := make([]bool, len(r.Cells))
	var all [][]int
	for i := range r.Cells {
		if seen[i] {
			continue
		}
		seen[i] = true
		patch := []int{i}
		for n := 0; n < len(patch); n++ {
			for _, j := range r.beside(at, patch[n]) {
				if !seen[j] && r.Labels[j] == r.Labels[i] {
					seen[j] = true
					patch = append(patch, j)
				}
			}
		}
		all = append(all, patch)
	}
	return all
}
