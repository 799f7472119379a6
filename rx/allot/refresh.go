package allot

import (
	"math"
	"slices"
)

// repriced computes the prices from the basis.
func (r *relaxed) repriced() {
	n := r.m.rows
	cost := r.colScratch
	for p, c := range r.basis {
		cost[p] = 0
		if g := r.group[p]; g >= 0 {
			cost[p] = r.gain(c) - r.gain(r.key[g])
		} else if row, sign := r.rowOf(c); sign < 0 {
			cost[p] = -r.fine[row]
		}
	}
	for i := range n {
		sum := 0.0
		for p, b := range r.inverse[i*n : i*n+n] {
			sum += cost[p] * b
		}
		r.price[i] = sum
	}
	clear(cost)
	r.steps += n * n
}

// refresh computes shares and prices anew, and the inverse as well where the shares do not
// add up to what there is.
func (r *relaxed) refresh() {
	if r.reshare() > 1e-9 {
		r.invert()
		r.reshare()
	}
	r.repriced()
}

// reshare computes the shares of the basis and by how much they miss.
func (r *relaxed) reshare() float64 {
	n := r.m.rows
	want := slices.Clone(r.rhs)
	for _, k := range r.key {
		r.m.add(want, k, -1)
	}
	clear(r.x)
	for i, v := range want {
		for p, b := range r.inverse[i*n : i*n+n] {
			r.x[p] += v * b
		}
	}
	for p := range r.basis {
		r.basisColumn(p, want, -r.x[p])
	}
	miss := 0.0
	for _, v := range want {
		miss = max(miss, math.Abs(v))
	}
	for p := range r.x {
		r.x[p] = max(r.x[p], 0)
	}
	r.steps += n*n + len(r.key)
	return miss
}

// basisColumn adds a column of the basis to sum.
func (r *relaxed) basisColumn(p int, sum []float64, times float64) {
	c := r.basis[p]
	if g := r.group[p]; g >= 0 {
		r.m.add(sum, c, times)
		r.m.add(sum, r.key[g], -times)
		return
	}
	row, sign := r.rowOf(c)
	sum[row] += sign * times
}

// invert makes the inverse from the columns of the basis, by Gauss and Jordan with the
// largest pivot. A basis that has become singular is left as it is.
func (r *relaxed) invert() {
	n := r.m.rows
	w := 2 * n
	a := make([]float64, n*w) // rows: the basis, then the unit matrix
	col := make([]float64, n)
	for p := range n {
		clear(col)
		r.basisColumn(p, col, 1)
		for i, v := range col {
			a[i*w+p] = v
		}
		a[p*w+n+p] = 1
	}
	for p := range n {
		best := p
		for i := p + 1; i < n; i++ {
			if math.Abs(a[i*w+p]) > math.Abs(a[best*w+p]) {
				best = i
			}
		}
		if math.Abs(a[best*w+p]) < 1e-13 {
			return
		}
		if best != p {
			for j := range w {
				a[p*w+j], a[best*w+j] = a[best*w+j], a[p*w+j]
			}
		}
		top := a[p*w : p*w+w]
		for j, d := p, top[p]; j < w; j++ {
			top[j] /= d
		}
		for i := range n {
			v := a[i*w+p]
			if i == p || v == 0 {
				continue
			}
			row := a[i*w : i*w+w]
			for j := p; j < w; j++ {
				row[j] -= v * top[j]
			}
		}
	}
	for p := range n {
		for i := range n {
			r.inverse[i*n+p] = a[p*w+n+i]
		}
	}
	r.steps += 2 * n * n * n
}

// prices are those of the relaxation, none below 0.
func (r *relaxed) prices() []float64 {
	price := slices.Clone(r.price)
	for i := range price {
		price[i] = max(price[i], 0)
	}
	return price
}

// shares calls f for every option with a share in the mix.
func (r *relaxed) shares(f func(g int, k int32, share float64)) {
	for g := range r.share {
		r.share[g] = 1
	}
	for p, g := range r.group {
		if g >= 0 && r.x[p] > 1e-7 {
			r.share[g] -= r.x[p]
			f(int(g), r.basis[p], r.x[p])
		}
	}
	for g, k := range r.key {
		if r.share[g] > 1e-7 {
			f(g, k, r.share[g])
		}
	}
}
