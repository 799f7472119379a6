package allot

import (
	"math"
	"slices"

	"ratewright/geo/parallel"
)

// columns is the search over a model in parts by generating plans (Dantzig & Wolfe 1960,
// Oper. Res. 8:101-111, from memory): a master problem chooses one plan for every part
// under the shared limits; its prices make new plans, each the best whole choice of its part,
// and prove a bound that knows that zones of a part cannot mix their options.
type columns struct {
	m     *model
	p     parts
	parts []*part
	plans [][]plan
	on    []bool  // every option
	apart float64 // by which plans should differ, at the prices

	best  []float64 // prices of the shared rows that prove the bound
	bound float64
	worth []float64 // of each part at these prices
	none  bool      // a part is proven to have no plan
	steps int
}

const (
	mostRounds  = 40
	roundsClose = 1e-8 // of what is at stake: bound and master are one
	partNodes   = 400
	apartOf     = 1e-3 // of what is at stake in a group
)

// inParts searches a model in parts. It gives no choice where the master finds no plans
// that keep to the shared limits.
func inParts(m *model, p parts) found {
	c := &columns{m: m, p: p, parts: m.parts(p, allOn(len(m.ret))), plans: make([][]plan, len(p.groups)), on: allOn(len(m.ret)), bound: math.Inf(1)}
	price := c.sampled()
	c.best = price
	stake := 1e10 * closes(m)
	c.apart = apartOf * stake / float64(m.groups())
	firm, last := 2.0, math.Inf(1)
	for round := range mostRounds {
		bound, ok := c.solveParts(price)
		if !ok {
			return found{value: math.Inf(-1), bound: c.bound}
		}
		if bound < c.bound {
			c.bound, c.best = bound, price
		}
		if round == 0 {
			c.addNear()
		}
		now, value, short := c.priceMaster(firm)
		if c.bound-value <= roundsClose*stake {
			if short <= shortage {
				break
			}
			firm *= 4
		}
		settled := math.Abs(value-last) <= roundsClose*stake
		last, price = value, now
		for i := range price {
			if !settled { // half way from the best known, for the master still errs
				price[i] = (now[i] + c.best[i]) / 2
			}
		}
	}
	f := c.choose()
	if f.choice != nil && m.groups() <= fewGroups {
		f.columns = c
	}
	return f
}

// priceMaster prices the shared limits by the relaxation of the master, in which going
// over a limit costs firm times the best price known.
func (c *columns) priceMaster(firm float64) (price []float64, value, short float64) {
	master := c.master()
	x := relax(master, allOn(len(master.ret)), c.best)
	for i, p := range c.best {
		x.fine[i] = firm * max(p, 0.01)
	}
	x.run()
	c.steps += x.steps
	price = x.prices()
	return price, master.dual(price, x.on), x.short()
}

// solveParts adds the best plan of every part at the prices, and gives the bound that they
// prove; false where a part has no plan within its own limits, or none was found. none is
// set where a part is proven to have none.
func (c *columns) solveParts(price []float64) (float64, bool) {
	whole := make([]float64, c.m.rows)
	bound := 0.0
	for i, row := range c.p.shared {
		whole[row] = price[i]
		bound += price[i] * (c.m.limit[row] + c.m.slack[row])
	}
	got, worth := make([]found, len(c.parts)), make([]float64, len(c.parts))
	parallel.Each(len(c.parts), 0, func(n int) { got[n] = c.parts[n].solve(c.m, whole) })
	for n, f := range got {
		if f.choice == nil {
			c.none = f.settled
			return 0, false
		}
		bound += f.bound
		worth[n] = f.bound
		c.steps += f.steps
		c.add(n, c.m.planOf(c.parts[n], f.choice, c.p.shared))
	}
	if bound < c.bound {
		c.worth = worth
	}
	return bound, true
}

// solve finds the best choice of a part with its options paying for the shared rows.
func (s *part) solve(m *model, whole []float64) found {
	for k, from := range s.from {
		s.ret[k] = m.priced(from, whole)
	}
	r := atRoot(s.model, s.price, nil)
	s.price = r.price
	r.settled = r.empty != nil
	if r.empty == nil && r.bound > r.value+closes(s.model) {
		r.nearer()
		return r.refine(Options{Nodes: partNodes, Steps: 20_000_000}, scaling{unit: 1})
	}
	return r.found
}

func (c *columns) add(n int, p plan) {
	if !slices.ContainsFunc(c.plans[n], func(q plan) bool { return slices.Equal(q.options, p.options) }) {
		c.plans[n] = append(c.plans[n], p)
	}
}

// master is the problem of choosing plans under the shared limits.
func (c *columns) master() *model {
	s := &model{rows: len(c.p.shared), start: []int32{0}, uses: []int32{0}}
	for _, row := range c.p.shared {
		s.limit, s.slack = append(s.limit, c.m.limit[row]), append(s.slack, c.m.slack[row])
	}
	for _, plans := range c.plans {
		for _, p := range plans {
			for i, u := range p.uses {
				if u > 0 {
					s.row, s.amt = append(s.row, int32(i)), append(s.amt, u)
				}
			}
			s.ret, s.uses = append(s.ret, p.ret), append(s.uses, int32(len(s.row)))
		}
		s.start = append(s.start, int32(len(s.ret)))
	}
	return s
}

// sampled are prices of the shared rows to start from: those of the relaxation of some of
// the parts with their portion of the limits.
func (c *columns) sampled() []float64 {
	price := make([]float64, len(c.p.shared))
	every := max(1, c.m.groups()/300)
	keep := make([]bool, len(c.m.ret))
	var groups []int32
	for n := 0; n < len(c.parts); n += every {
		for _, k := range c.parts[n].from {
			keep[k] = true
		}
		groups = append(groups, c.p.groups[n]...)
	}
	full, some := c.m.mostUse(c.on), c.m.mostUse(keep)
	thin := *c.m
	thin.limit = slices.Clone(c.m.limit)
	for _, row := range c.p.shared {
		thin.limit[row] *= some[row] / full[row]
	}
	picked := thin.pick(groups)
	sample, rows := picked.only(allOn(len(picked.ret)))
	x := relax(sample, allOn(len(sample.ret)), make([]float64, sample.rows))
	c.steps += x.steps
	if !x.solve() {
		return price
	}
	for i, row := range rows {
		if at, ok := slices.BinarySearch(c.p.shared, row); ok {
			price[at] = max(0, x.price[i])
		}
	}
	return price
}

// pick is the model of some groups.
func (m *model) pick(groups []int32) *model {
	s := &model{rows: m.rows, limit: m.limit, slack: m.slack, start: []int32{0}, uses: []int32{0}}
	for _, g := range groups {
		for k := m.start[g]; k < m.start[g+1]; k++ {
			s.ret = append(s.ret, m.ret[k])
			s.row = append(s.row, m.row[m.uses[k]:m.uses[k+1]]...)
			s.amt = append(s.amt, m.amt[m.uses[k]:m.uses[k+1]]...)
			s.uses = append(s.uses, int32(len(s.row)))
		}
		s.start = append(s.start, int32(len(s.ret)))
	}
	return s
}
