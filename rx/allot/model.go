package allot

// model is a problem in the numbers the search works with: every limit is 1 or less (what
// there is, over what there was at first), returns are in the largest spread within a group
// and counted down from the best of their group.
type model struct {
	rows  int
	limit []float64 // what is left of each row
	slack []float64 // rounding forgiven
	start []int32
	ret   []float64
	uses  []int32
	row   []int32
	amt   []float64
	from  []int32 // of each option, its number in the problem or model this was made from
}

// forgiven is the part of a limit by which a sum may pass it, for sums of decimal fractions.
const forgiven = 1e-11

func (m *model) groups() int { return len(m.start) - 1 }

// priced is what an option is worth after paying for what it uses.
func (m *model) priced(k int32, price []float64) float64 {
	v := m.ret[k]
	for e := m.uses[k]; e < m.uses[k+1]; e++ {
		v -= price[m.row[e]] * m.amt[e]
	}
	return v
}

// dual is the bound that prices of 0 or more prove on what the options still on can give:
// what is left of the limits at these prices, and the best of each group after paying.
func (m *model) dual(price []float64, on []bool) float64 {
	sum := 0.0
	for i, p := range price {
		sum += p * (m.limit[i] + m.slack[i])
	}
	for g := range m.groups() {
		_, v := m.best(g, price, on)
		sum += v
	}
	return sum
}

// best is the first of a group's options on that is worth most after paying.
func (m *model) best(g int, price []float64, on []bool) (int32, float64) {
	at, best := int32(-1), 0.0
	for k := m.start[g]; k < m.start[g+1]; k++ {
		if !on[k] {
			continue
		}
		if v := m.priced(k, price); at < 0 || v > best {
			at, best = k, v
		}
	}
	return at, best
}

// value is the return of a choice of options, by their numbers in the model, and whether
// it keeps to all limits.
func (m *model) value(choice []int32) (float64, bool) {
	used := make([]float64, m.rows)
	v := 0.0
	for _, k := range choice {
		v += m.ret[k]
		m.add(used, k, 1)
	}
	return v, m.fits(used)
}

func (m *model) add(used []float64, k int32, times float64) {
	for e := m.uses[k]; e < m.uses[k+1]; e++ {
		used[m.row[e]] += times * m.amt[e]
	}
}

func (m *model) fits(used []float64) bool {
	for i, u := range used {
		if u > m.limit[i]+m.slack[i] {
			return false
		}
	}
	return true
}

func allOn(n int) []bool {
	on := make([]bool, n)
	for k := range on {
		on[k] = true
	}
	return on
}

// least is the least that the options on can take of each row, group by group: f is called
// for every row that all options of a group use, and for the group's options after that.
type least struct {
	count []int32
	low   []float64
	rows  []int32 // touched by the group
}

func newLeast(rows int) *least {
	return &least{count: make([]int32, rows), low: make([]float64, rows)}
}

// read fills low for the rows that group g touches; low is 0 where some option goes without.
func (l *least) read(m *model, g int, on []bool) (options int32) {
	for _, i := range l.rows {
		l.count[i], l.low[i] = 0, 0
	}
	l.rows = l.rows[:0]
	for k := m.start[g]; k < m.start[g+1]; k++ {
		if !on[k] {
			continue
		}
		options++
		for e := m.uses[k]; e < m.uses[k+1]; e++ {
			i := m.row[e]
			if l.count[i] == 0 {
				l.rows = append(l.rows, i)
				l.low[i] = m.amt[e]
			}
			l.count[i]++
			l.low[i] = min(l.low[i], m.amt[e])
		}
	}
	for _, i := range l.rows {
		if l.count[i] < options {
			l.low[i] = 0
		}
	}
	return options
}

// leastUse is the sum over groups of the least that each can take of every row.
func (m *model) leastUse(on []bool) []float64 {
	sum, l := make([]float64, m.rows), newLeast(m.rows)
	for g := range m.groups() {
		l.read(m, g, on)
		for _, i := range l.rows {
			sum[i] += l.low[i]
		}
	}
	return sum
}

// tighten turns off options that cannot be part of any choice within the limits, because
// the rest at its least leaves too little. It says false where a group or a limit is left
// without a way.
func (m *model) tighten(on []bool) bool {
	for range 3 {
		sum, l := m.leastUse(on), newLeast(m.rows)
		if !m.fits(sum) {
			return false
		}
		changed := false
		for g := range m.groups() {
			left := l.read(m, g, on)
			for k := m.start[g]; k < m.start[g+1]; k++ {
				if on[k] && m.tooMuch(k, sum, l.low) {
					on[k], changed = false, true
					left--
				}
			}
			if left == 0 {
				return false
			}
		}
		if !changed {
			break
		}
	}
	return true
}

// tooMuch forgives twice the rounding, for the sum was added up in another order.
func (m *model) tooMuch(k int32, sum, low []float64) bool {
	for e := m.uses[k]; e < m.uses[k+1]; e++ {
		i := m.row[e]
		if m.amt[e] > m.limit[i]+2*m.slack[i]-(sum[i]-low[i]) {
			return true
		}
	}
	return false
}

// mostUse is the sum over groups of the most that each can take of every row.
func (m *model) mostUse(on []bool) []float64 {
	sum, high := make([]float64, m.rows), make([]float64, m.rows)
	var touched []int32
	for g := range m.groups() {
		for k := m.start[g]; k < m.start[g+1]; k++ {
			if !on[k] {
				continue
			}
			for e := m.uses[k]; e < m.uses[k+1]; e++ {
				i := m.row[e]
				if high[i] == 0 {
					touched = append(touched, i)
				}
				high[i] = max(high[i], m.amt[e])
			}
		}
		for _, i := range touched {
			sum[i] += high[i]
			high[i] = 0
		}
		touched = touched[:0]
	}
	return sum
}
