package allot

import (
	"cmp"
	"slices"
)

// parts splits a model into parts that share few limits: fields under one supply, each with
// limits of its own.
type parts struct {
	shared []int32   // rows over many parts
	own    [][]int32 // by part: the rows of it alone
	groups [][]int32 // by part
}

const (
	fewShared = 40 // rows that may go across parts
	manyOwn   = 3  // own rows below which a split is not worth its while
	leastPart = 8  // groups in a part, tried first
	partSize  = 64 // groups in a part where no more are needed to have few shared rows
)

// split finds the parts of a model, or says false where it has none: limits over few
// groups join these to parts, up to a size; all other limits are shared. Of some sizes the
// one with the fewest shared limits is taken.
func (m *model) split() (parts, bool) {
	span := make([][]int32, m.rows)
	for g := range m.groups() {
		for k := m.start[g]; k < m.start[g+1]; k++ {
			for e := m.uses[k]; e < m.uses[k+1]; e++ {
				if s := span[m.row[e]]; len(s) == 0 || s[len(s)-1] != int32(g) {
					span[m.row[e]] = append(s, int32(g))
				}
			}
		}
	}
	order := make([]int32, m.rows)
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(len(span[a]), len(span[b])) })
	best, found := parts{}, false
	for size := leastPart; size <= m.groups()/3 && (size <= partSize || len(best.shared) > fewShared); size *= 2 {
		if p := m.join(span, order, size); !found || len(p.shared) < len(best.shared) {
			best, found = p, true
		}
	}
	return best, found && len(best.shared) <= fewShared && m.rows-len(best.shared) >= manyOwn
}

// join makes parts of up to size groups.
func (m *model) join(span [][]int32, order []int32, size int) parts {
	of, members := make([]int32, m.groups()), make([]int, m.groups())
	for g := range of {
		of[g], members[g] = int32(g), 1
	}
	find := func(g int32) int32 {
		for of[g] != g {
			of[g] = of[of[g]]
			g = of[g]
		}
		return g
	}
	var p parts
	var own []int32
	for _, i := range order {
		total, seen := 0, map[int32]bool{}
		for _, g := range span[i] {
			if r := find(g); !seen[r] {
				seen[r] = true
				total += members[r]
			}
		}
		if total > size {
			p.shared = append(p.shared, i)
			continue
		}
		own = append(own, i)
		first := find(span[i][0])
		for _, g := range span[i][1:] {
			if r := find(g); r != first {
				of[r], members[first] = first, members[first]+members[r]
			}
		}
	}
	slices.Sort(p.shared)
	index := map[int32]int{}
	for g := range m.groups() {
		r := find(int32(g))
		if _, ok := index[r]; !ok {
			index[r] = len(p.groups)
			p.groups, p.own = append(p.groups, nil), append(p.own, nil)
		}
		p.groups[index[r]] = append(p.groups[index[r]], int32(g))
	}
	slices.Sort(own)
	for _, i := range own {
		at := index[find(span[i][0])]
		p.own[at] = append(p.own[at], i)
	}
	return p
}

// part is the model of one part under its own limits. Its returns are those left after
// paying for the shared limits.
type part struct {
	*model
	price []float64 // of the own limits, when last solved
}

// parts are the models of all parts, of the options that are on.
func (m *model) parts(p parts, on []bool) []*part {
	list := make([]*part, len(p.groups))
	at := make([]int32, m.rows)
	for n, groups := range p.groups {
		for i := range at {
			at[i] = -1
		}
		s := &model{rows: len(p.own[n]), start: []int32{0}, uses: []int32{0}}
		for i, row := range p.own[n] {
			at[row] = int32(i)
			s.limit, s.slack = append(s.limit, m.limit[row]), append(s.slack, m.slack[row])
		}
		for _, g := range groups {
			for k := m.start[g]; k < m.start[g+1]; k++ {
				if !on[k] {
					continue
				}
				for e := m.uses[k]; e < m.uses[k+1]; e++ {
					if i := at[m.row[e]]; i >= 0 {
						s.row, s.amt = append(s.row, i), append(s.amt, m.amt[e])
					}
				}
				s.from, s.uses = append(s.from, k), append(s.uses, int32(len(s.row)))
			}
			s.start = append(s.start, int32(len(s.from)))
		}
		s.ret = make([]float64, len(s.from))
		list[n] = &part{s, make([]float64, s.rows)}
	}
	return list
}

// plan is one choice for a part.
type plan struct {
	options []int32 // of the whole model, by the groups of the part
	ret     float64
	uses    []float64 // by shared row
}

// planOf makes a plan of a choice in the part.
func (m *model) planOf(s *part, choice []int32, shared []int32) plan {
	p := plan{uses: make([]float64, len(shared))}
	used := make(map[int32]float64, 8)
	for _, k := range choice {
		whole := s.from[k]
		p.options = append(p.options, whole)
		p.ret += m.ret[whole]
		for e := m.uses[whole]; e < m.uses[whole+1]; e++ {
			used[m.row[e]] += m.amt[e]
		}
	}
	for i, row := range shared {
		p.uses[i] = used[row]
	}
	return p
}
