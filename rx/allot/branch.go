package allot

import (
	"cmp"
	"container/heap"
	"math"
	"slices"
)

// found is the best choice of a search and what is proven.
type found struct {
	choice  []int32 // nil where none keeps to the limits, or none was found
	value   float64
	bound   float64 // no choice is worth more
	price   []float64
	nodes   int
	steps   int
	settled bool     // the search came to its end
	columns *columns // in which the parts were searched; nil where groups are many
	parts   *parts   // that were searched one by one: the prices of the shared limits prove the bound
}

// branching is a search by branch and bound: the relaxation of a node gives its bound;
// options that lose more than what is still open are turned off; the options of a group
// that the relaxation mixes are parted by what they cost at the prices.
type branching struct {
	m    *model
	best found
	open nodes
	aim  aim
	eps  float64
	made int
	x    *relaxed
}

// node is a set of options still on, with the bound of the node that it came from.
type node struct {
	on     []uint64
	bound  float64
	price  []float64
	from   *basis   // of the node that it came from
	plans  [][]plan // where fields are solved one by one, with prices of the shared limits
	depth  int
	number int
}

type nodes []*node

func (n nodes) Len() int      { return len(n) }
func (n nodes) Swap(a, b int) { n[a], n[b] = n[b], n[a] }
func (n *nodes) Push(x any)   { *n = append(*n, x.(*node)) }
func (n *nodes) Pop() any {
	last := len(*n) - 1
	x := (*n)[last]
	*n = (*n)[:last]
	return x
}

// Less puts the largest bound first, then the deepest, then the first made.
func (n nodes) Less(a, b int) bool {
	return cmp.Or(cmp.Compare(n[b].bound, n[a].bound), cmp.Compare(n[b].depth, n[a].depth), cmp.Compare(n[a].number, n[b].number)) < 0
}

// aim is how near a search is to come to the best choice: within a gap, or, at 0, to it.
type aim struct {
	gap   float64
	scale scaling
}

// open is what may stay open above a value.
func (a aim) open(value float64) float64 {
	if a.gap == 0 || math.IsInf(value, 0) {
		return 0
	}
	return a.gap * math.Abs(a.scale.base+a.scale.unit*value) / a.scale.unit
}

// branch searches a model for a choice as near to the best as is aimed at, starting from one
// that may be known, with at most so many nodes and about so many steps of work.
func branch(m *model, start []int32, price []float64, a aim, maxNodes, maxSteps int) found {
	b := &branching{m: m, aim: a, eps: closes(m), best: found{value: math.Inf(-1), bound: math.Inf(-1), price: price}, x: newRelaxed(m)}
	if start != nil {
		b.offer(start)
	}
	b.push(&node{on: pack(allOn(len(m.ret))), bound: math.Inf(1), price: price})
	return b.run(maxNodes, maxSteps, b.visit)
}

// run visits nodes until none is open or the work is done.
func (b *branching) run(nodes, steps int, visit func(*node)) found {
	for len(b.open) > 0 && b.best.nodes < nodes && b.best.steps < steps {
		n := heap.Pop(&b.open).(*node)
		b.best.nodes++
		if !b.closed(n.bound) {
			visit(n)
		}
	}
	b.best.settled = len(b.open) == 0
	for _, n := range b.open {
		b.best.bound = max(b.best.bound, n.bound)
	}
	b.best.bound = max(b.best.bound, b.best.value)
	return b.best
}

// closes is the difference that is not worth a search: a tenth of a billionth of what is at stake.
func closes(m *model) float64 {
	sum := 0.0
	for g := range m.groups() {
		own := m.ret[m.start[g]:m.start[g+1]]
		sum += slices.Max(own) - slices.Min(own)
	}
	return 1e-10 * sum
}

func (b *branching) push(n *node) {
	n.number = b.made
	b.made++
	heap.Push(&b.open, n)
}

// closed says whether a bound leaves nothing to look for, and keeps it as proven.
func (b *branching) closed(bound float64) bool {
	if bound > b.best.value+b.left() {
		return false
	}
	b.best.bound = max(b.best.bound, bound)
	return true
}

// left is what may stay open above the best choice.
func (b *branching) left() float64 { return max(b.eps, b.aim.open(b.best.value)) }

// thorough says whether nodes are worth more work each: where the search is for a gap, and
// groups are not so many that a node alone is much work.
func (b *branching) thorough() bool { return b.aim.gap > 0 && b.m.groups() <= fewGroups }

// offer takes a choice that keeps to the limits where it is better.
func (b *branching) offer(choice []int32) {
	if v, ok := b.m.value(choice); ok && v > b.best.value {
		b.best.choice, b.best.value = slices.Clone(choice), v
		if b.thorough() && b.m.groups() > manyGroups {
			e := newExchange(b.m, allOn(len(b.m.ret)), slices.Clone(choice))
			e.paired(b.best.price)
			b.best.steps += e.steps
			if v, ok := b.m.value(e.choice); ok && v > b.best.value {
				b.best.choice, b.best.value = e.choice, v
			}
		}
	}
}

func (b *branching) visit(n *node) {
	on := unpack(n.on, len(b.m.ret))
	b.best.steps += 2 * len(b.m.row)
	if !b.m.tighten(on) {
		return
	}
	r := b.x
	r.steps = 0
	feasible := n.from != nil && r.resume(on, n.from, n.price)
	if !feasible {
		r.start(on, n.price)
		feasible = r.solve()
	}
	price := r.prices()
	if !feasible {
		b.best.steps += r.steps
		if b.m.lacks(price, on) {
			return
		}
		price = n.price
	}
	dual := b.m.dual(price, on)
	bound := min(n.bound, dual)
	if n.depth == 0 && feasible {
		b.best.price = price
	}
	if feasible && !b.closed(bound) {
		if choice, ok := r.rounded(); ok {
			b.offer(choice)
		}
	}
	b.best.steps += r.steps
	if b.closed(bound) {
		return
	}
	b.fix(on, price, dual)
	from := r.keep()
	b.split(n, r, on, price, bound, from)
	if feasible && b.thorough() && (b.best.nodes <= diveFirst || b.best.nodes%diveEvery == 0) && r.resume(on, from, price) {
		b.dive(on, from, price)
	}
}

// lacks says whether prices prove that the options on cannot keep to the limits: the least
// they take at these prices is more than there is.
func (m *model) lacks(price []float64, on []bool) bool {
	need, have := 0.0, 0.0
	for g := range m.groups() {
		least := math.Inf(1)
		for k := m.start[g]; k < m.start[g+1]; k++ {
			if on[k] {
				least = min(least, m.ret[k]-m.priced(k, price))
			}
		}
		need += least
	}
	for i, p := range price {
		have += p * (m.limit[i] + m.slack[i])
	}
	return need > have+1e-9*(need+have)
}

// fix turns off the options that lose more against the best of their group, at the
// prices, than these prove to be open above the best choice.
func (b *branching) fix(on []bool, price []float64, dual float64) {
	spare := dual - b.best.value - b.left()
	for g := range b.m.groups() {
		_, top := b.m.best(g, price, on)
		for k := b.m.start[g]; k < b.m.start[g+1]; k++ {
			if loss := top - b.m.priced(k, price); on[k] && loss > spare {
				on[k] = false
				b.best.bound = max(b.best.bound, dual-loss)
			}
		}
	}
}
