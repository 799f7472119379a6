package allot

import "math"

// root is the relaxation of a whole problem.
type root struct {
	found
	m     *model
	on    []bool
	dual  float64   // the bound that the prices alone prove
	x     *relaxed  // solved; nil where the relaxation keeps to no limits
	mix   []share   // nil where the relaxation keeps to no limits
	empty []float64 // where even a mix of options passes the limits: prices that prove it
}

func atRoot(m *model, price []float64, known []int32) *root {
	r := &root{m: m, on: allOn(len(m.ret))}
	r.found = found{value: math.Inf(-1), bound: math.Inf(1), price: make([]float64, m.rows)}
	x := relax(m, r.on, price)
	solved := x.solve()
	if solved {
		r.price = x.prices()
	} else if proof := x.prices(); m.lacks(proof, r.on) {
		r.empty = proof
	}
	r.dual = m.dual(r.price, r.on)
	r.bound = r.dual
	if !solved {
		return r
	}
	x.shares(func(_ int, k int32, part float64) { r.mix = append(r.mix, share{k, part}) })
	if known != nil {
		r.offer(known)
	}
	if choice, ok := x.rounded(); ok {
		r.offer(choice)
	}
	r.steps = x.steps
	r.x = x
	return r
}

// nearer looks for a better choice near the mix, where groups are many.
func (r *root) nearer() {
	if r.choice == nil || r.x == nil || r.m.groups() <= manyGroups {
		return
	}
	choice, steps := closer(r.x, r.price, r.choice, r.bound)
	r.steps += steps
	r.offer(choice)
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

// refine searches what the relaxation left open: where groups are many, first for a choice
// within the gap asked for, and then, with less work, for the best.
func (f *root) refine(o Options, s scaling) found {
	if f.m.groups() > manyGroups && (f.choice == nil || s.gap(f.value, f.bound) > o.Gap) {
		f.found = f.searched(aim{gap: aimed * o.Gap, scale: s}, o.Nodes, o.Steps-min(f.steps, o.Steps/2))
		if f.choice == nil || s.gap(f.value, f.bound) > o.Gap {
			return f.found
		}
	}
	if f.bound <= f.value+closes(f.m) {
		return f.found
	}
	steps := o.Steps
	if f.m.groups() > manyGroups { // it is proven already: a moderate try at closing the rest
		steps /= 8
		if s.gap(f.value, f.bound) <= o.Gap/10 {
			steps /= 3
		}
	}
	return f.searched(aim{}, o.Nodes, steps)
}

// aimed is the part of the gap asked for that a search aims at, to end below it for certain.
const aimed = 0.95

// searched searches the promising options.
func (f *root) searched(a aim, nodes, steps int) found {
	keep, dropped := f.promising(a)
	core, start, price := f.m.smaller(keep, f.choice, f.price)
	b := branch(core, start, price, a, nodes, steps)
	b.bound = max(b.bound, dropped)
	return f.merge(core, b)
}

// take takes what a search of the same options found and proved.
func (f *root) take(got found) {
	f.nodes += got.nodes
	f.steps += got.steps
	f.offer(got.choice)
	f.bound = max(f.value, min(f.bound, got.bound))
}

// polish looks for a better choice block by block, where groups are many.
func (f *root) polish(gap float64, s scaling) {
	a := aim{gap: aimed * gap, scale: s}
	if f.choice == nil || f.m.groups() <= manyGroups || f.m.groups() > fewGroups || s.gap(f.value, f.bound) <= a.gap {
		return
	}
	on, _ := f.promising(a)
	choice, steps := f.m.blockwise(on, f.choice, f.price, a, f.bound)
	f.steps += steps
	f.offer(choice)
}

// promising are the options that could be part of a choice better than the one known by more
// than what may stay open, and the bound of the choices with any other.
func (f *root) promising(a aim) (keep []bool, dropped float64) {
	spare := f.dual - f.value - a.open(f.value)
	keep, dropped = make([]bool, len(f.on)), math.Inf(-1)
	for g := range f.m.groups() {
		_, top := f.m.best(g, f.price, f.on)
		for k := f.m.start[g]; k < f.m.start[g+1]; k++ {
			loss := top - f.m.priced(k, f.price)
			if keep[k] = loss <= spare; !keep[k] {
				dropped = max(dropped, f.dual-loss)
			}
		}
	}
	return keep, dropped
}

// merge takes what a search of the core found.
func (f *root) merge(core *model, b found) found {
	all := f.found
	all.nodes, all.steps, all.settled = all.nodes+b.nodes, all.steps+b.steps, b.settled
	if b.choice != nil {
		all.choice, all.value = core.origins(b.choice), b.value
	}
	all.bound = min(all.bound, max(b.bound, all.value))
	return all
}
