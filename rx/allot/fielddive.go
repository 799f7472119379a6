package allot

import (
	"math"
	"slices"
)

// rounded makes a choice of a mix of plans: the plan with the largest share of each field,
// and then exchanges of zones; nil where these find no way to keep to the limits.
func (c *columns) rounded(b *branching, x *relaxed, master *model) []int32 {
	plans, _ := x.largest()
	e := newExchange(c.m, allOn(len(c.m.ret)), c.options(master, plans))
	ok := e.repair(c.whole(c.best))
	if ok {
		e.improve()
	}
	b.best.steps += e.steps
	if !ok {
		return nil
	}
	b.offer(e.choice)
	return e.choice
}

// dive gives one field after the other its plan with the largest share, and mixes again
// what the others may have. The best choice on the way is made better by pairs of zones.
func (c *columns) dive(b *branching, x *relaxed, master *model) {
	var best []int32
	value, bound, fixed := math.Inf(-1), c.bound, c.on
	price := c.whole(c.best)
	for ok := true; ok; {
		if choice := c.rounded(b, x, master); choice != nil {
			if v, fits := c.m.value(choice); fits && v > value {
				best, value = choice, v
			}
		}
		plans, mixed := x.largest()
		n := x.surest(plans, mixed)
		if n < 0 {
			break
		}
		on := slices.Clone(c.on)
		for i, g := range c.p.groups[n] {
			for k := c.m.start[g]; k < c.m.start[g+1]; k++ {
				on[k] = k == c.plans[n][plans[n]-master.start[n]].options[i]
			}
		}
		if !c.m.tighten(on) {
			break
		}
		node := &node{bound: math.Inf(1), price: c.best, plans: c.plans}
		c = c.at(on, node)
		x, master, ok = c.close(b, node)
		b.best.steps += stepsEach * c.steps
		ok = ok && c.bound > b.best.value+b.left()
	}
	if best != nil {
		e := newExchange(c.m, allOn(len(c.m.ret)), best)
		e.paired(price)
		b.best.steps += e.steps
		if n := b.best.nodes; n&(n-1) == 0 {
			choice, steps := c.m.blockwise(fixed, e.choice, price, b.aim, bound)
			b.best.steps += steps
			b.offer(choice)
		}
		b.offer(e.choice)
	}
}
