package cluster

import (
	"cmp"
	"fmt"
	"slices"
)

// places are the cells by column and row.
func (r *Result) places() map[[2]int]int {
	at := make(map[[2]int]int, len(r.Cells))
	for i, c := range r.Cells {
		at[[2]int{c.Col, c.Row}] = i
	}
	return at
}

// smooth gives cells the label of most of the eight around them, then lets patches of
// too few cells join the label that surrounds them most.
func (r *Result) smooth(o Options) {
	at := r.places()
	counts := make([]int, r.Zones)
	for range o.Rounds {
		next := slices.Clone(r.Labels)
		changed := false
		for i, c := range r.Cells {
			clear(counts)
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

// most is the label with the most votes; own wins a tie, then the lowest one.
func most(counts []int, own int) int {
	best := own
	for l, n := range counts {
		if n > counts[best] {
			best = l
		}
	}
	return best
}

// joining is the patches on their way to fewer.
type joining struct {
	*Result
	at      map[[2]int]int
	patches [][]int // nil where one has joined another
	first   []int   // cell of a patch
	of      []int   // patch of a cell
	counts  []int   // scratch, by label
}

// join lets patches below a number of cells join what surrounds them, the smallest first
// and those of one size by their first cell. One without any cell beside it stays.
func (r *Result) join(at map[[2]int]int, least int) {
	j := joining{Result: r, at: at, patches: r.patches(at), of: make([]int, len(r.Cells)), counts: make([]int, r.Zones)}
	for p, cells := range j.patches {
		j.first = append(j.first, cells[0])
		for _, i := range cells {
			j.of[i] = p
		}
	}
	islands := 0
	for size := j.sizeAfter(0); size > 0 && size < least; size = j.sizeAfter(size) {
		var list []int
		for p, cells := range j.patches {
			if len(cells) == size {
				list = append(list, p)
			}
		}
		slices.SortFunc(list, func(a, b int) int { return cmp.Compare(j.first[a], j.first[b]) })
		for _, p := range list {
			if len(j.patches[p]) == size && !j.merge(p) {
				islands++
			}
		}
	}
	if islands > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("%d patches of fewer than %d cells stay, for no other cell lies beside them", islands, least))
	}
}

// sizeAfter is the size of the smallest patches above a size, 0 where there are none. A
// patch that others join is larger than they were, so sizes come up once.
func (j *joining) sizeAfter(size int) int {
	next := 0
	for _, cells := range j.patches {
		if n := len(cells); n > size && (next == 0 || n < next) {
			next = n
		}
	}
	return next
}

// merge gives a patch the label that it has most beside it; false where it is an island.
func (j *joining) merge(p int) bool {
	own := j.Labels[j.patches[p][0]]
	clear(j.counts)
	for _, i := range j.patches[p] {
		for _, k := range j.beside(j.at, i) {
			if l := j.Labels[k]; l != own {
				j.counts[l]++
			}
		}
	}
	to := most(j.counts, own)
	if to == own {
		return false
	}
	one := []int{p}
	for _, i := range j.patches[p] {
		j.Labels[i] = to
		for _, k := range j.beside(j.at, i) {
			if q := j.of[k]; q != p && j.Labels[k] == to && !slices.Contains(one, q) {
				one = append(one, q)
			}
		}
	}
	host := slices.MaxFunc(one, func(a, b int) int { return cmp.Compare(len(j.patches[a]), len(j.patches[b])) })
	for _, q := range one {
		if q == host {
			continue
		}
		for _, i := range j.patches[q] {
			j.of[i] = host
		}
		j.patches[host] = append(j.patches[host], j.patches[q]...)
		j.first[host] = min(j.first[host], j.first[q])
		j.patches[q] = nil
	}
	return true
}

// beside are the cells that share a side with one.
func (r *Result) beside(at map[[2]int]int, i int) []int {
	c := r.Cells[i]
	list := make([]int, 0, 4)
	for _, d := range [][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
		if j, ok := at[[2]int{c.Col + d[0], c.Row + d[1]}]; ok {
			list = append(list, j)
		}
	}
	return list
}

// patches are the cells that hang together by sides and have one label, by their first cell.
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
