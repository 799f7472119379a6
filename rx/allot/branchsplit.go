package allot

import (
	"cmp"
	"math"
	"slices"
)

// split parts a node in two by the options of one group: of those that the mix parts, the
// one whose parting lowers the bounds of both sides most.
func (b *branching) split(n *node, r *relaxed, on []bool, price []float64, bound float64, from *basis) {
	means, spread := b.spreads(r.shares, price)
	var groups []int
	for g, v := range spread {
		if v > 0 {
			groups = append(groups, g)
		}
	}
	if len(groups) == 0 {
		g := b.undecided(on)
		if g < 0 {
			b.leaf(on)
			return
		}
		for _, side := range b.parted(on, g, math.NaN(), price) {
			b.push(&node{on: pack(side), bound: bound, price: price, from: from, depth: n.depth + 1})
		}
		return
	}
	slices.SortStableFunc(groups, func(x, y int) int { return cmp.Compare(spread[y], spread[x]) })
	var best []*node
	most := -1.0
	if !b.thorough() {
		for _, side := range b.parted(on, groups[0], means[groups[0]], price) {
			b.push(&node{on: pack(side), bound: bound, price: price, from: from, depth: n.depth + 1})
		}
		return
	}
	for _, g := range groups[:min(len(groups), tried)] {
		var sides []*node
		score := 1.0
		for _, side := range b.parted(on, g, means[g], price) {
			c := b.look(side, price, bound, from)
			c.depth = n.depth + 1
			sides = append(sides, c)
			score *= max(1e-6, bound-c.bound)
		}
		if score > most {
			best, most = sides, score
		}
	}
	for _, c := range best {
		if !b.closed(c.bound) {
			b.push(c)
		}
	}
}

// look solves the relaxation of a side that may become a node.
func (b *branching) look(on []bool, price []float64, bound float64, from *basis) *node {
	c := &node{on: pack(on), bound: bound, price: price, from: from}
	r := b.x
	r.steps = 0
	if r.resume(on, from, price) {
		c.price, c.from = r.prices(), r.keep()
		c.bound = min(bound, b.m.dual(c.price, on))
	} else if p := r.prices(); b.m.dual(p, on) < bound {
		c.bound = b.m.dual(p, on)
	}
	b.best.steps += r.steps
	return c
}

const tried = 8

// parted are the options on, parted in two by what those of a group cost; by the first of
// them against the rest where that parts none.
func (b *branching) parted(on []bool, g int, mean float64, price []float64) [][]bool {
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
	if lows > 0 && highs > 0 {
		return [][]bool{low, high}
	}
	copy(low, on)
	copy(high, on)
	first := true
	for k := b.m.start[g]; k < b.m.start[g+1]; k++ {
		if on[k] {
			low[k], high[k] = first, !first
			first = false
		}
	}
	if lows+highs == 1 {
		return [][]bool{low}
	}
	return [][]bool{low, high}
}

// costs is what an option pays at the prices for what it uses.
func (b *branching) costs(k int32, price []float64) float64 {
	return b.m.ret[k] - b.m.priced(k, price)
}

// spreads are, of each group, the mean of what its options in the mix cost, and how far they
// lie from it.
func (b *branching) spreads(shares func(f func(g int, k int32, share float64)), price []float64) (means, spread []float64) {
	means, spread = make([]float64, b.m.groups()), make([]float64, b.m.groups())
	shares(func(g int, k int32, share float64) { means[g] += share * b.costs(k, price) })
	shares(func(g int, k int32, share float64) {
		if share < 1-1e-6 {
			spread[g] += share * (1e-12 + math.Abs(b.costs(k, price)-means[g]))
		}
	})
	return means, spread
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
