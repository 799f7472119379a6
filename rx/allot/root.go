package allot

import "math"

// root is the relaxation of a whole problem.
type root struct {
	found
	m     *model
	on    []bool
	mix   []share   // nil where the relaxation keeps to no limits
	empty []float64 // where even a mix of options passes the limits: prices that prove it
}

func atRoot(m *model, price []float64, known []int32) *root {
	r := &root{m: m, on: allOn(len(m.ret))}
	r.found = found{value: math.Inf(-1), bound: math.Inf(1), price: make([]float64, m.rows)}
	x := relax(m, r.on, price)
	if !x.solve() {
		if proof := x.prices(); m.lacks(proof, r.on) {
			r.empty = proof
		}
		r.price = make([]float64, m.rows)
		r.bound = m.dual(r.price, r.on)
		return r
	}
	r.price = x.prices()
	r.bound = m.dual(r.price, r.on)
	x.shares(func(_ int, k int32, part float64) { r.mix = append(r.mix, share{k, part}) })
	if choice, ok := x.rounded(); ok {
		if m.groups() > manyGroups {
			var steps int
			choice, steps = closer(x, r.price, choice, r.bound)
			x.steps += steps
		}
		r.offer(choice)
	}
	if known != nil {
		r.offer(known)
	}
	r.steps = x.steps
	return r
}

// manyGroups is the number of groups above which a good choice is looked for before the
// search by branch and bound, which would not find it soon.
const manyGroups = 16

// closer looks for better choices near the mix, in more groups from time to time.
func closer(x *relaxed, price []float64, choice []int32, bound float64) (better []int32, steps int) {
	for _, groups := range []int{20, 100, 250} {
		v, _ := x.m.value(choice)
		if bound-v <= closes(x.m) {
			break
		}
		var n int
		choice, n = nearby(x, price, choice, bound-v, groups, 3*groups)
		steps += n
	}
	return choice, steps
}

func (f *root) offer(choice []int32) {
	if v, ok := f.m.value(choice); ok && v > f.value {
		f.choice, f.value = choice, v
		f.bound = max(f.bound, v)
	}
}

// refine searches what the relaxation left open.
func (f *root) refine(o Options, s scaling) found {
	core, rows, start := f.core()
	price := make([]float64, core.rows)
	for i, row := range rows {
		price[i] = f.price[row]
	}
	steps := o.Steps
	if f.choice != nil && f.m.groups() > manyGroups && s.gap(f.value, f.bound) <= o.Gap {
		steps /= 4 // it is proven already: a moderate try at closing the rest
		if s.gap(f.value, f.bound) <= o.Gap/10 {
			steps /= 5
		}
	}
	b := branch(core, start, price, o.Nodes, steps)
	return f.merge(core, b)
}

// core is the model of the options that could be part of a better choice.
func (f *root) core() (core *model, rows, start []int32) {
	spare := f.bound - f.value
	keep := make([]bool, len(f.on))
	for g := range f.m.groups() {
		_, top := f.m.best(g, f.price, f.on)
		for k := f.m.start[g]; k < f.m.start[g+1]; k++ {
			keep[k] = top-f.m.priced(k, f.price) <= spare
		}
		if f.choice != nil {
			keep[f.choice[g]] = true
		}
	}
	core, rows = f.m.only(keep)
	if f.choice == nil {
		return core, rows, nil
	}
	start = make([]int32, len(f.choice))
	for g, k := range f.choice {
		for c := core.start[g]; c < core.start[g+1]; c++ {
			if core.from[c] == k {
				start[g] = c
			}
		}
	}
	return core, rows, start
}

// merge takes what a search of the core found.
func (f *root) merge(core *model, b found) found {
	all := f.found
	all.nodes, all.steps, all.settled = b.nodes, all.steps+b.steps, b.settled
	if b.choice != nil {
		choice := make([]int32, len(b.choice))
		for g, k := range b.choice {
			choice[g] = core.from[k]
		}
		all.choice, all.value = choice, b.value
	}
	all.bound = min(all.bound, max(b.bound, all.value))
	return all
}
