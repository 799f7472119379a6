package allot

import "slices"

// only is the model of the options that are on, without the rows that they cannot fill.
// rows maps its rows to those of m.
func (m *model) only(on []bool) (small *model, rows []int32) {
	full, index := m.mostUse(on), make([]int32, m.rows)
	small = &model{start: []int32{0}, uses: []int32{0}}
	for i := range m.rows {
		index[i] = -1
		if full[i] > m.limit[i] {
			index[i] = int32(len(rows))
			rows = append(rows, int32(i))
			small.limit, small.slack = append(small.limit, m.limit[i]), append(small.slack, m.slack[i])
		}
	}
	small.rows = len(rows)
	options, nonzero := 0, 0
	for k, is := range on {
		if is {
			options++
			nonzero += int(m.uses[k+1] - m.uses[k])
		}
	}
	small.ret, small.from = make([]float64, 0, options), make([]int32, 0, options)
	small.row, small.amt = make([]int32, 0, nonzero), make([]float64, 0, nonzero)
	for g := range m.groups() {
		for k := m.start[g]; k < m.start[g+1]; k++ {
			if !on[k] {
				continue
			}
			for e := m.uses[k]; e < m.uses[k+1]; e++ {
				if i := index[m.row[e]]; i >= 0 {
					small.row, small.amt = append(small.row, i), append(small.amt, m.amt[e])
				}
			}
			small.ret, small.from = append(small.ret, m.ret[k]), append(small.from, k)
			small.uses = append(small.uses, int32(len(small.row)))
		}
		small.start = append(small.start, int32(len(small.ret)))
	}
	return small, rows
}

// smaller is the model of the options that are on and of a choice, with that choice and the
// prices by its own numbers; nil of no choice.
func (m *model) smaller(on []bool, choice []int32, price []float64) (small *model, own []int32, prices []float64) {
	on = slices.Clone(on)
	for _, k := range choice {
		on[k] = true
	}
	small, rows := m.only(on)
	for g, k := range choice {
		own = append(own, small.at(g, k))
	}
	prices = make([]float64, small.rows)
	for i, row := range rows {
		prices[i] = price[row]
	}
	return small, own, prices
}

// at is the number of an option of the model that this one was made from.
func (m *model) at(g int, from int32) int32 {
	i, _ := slices.BinarySearch(m.from[m.start[g]:m.start[g+1]], from)
	return m.start[g] + int32(i)
}

// origins is a choice by the numbers of the model that this one was made from.
func (m *model) origins(choice []int32) []int32 {
	from := make([]int32, len(choice))
	for g, k := range choice {
		from[g] = m.from[k]
	}
	return from
}
