package allot

import (
	"cmp"
	"math"
	"slices"
)

const tried = 8 // groups by which a node is parted on trial

// split parts a node in two by the options of one group that the mix parts: where nodes are
// worth it the one whose parting lowers the bounds of both sides most, else the widest.
func (b *branching) split(n *node, r *relaxed, on []bool, price []float64, bound float64, from *basis) {
	means, spread := b.spreads(r.shares, price)
	mixed := widest(spread, 0)
	if mixed < 0 || !b.thorough() {
		b.halve(node{bound: bound, price: price, from: from, depth: n.depth + 1}, on, mixed, means, price)
		return
	}
	var groups []int
	for g, v := range spread {
		if v > 0 {
			groups = append(groups, g)
		}
	}
	slices.SortStableFunc(groups, func(x, y int) int { return cmp.Compare(spread[y], spread[x]) })
	var best []*node
	most := -1.0
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

// halve pushes the two sides of a node, which are like the one given, parted by a group at
// the mean of what its options cost; by the first undecided group where it is -1.
func (b *branching) halve(like node, on []bool, g int, means, price []float64) {
	mean := math.NaN()
	if g >= 0 {
		mean = means[g]
	} else if g = b.undecided(on); g < 0 {
		b.leaf(on)
		return
	}
	for _, side := range b.parted(on, g, mean, price) {
		c := like
		c.on = pack(side)
		b.push(&c)
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

// widest is the group whose spread is the largest above the least that counts; -1 for none.
func widest(spread []float64, least float64) int {
	group := -1
	for g, v := range spread {
		if v > least && (group < 0 || v > spread[group]) {
			group = g
		}
	}
	return group
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
