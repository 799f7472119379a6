package allot

import (
	"math"
	"slices"
)

// relax starts from the options that are best at the given prices.
func relax(m *model, on []bool, price []float64) *relaxed {
	r := newRelaxed(m)
	r.start(on, price)
	return r
}

// newRelaxed is room for the relaxations of a model.
func newRelaxed(m *model) *relaxed {
	n := m.rows
	r := &relaxed{
		m: m, weight: 1, fine: make([]float64, n), rhs: make([]float64, n),
		key: make([]int32, m.groups()), inBasis: make([]int32, m.groups()),
		basis: make([]int32, n), group: make([]int32, n), inverse: make([]float64, n*n),
		x: make([]float64, n), price: make([]float64, n),
		alpha: make([]float64, n), pivotRow: make([]float64, n), colScratch: make([]float64, n),
		rate: make([]float64, m.groups()), share: make([]float64, m.groups()),
	}
	for i := range r.rhs {
		// A little more than there is, by another amount in each row, keeps steps from
		// being of no length.
		_, odd := math.Modf(0.6180339887498949 * float64(i+1))
		r.rhs[i] = m.limit[i] + 1e-9*(1+odd)
	}
	return r
}

// start makes the basis of slacks and of the options that are best at the given prices.
func (r *relaxed) start(on []bool, price []float64) {
	m, n := r.m, r.m.rows
	r.on, r.weight, r.near = on, 1, r.near[:0]
	for i := range r.rhs {
		r.x[i], r.fine[i] = r.rhs[i], 1
	}
	clear(r.inverse)
	clear(r.inBasis)
	for g := range r.key {
		worst, top := math.Inf(1), math.Inf(-1)
		for k := m.start[g]; k < m.start[g+1]; k++ {
			if on[k] {
				worst, top = min(worst, m.ret[k]), max(top, m.ret[k])
			}
		}
		r.key[g], _ = m.best(g, price, on)
		for k := m.start[g]; k < m.start[g+1]; k++ {
			for e := m.uses[k]; on[k] && e < m.uses[k+1]; e++ {
				r.colScratch[m.row[e]] = top - worst
			}
		}
		for i, w := range r.colScratch {
			r.fine[i] += 4 * w
			r.colScratch[i] = 0
		}
		m.add(r.x, r.key[g], -1)
	}
	for i := range n {
		r.group[i], r.basis[i] = -1, r.slackOf(int32(i))
		r.inverse[i*n+i] = 1
		if r.x[i] < 0 {
			r.x[i], r.basis[i] = -r.x[i], r.shortOf(int32(i))
			r.inverse[i*n+i] = -1
		}
		r.fine[i] = max(r.fine[i], 2*price[i])
	}
}

// basis is that of a solved relaxation, from which one with fewer options may go on.
type basis struct{ columns, group, key []int32 }

func (r *relaxed) keep() *basis {
	return &basis{slices.Clone(r.basis), slices.Clone(r.group), slices.Clone(r.key)}
}

// resume solves from the basis of a relaxation with more options: those now off are driven
// out by a fine. It says false where some stay, or the limits are passed.
func (r *relaxed) resume(on []bool, b *basis, price []float64) bool {
	r.on, r.weight, r.near = on, 1, r.near[:0]
	copy(r.basis, b.columns)
	copy(r.group, b.group)
	copy(r.key, b.key)
	clear(r.inBasis)
	for _, g := range r.group {
		if g >= 0 {
			r.inBasis[g]++
		}
	}
	for i, p := range price {
		r.fine[i] = max(2*p, 1)
	}
	r.invert()
	if r.reshare() > 1e-9 {
		return false
	}
	r.run()
	off := 0.0
	r.shares(func(_ int, k int32, share float64) {
		if !on[k] {
			off += share
		}
	})
	return off == 0 && r.short() <= shortage
}

// offFine is what an option that is off costs: more than any spread of returns within a group.
const offFine = 8

// gain is what an option returns in the relaxation.
func (r *relaxed) gain(k int32) float64 {
	v := r.weight * r.m.ret[k]
	if !r.on[k] {
		v -= offFine
	}
	return v
}
