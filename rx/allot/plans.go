package allot

import (
	"cmp"
	"container/heap"
	"slices"

	"ratewright/geo/parallel"
)

// addNear adds the plans of every part that lose little at the last prices, and gives these.
func (c *columns) addNear() []float64 {
	whole := make([]float64, c.m.rows)
	for i, row := range c.p.shared {
		whole[row] = c.best[i]
	}
	for n, s := range c.parts {
		for i, row := range c.p.own[n] {
			whole[row] = s.price[i]
		}
	}
	more := make([][]plan, len(c.parts))
	parallel.Each(len(c.parts), 0, func(n int) { more[n] = c.near(n, whole) })
	for n, plans := range more {
		for _, p := range plans {
			c.add(n, p)
		}
	}
	return whole
}

// choose picks a plan for every part, out of those made on the way and those that lose
// little at the last prices.
func (c *columns) choose() found {
	whole := c.addNear()
	f := found{value: -1e300, bound: c.bound, price: whole, steps: c.steps, nodes: 1}
	master := c.master()
	x := relax(master, allOn(len(master.ret)), c.best)
	x.solve()
	choice, ok := x.rounded()
	price := x.prices()
	if !ok {
		return f
	}
	choice, steps := closer(x, price, choice, master.dual(price, x.on))
	f.steps += x.steps + steps
	f.choice = make([]int32, c.m.groups())
	for n, k := range choice {
		p := c.plans[n][k-master.start[n]]
		for i, g := range c.p.groups[n] {
			f.choice[g] = p.options[i]
		}
	}
	e := newExchange(c.m, c.on, f.choice)
	e.improve()
	f.value, _ = c.m.value(f.choice)
	f.bound = max(f.bound, f.value)
	return f
}

const (
	plansNear  = 30   // added to a part at the end
	plansTried = 1000 // to find them
)

// ranked is a choice by the rank of each group's option in its list of losses.
type ranked struct {
	loss float64
	rank []uint8
	from int // the first group that may still go on to its next option
}

type queue []ranked

func (q queue) Len() int { return len(q) }
func (q queue) Less(a, b int) bool {
	return cmp.Or(cmp.Compare(q[a].loss, q[b].loss), slices.Compare(q[a].rank, q[b].rank)) < 0
}
func (q queue) Swap(a, b int) { q[a], q[b] = q[b], q[a] }
func (q *queue) Push(x any)   { *q = append(*q, x.(ranked)) }
func (q *queue) Pop() any {
	last := len(*q) - 1
	x := (*q)[last]
	*q = (*q)[:last]
	return x
}

// near are the plans of a part that lose least at the prices, in their order, of those
// that keep to its own limits.
func (c *columns) near(n int, whole []float64) []plan {
	s := c.parts[n]
	lists := make([][]lost, s.groups())
	for g, group := range c.p.groups[n] {
		lists[g] = c.tempting(int(group), s.start[g], whole)
	}
	q := &queue{{rank: make([]uint8, s.groups())}}
	for g := range lists {
		(*q)[0].loss += lists[g][0].loss
	}
	var plans []plan
	choice := make([]int32, s.groups())
	for tried := 0; tried < plansTried && len(plans) < plansNear && q.Len() > 0; tried++ {
		r := heap.Pop(q).(ranked)
		for g, k := range r.rank {
			choice[g] = lists[g][k].option
		}
		if _, ok := s.value(choice); ok {
			plans = append(plans, c.m.planOf(s, choice, c.p.shared))
		}
		for g := r.from; g < len(lists); g++ {
			if k := int(r.rank[g]) + 1; k < len(lists[g]) {
				next := ranked{r.loss - lists[g][k-1].loss + lists[g][k].loss, slices.Clone(r.rank), g}
				next.rank[g]++
				heap.Push(q, next)
			}
		}
	}
	return plans
}

// tempting are the options of a group that lose little, by their loss: the ones that
// lose least, and the ones that lose least among those far apart. They are numbered in the
// part, in which the options of the group begin at first.
func (c *columns) tempting(g int, first int32, whole []float64) []lost {
	base, _ := c.m.best(g, whole, c.on)
	fine := newDistinct(c.m, whole, 0).of(g, c.on, base, 5)
	coarse := newDistinct(c.m, whole, c.apart).of(g, c.on, base, 5)
	list := append(fine, coarse...)
	slices.SortFunc(list, func(a, b lost) int {
		return cmp.Or(cmp.Compare(a.loss, b.loss), cmp.Compare(a.option, b.option))
	})
	list = slices.CompactFunc(list, func(a, b lost) bool { return a.option == b.option })
	for i := range list {
		list[i].option += first - c.m.start[g]
	}
	return list
}
