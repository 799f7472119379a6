package allot

import (
	"cmp"
	"math"
	"slices"
)

// around is the model of some groups, with the options kept, while all other groups stay
// with a choice: what these use is taken from the limits.
func (m *model) around(choice []int32, free []int, keep func(g int, k int32) bool) *model {
	s := &model{rows: m.rows, limit: slices.Clone(m.limit), slack: m.slack, start: []int32{0}, uses: []int32{0}}
	for _, k := range choice {
		m.add(s.limit, k, -1)
	}
	for _, g := range free {
		m.add(s.limit, choice[g], 1)
		for k := m.start[g]; k < m.start[g+1]; k++ {
			if k != choice[g] && !keep(g, k) {
				continue
			}
			s.ret, s.from = append(s.ret, m.ret[k]), append(s.from, k)
			s.row = append(s.row, m.row[m.uses[k]:m.uses[k+1]]...)
			s.amt = append(s.amt, m.amt[m.uses[k]:m.uses[k+1]]...)
			s.uses = append(s.uses, int32(len(s.row)))
		}
		s.start = append(s.start, int32(len(s.ret)))
	}
	return s
}

// open is a group with the options that may take part in a better choice.
type open struct {
	group  int
	second float64 // what the next best option loses
	kept   []int32
}

// nearby searches the groups that the prices leave most open, and those that the relaxation
// mixes, with all others as the mix has them: so few are mixed that a good choice differs
// little from it. It gives the choice it was given where it finds none better.
func nearby(x *relaxed, price []float64, choice []int32, spare float64, groups, nodes int) (better []int32, steps int) {
	m := x.m
	base, mixed := x.largest()
	list := make([]open, m.groups())
	coarse, fine := newDistinct(m, price, spare/8), newDistinct(m, price, 0)
	for g, now := range base {
		list[g] = open{group: g, second: math.Inf(1)}
		for n, k := range append(coarse.of(g, x.on, now, 5), fine.of(g, x.on, now, 5)...) {
			if n > 0 && n < 5 {
				list[g].second = min(list[g].second, k.loss)
			}
			if k.loss <= spare || k.option == now {
				list[g].kept = append(list[g].kept, k.option)
			}
		}
		if mixed[g] {
			list[g].second = -1
		}
	}
	slices.SortStableFunc(list, func(a, b open) int { return cmp.Compare(a.second, b.second) })
	list = list[:min(groups, len(list))]
	var free []int
	keep := map[int32]bool{}
	for _, o := range list {
		free = append(free, o.group)
		for _, k := range o.kept {
			keep[k] = true
		}
	}
	slices.Sort(free)
	s := m.around(base, free, func(_ int, k int32) bool { return keep[k] })
	f := branch(s, nil, price, aim{}, nodes, 200_000_000)
	steps = f.steps + 10*len(m.ret)
	for i, k := range f.choice {
		base[free[i]] = s.from[k]
	}
	e := newExchange(m, x.on, base)
	if m.fits(e.used) {
		e.improve()
	}
	was, _ := m.value(choice)
	if v, ok := m.value(base); ok && v > was {
		return base, steps
	}
	return choice, steps
}

// lost is an option with what it loses against the best of its group, at the prices.
type lost struct {
	option int32
	loss   float64
}

// distinct picks options of a group that differ in what they use.
type distinct struct {
	m     *model
	price []float64
	apart float64
	list  []lost
	row   []float64
}

func newDistinct(m *model, price []float64, apart float64) *distinct {
	return &distinct{m: m, price: price, apart: apart, row: make([]float64, m.rows)}
}

// of gives the options that lose least and lie apart, at most so many, the base first.
func (d *distinct) of(g int, on []bool, base int32, most int) []lost {
	_, top := d.m.best(g, d.price, on)
	d.list = d.list[:0]
	for k := d.m.start[g]; k < d.m.start[g+1]; k++ {
		if on[k] && k != base {
			d.list = append(d.list, lost{k, top - d.m.priced(k, d.price)})
		}
	}
	slices.SortStableFunc(d.list, func(a, b lost) int { return cmp.Compare(a.loss, b.loss) })
	kept := []lost{{base, top - d.m.priced(base, d.price)}}
	for _, o := range d.list {
		if len(kept) == most {
			break
		}
		if !slices.ContainsFunc(kept, func(k lost) bool { return d.like(k.option, o.option) }) {
			kept = append(kept, o)
		}
	}
	return kept
}

// like says whether two options use much the same.
func (d *distinct) like(a, b int32) bool {
	d.m.add(d.row, a, 1)
	d.m.add(d.row, b, -1)
	alike := true
	for _, k := range [2]int32{a, b} {
		for e := d.m.uses[k]; e < d.m.uses[k+1]; e++ {
			i := d.m.row[e]
			v := d.row[i] * d.price[i]
			alike = alike && v < d.apart && -v < d.apart
			d.row[i] = 0
		}
	}
	return alike
}
