package allot

import "slices"

// The whole choices of a field return no more, after paying for the shared limits at some
// prices, than the best of them does. That is a limit on the field as good as any other, and
// one that mixes pass: with the prices that prove the bound of fields solved one by one, it
// brings the relaxation of all zones down to that bound, and every search from there.

// fieldCuts is the model with such a limit for every field whose mixes pass it.
func (c *columns) fieldCuts() *model {
	m := c.m
	w := &model{
		rows: m.rows, start: m.start, ret: m.ret, from: m.from, uses: []int32{0},
		limit: slices.Clone(m.limit), slack: slices.Clone(m.slack),
	}
	row, amount := make([]int32, len(m.ret)), make([]float64, len(m.ret))
	whole := make([]float64, m.rows)
	for i, shared := range c.p.shared {
		whole[shared] = c.best[i]
	}
	for _, s := range c.parts {
		f := s.solve(m, whole)
		c.steps += f.steps
		own := atRoot(s.model, s.price, nil)
		if own.empty != nil || own.dual-f.bound < 1e-6 {
			continue
		}
		room := f.bound
		for g := range s.groups() {
			room -= slices.Min(s.ret[s.start[g]:s.start[g+1]])
		}
		if room <= 0 {
			continue
		}
		for g := range s.groups() {
			least := slices.Min(s.ret[s.start[g]:s.start[g+1]])
			for k := s.start[g]; k < s.start[g+1]; k++ {
				row[s.from[k]], amount[s.from[k]] = int32(w.rows), (s.ret[k]-least)/room
			}
		}
		w.limit, w.slack = append(w.limit, 1), append(w.slack, roundingRoom)
		w.rows++
	}
	for k := range int32(len(m.ret)) {
		w.row = append(w.row, m.row[m.uses[k]:m.uses[k+1]]...)
		w.amt = append(w.amt, m.amt[m.uses[k]:m.uses[k+1]]...)
		if amount[k] > 0 {
			w.row, w.amt = append(w.row, row[k]), append(w.amt, amount[k])
		}
		w.uses = append(w.uses, int32(len(w.row)))
	}
	return w
}
