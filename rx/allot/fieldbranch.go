package allot

import (
	"math"
	"slices"
)

const (
	diveFieldsEvery = 8 // as diveEvery, after the same first nodes

	nodeRounds = 6    // of prices at a node
	stepsEach  = 4    // times that a step costs where models are small
	nodeClose  = 0.05 // of what is open: bound and master are one

	// leastSpread is more than rounding where several plans give a group the same option.
	leastSpread = 1e-9
)

// branch searches by branch and bound with the bound of fields solved one by one at every
// node: it knows at each that a field cannot mix its options.
func (c *columns) branch(start []int32, a aim, nodes, steps int) found {
	b := &branching{m: c.m, aim: a, eps: closes(c.m), best: found{value: math.Inf(-1), bound: math.Inf(-1), price: c.whole(c.best)}}
	b.offer(start)
	b.push(&node{on: pack(c.on), bound: c.bound, price: c.best, plans: c.plans})
	return b.run(nodes, steps, func(n *node) { c.visit(b, n) })
}

// whole are prices of all limits: those given of the shared ones, and of the fields' own
// those at which they were last solved.
func (c *columns) whole(shared []float64) []float64 {
	whole := make([]float64, c.m.rows)
	for i, row := range c.p.shared {
		whole[row] = shared[i]
	}
	for n, s := range c.parts {
		for i, row := range c.p.own[n] {
			whole[row] = s.price[i]
		}
	}
	return whole
}

// visit bounds a node, and parts it where that leaves something open.
func (c *columns) visit(b *branching, n *node) {
	on := unpack(n.on, len(c.m.ret))
	b.best.steps += 2 * len(c.m.row)
	if !c.m.tighten(on) {
		return
	}
	at := c.at(on, n)
	x, master, ok := at.close(b, n)
	b.best.steps += stepsEach * at.steps
	bound := min(n.bound, at.bound)
	if !ok && !at.none { // none was found, and none is proven impossible
		b.best.bound = max(b.best.bound, bound)
	}
	if !ok || b.closed(bound) {
		return
	}
	whole := at.whole(at.best)
	at.rounded(b, x, master)
	at.fix(b, whole)
	shares := func(f func(g int, k int32, share float64)) {
		x.shares(func(n int, k int32, share float64) {
			for i, option := range at.plans[n][k-master.start[n]].options {
				f(int(c.p.groups[n][i]), option, share)
			}
		})
	}
	means, spread := b.spreads(shares, whole)
	b.halve(node{bound: bound, price: at.best, plans: at.plans, depth: n.depth + 1}, on, widest(spread, leastSpread), means, whole)
	if b.best.nodes <= diveFirst || b.best.nodes%diveFieldsEvery == 0 {
		at.dive(b, x, master)
	}
}

// at are the columns of a node: those of its options.
func (c *columns) at(on []bool, n *node) *columns {
	at := &columns{m: c.m, p: c.p, parts: c.m.parts(c.p, on), plans: make([][]plan, len(c.parts)), on: on, best: n.price, bound: math.Inf(1)}
	for f, plans := range n.plans {
		for _, p := range plans {
			if !slices.ContainsFunc(p.options, func(k int32) bool { return !on[k] }) {
				at.plans[f] = append(at.plans[f], p)
			}
		}
	}
	return at
}

// close makes plans until the prices prove what they can; false where a field has none.
func (c *columns) close(b *branching, n *node) (x *relaxed, master *model, ok bool) {
	price := n.price
	for range nodeRounds {
		bound, ok := c.solveParts(price)
		if !ok {
			return nil, nil, false
		}
		if bound < c.bound {
			c.bound, c.best = bound, price
		}
		master = c.master()
		x = relax(master, allOn(len(master.ret)), c.best)
		for i, p := range c.best {
			x.fine[i] = 4 * max(p, 0.01)
		}
		x.run()
		c.steps += x.steps
		now := x.prices()
		open := min(c.bound, n.bound) - b.best.value - b.left()
		if open <= 0 || c.bound-master.dual(now, x.on) <= nodeClose*open {
			break
		}
		for i := range now {
			now[i] = (now[i] + c.best[i]) / 2
		}
		price = now
	}
	return x, master, true
}

// options is a choice of plans as one of options.
func (c *columns) options(master *model, plans []int32) []int32 {
	choice := make([]int32, c.m.groups())
	for n, k := range plans {
		for i, g := range c.p.groups[n] {
			choice[g] = c.plans[n][k-master.start[n]].options[i]
		}
	}
	return choice
}

// fix turns off the options with which a field returns so much less, at the prices, that
// nothing better than the best choice is left.
func (c *columns) fix(b *branching, whole []float64) {
	shared := make([]float64, c.m.rows)
	for _, row := range c.p.shared {
		shared[row] = whole[row]
	}
	for n, s := range c.parts {
		for k, from := range s.from {
			s.ret[k] = c.m.priced(from, shared)
		}
		own := make([]float64, s.rows)
		for i, row := range c.p.own[n] {
			own[i] = whole[row]
		}
		all := allOn(len(s.ret))
		mixed := s.dual(own, all) - c.worth[n] // what mixing brings the field
		for g := range s.groups() {
			_, top := s.best(g, own, all)
			for k := s.start[g]; k < s.start[g+1]; k++ {
				bound := c.bound + mixed - (top - s.priced(k, own))
				if bound <= b.best.value+b.left() {
					c.on[s.from[k]] = false
					b.best.bound = max(b.best.bound, bound)
				}
			}
		}
	}
}
