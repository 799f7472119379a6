package allot

import "slices"

const (
	blockSize  = 8   // groups in a block
	blockNodes = 300 // of a search of two blocks
)

// blockwise makes a choice better block by block out of the options that are on and its own.
func (m *model) blockwise(on []bool, choice []int32, price []float64, a aim, bound float64) (better []int32, steps int) {
	keep := slices.Clone(on)
	for _, k := range choice {
		keep[k] = true
	}
	small, rows := m.only(keep)
	own, now := make([]float64, small.rows), make([]int32, len(choice))
	for i, row := range rows {
		own[i] = price[row]
	}
	for g, k := range choice {
		now[g] = small.at(g, k)
	}
	now, steps = small.inBlocks(now, own, a, bound)
	for g, k := range now {
		now[g] = small.from[k]
	}
	return now, steps
}

// at is the number of an option of the model that this one was made from.
func (m *model) at(g int, from int32) int32 {
	i, _ := slices.BinarySearch(m.from[m.start[g]:m.start[g+1]], from)
	return m.start[g] + int32(i)
}

// inBlocks chooses two blocks of groups at a time anew, while all others keep what they
// have, until no two give a better choice.
func (m *model) inBlocks(choice []int32, price []float64, a aim, bound float64) (better []int32, steps int) {
	choice = slices.Clone(choice)
	blocks := (m.groups() + blockSize - 1) / blockSize
	for since, turn := 0, 0; since < blocks*(blocks-1)/2; turn++ {
		if v, _ := m.value(choice); bound <= v+a.open(v) {
			break
		}
		x, y := pairOf(turn%(blocks*(blocks-1)/2), blocks)
		var free []int
		for g := range m.groups() {
			if b := g / blockSize; b == x || b == y {
				free = append(free, g)
			}
		}
		s := m.around(choice, free, func(int, int32) bool { return true })
		start := make([]int32, len(free))
		for i, g := range free {
			start[i] = s.at(i, choice[g])
		}
		was, ok := s.value(start)
		if !ok {
			return choice, steps
		}
		f := branch(s, start, price, aim{}, blockNodes, 20_000_000)
		steps += f.steps
		since++
		if f.value > was+closes(s) {
			since = 0
			for i, g := range free {
				choice[g] = s.from[f.choice[i]]
			}
		}
	}
	return choice, steps
}

// pairOf is one of the pairs of so many.
func pairOf(turn, of int) (a, b int) {
	for a = range of {
		if n := of - a - 1; turn < n {
			return a, a + 1 + turn
		} else {
			turn -= n
		}
	}
	return 0, 1
}
