package allot

import "slices"

const (
	blockSize  = 8   // groups in a block
	blockNodes = 300 // of a search of two blocks
	blockSteps = 20_000_000
)

// blockwise makes a choice better block by block out of the options that are on and its own.
func (m *model) blockwise(on []bool, choice []int32, price []float64, a aim, bound float64) (better []int32, steps int) {
	small, now, own := m.smaller(on, choice, price)
	now, steps = small.inBlocks(now, own, a, bound)
	return small.origins(now), steps
}

// inBlocks chooses two blocks of groups at a time anew, while all others keep what they
// have, until no two give a better choice.
func (m *model) inBlocks(choice []int32, price []float64, a aim, bound float64) (better []int32, steps int) {
	choice = slices.Clone(choice)
	blocks := (m.groups() + blockSize - 1) / blockSize
	pairs := blocks * (blocks - 1) / 2
	for since, turn := 0, 0; since < pairs; turn++ {
		if v, _ := m.value(choice); bound <= v+a.open(v) {
			break
		}
		x, y := pairOf(turn%pairs, blocks)
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
		f := branch(s, start, price, aim{}, blockNodes, blockSteps)
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

// pairOf is the pair whose turn it is, of all pairs of so many.
func pairOf(turn, of int) (a, b int) {
	for n := of - 1; turn >= n; n-- {
		a, turn = a+1, turn-n
	}
	return a, a + 1 + turn
}
