package allot

import "slices"

// Where many fields share a supply, more of one field's own limit is chosen again on that
// field alone: solving all fields again for the limit of each takes hours with some hundred.
// What the other fields use stays with them, so that what more brings there is surely to be
// had. The prices of the shared limits that prove the bound of the whole prove that of the
// whole with more, too: the bound rises by no more than the field's own at these prices.

// field is a part of a problem with the limits over it alone.
type field struct {
	groups []int32
	own    []int32 // limits of it alone
	shared []int32 // limits over several parts
}

// fields are the parts that a problem fell into, by the limits that may bind.
type fields struct {
	parts
	rows []int32 // by number in the parts: the limit
	on   []bool  // options that can be part of a choice
}

// of is the field of a limit; false where the limit is over several or never binds.
func (s *fields) of(limit int) (field, bool) {
	at, ok := slices.BinarySearch(s.rows, int32(limit))
	if !ok {
		return field{}, false
	}
	for n, own := range s.own {
		if !slices.Contains(own, int32(at)) {
			continue
		}
		f := field{groups: s.groups[n]}
		for _, i := range own {
			f.own = append(f.own, s.rows[i])
		}
		for _, i := range s.shared {
			f.shared = append(f.shared, s.rows[i])
		}
		return f, true
	}
	return field{}, false
}

// onlyIn says whether no other group uses a limit.
func (p *Problem) onlyIn(groups []int32, limit int) bool {
	for g := range p.names {
		if _, in := slices.BinarySearch(groups, int32(g)); in {
			continue
		}
		for e := p.uses[p.start[g]]; e < p.uses[p.start[g+1]]; e++ {
			if p.row[e] == int32(limit) {
				return false
			}
		}
	}
	return true
}

// worthInField is the worth of more of a limit of one field; false where the limit is none.
func (p *Problem) worthInField(r Result, limit int, more float64, o Options) (Worth, bool, error) {
	if r.fields == nil {
		return Worth{}, false, nil
	}
	f, ok := r.fields.of(limit)
	if !ok || !p.onlyIn(f.groups, limit) {
		return Worth{}, false, nil
	}
	raised := *p
	raised.limits = slices.Clone(p.limits)
	raised.limits[limit].Amount += more
	price := make([]float64, len(p.limits))
	for _, i := range f.shared {
		price[i] = r.Price[i]
	}
	with, err := p.atPrices(f, price, raised.limits, allOn(len(p.ret)), o)
	if err != nil {
		return Worth{}, false, err
	}
	without, err := p.atPrices(f, price, p.limits, r.fields.on, o)
	if err != nil {
		return Worth{}, false, err
	}
	again := r
	again.fields = nil
	alone, err := raised.aloneIn(f, r, o)
	if err != nil {
		return Worth{}, false, err
	}
	for _, choice := range [][]int{alone, raised.mended(f, r, with.Choice)} {
		if choice == nil {
			continue
		}
		if v, used := p.used(choice); v > again.Value {
			again.Choice, again.Value, again.Used = choice, v, used
		}
	}
	again.Bound = max(again.Value, r.Bound+max(0, with.Bound-without.Value))
	again.Gap = relative(again.Value, again.Bound)
	again.Proven = again.Gap <= o.Gap
	again.Notes = again.told(o)
	w := p.worthOf(r, again, limit, more)
	w.OnField = true
	return w, true, nil
}

// aloneIn chooses again on a field, when all others keep what they use.
func (p *Problem) aloneIn(f field, r Result, o Options) ([]int, error) {
	own := make([]float64, len(p.limits))
	for _, g := range f.groups {
		k := p.start[g] + int32(r.Choice[g])
		for e := p.uses[k]; e < p.uses[k+1]; e++ {
			own[p.row[e]] += p.amount[e]
		}
	}
	left := slices.Clone(p.limits)
	for i := range left {
		left[i].Amount = max(own[i], p.limits[i].Amount-(r.Used[i]-own[i]))
	}
	sub, now := p.pick(f.groups, left, nil, allOn(len(p.ret)), r.Choice)
	again, err := sub.solve(o, now)
	if err != nil {
		return nil, err
	}
	return put(r.Choice, f.groups, again.Choice), nil
}

// put is a choice with that of some groups in it.
func put(choice []int, groups []int32, own []int) []int {
	choice = slices.Clone(choice)
	for i, g := range groups {
		choice[g] = own[i]
	}
	return choice
}

// mended gives a field what is best for it at the prices, and takes back from all fields
// what then passes the shared limits, where it loses least; nil where that finds no way.
func (p *Problem) mended(f field, r Result, best []int) []int {
	m, s := p.model()
	choice, price := make([]int32, len(p.names)), make([]float64, len(p.limits))
	for g, c := range put(r.Choice, f.groups, best) {
		choice[g] = p.start[g] + int32(c)
	}
	for i, l := range p.limits {
		price[i] = r.Price[i] * l.Amount / s.unit
	}
	e := newExchange(m, allOn(len(m.ret)), choice)
	if !e.repair(price) {
		return nil
	}
	e.improve()
	if _, fits := m.value(e.choice); !fits {
		return nil
	}
	own := make([]int, len(e.choice))
	for g, k := range e.choice {
		own[g] = int(k - p.start[g])
	}
	return own
}

// atPrices is the best of a field under its own limits, after paying for the shared ones.
func (p *Problem) atPrices(f field, price []float64, limits []Limit, on []bool, o Options) (Result, error) {
	own := slices.Clone(limits)
	for i := range own {
		if !slices.Contains(f.own, int32(i)) {
			own[i].Amount = most
		}
	}
	sub, _ := p.pick(f.groups, own, price, on, nil)
	return sub.Solve(o)
}

// pick is the problem of some groups and options, which pay for what they use, and a choice
// of the whole in it.
func (p *Problem) pick(groups []int32, limits []Limit, price []float64, on []bool, choice []int) (*Problem, []int) {
	s := &Problem{limits: limits, start: []int32{0}, uses: []int32{0}}
	var now []int
	for _, g := range groups {
		s.names = append(s.names, p.names[g])
		for k := p.start[g]; k < p.start[g+1]; k++ {
			if !on[k] {
				continue
			}
			ret := p.ret[k]
			for e := p.uses[k]; e < p.uses[k+1]; e++ {
				if price != nil {
					ret -= price[p.row[e]] * p.amount[e]
				}
			}
			s.ret = append(s.ret, ret)
			s.row = append(s.row, p.row[p.uses[k]:p.uses[k+1]]...)
			s.amount = append(s.amount, p.amount[p.uses[k]:p.uses[k+1]]...)
			s.uses = append(s.uses, int32(len(s.row)))
		}
		s.start = append(s.start, int32(len(s.ret)))
		if choice != nil {
			now = append(now, choice[g])
		}
	}
	return s, now
}

// worthOf compares a result with that of the same problem with more of a limit.
func (p *Problem) worthOf(r, again Result, limit int, more float64) Worth {
	w := Worth{
		Limit: p.limits[limit], More: more, Dollars: again.Value - r.Value, Price: r.Price[limit] * more, Result: again,
		Low: max(0, again.Value-r.Bound), High: max(0, again.Bound-r.Value),
	}
	open := (r.Bound - r.Value) + (again.Bound - again.Value)
	w.Known = open < cent || w.Dollars > open
	return w
}
