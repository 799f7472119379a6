package allot

import (
	"math"
	"slices"
)

// split parts a node in two by the options of one group.
func (b *branching) split(n *node, r *relaxed, on []bool, price []float64, bound float64) {
	g, mean := b.mixed(r, price)
	if g < 0 {
		if g = b.undecided(on); g < 0 {
			b.leaf(on)
			return
		}
		mean = math.NaN()
	}
	low, high := slices.Clone(on), slices.Clone(on)
	lows, highs := 0, 0
	for k := b.m.start[g]; k < b.m.start[g+1]; k++ {
		if !on[k] {
			continue
		}
		if b.costs(k, price) <= mean {
			high[k] = false
			lows++
		} else {
			low[k] = false
			highs++
		}
	}
	if lows == 0 || highs == 0 { // nothing to part them by: the first against the rest
		copy(low, on)
		copy(high, on)
		first := true
		for k := b.m.start[g]; k < b.m.start[g+1]; k++ {
			if on[k] {
				low[k], high[k] = first, !first
				first = false
			}
		}
		if !slices.Contains(high[b.m.start[g]:b.m.start[g+1]], true) {
			b.push(&node{on: pack(low), bound: bound, price: price, depth: n.depth + 1})
			return
		}
	}
	for _, side := range [][]bool{low, high} {
		b.push(&node{on: pack(side), bound: bound, price: price, depth: n.depth + 1})
	}
}

// costs is what an option pays at the prices for what it uses.
func (b *branching) costs(k int32, price []float64) float64 {
	return b.m.ret[k] - b.m.priced(k, price)
}

// mixed is the group whose mix parts furthest in what its options cost, with the mean of
// that; -1 where no group is mixed. Parting it changes the bound most.
func (b *branching) mixed(r *relaxed, price []float64) (group int, mean float64) {
	means, spread := make([]float64, b.m.groups()), make([]float64, b.m.groups())
	r.shares(func(g int, k int32, share float64) { means[g] += share * b.costs(k, price) })
	group = -1
	r.shares(func(g int, k int32, share float64) {
		if share < 1-1e-6 {
			spread[g] += share * (1e-12 + math.Abs(b.costs(k, price)-means[g]))
		}
	})
	for g, v := range spread {
		if v > 0 && (group < 0 || v > spread[group]) {
			group = g
		}
	}
	if group < 0 {
		return -1, 0
	}
	return group, means[group]
}

// undecided is the first group with more than one option on.
func (b *branching) undecided(on []bool) int {
	for g := range b.m.groups() {
		n := 0
		for k := b.m.start[g]; k < b.m.start[g+1]; k++ {
			if on[k] {
				n++
			}
		}
		if n > 1 {
			return g
		}
	}
	return -1
}

// leaf offers the one choice that is left.
func (b *branching) leaf(on []bool) {
	var choice []int32
	for g := range b.m.groups() {
		for k := b.m.start[g]; k < b.m.start[g+1]; k++ {
			if on[k] {
				choice = append(choice, k)
			}
		}
	}
	if len(choice) == b.m.groups() {
		b.offer(choice)
	}
}

func pack(on []bool) []uint64 {
	bits := make([]uint64, (len(on)+63)/64)
	for k, is := range on {
		if is {
			bits[k/64] |= 1 << (k % 64)
		}
	}
	return bits
}

func unpack(bits []uint64, n int) []bool {
	on := make([]bool, n)
	for k := range on {
		on[k] = bits[k/64]>>(k%64)&1 == 1
	}
	return on
}
