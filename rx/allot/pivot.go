package allot

import "math"

// column writes the basis' share in a column to alpha.
func (r *relaxed) column(c int32, g int) {
	n := r.m.rows
	clear(r.alpha)
	plus := func(i int32, v float64) {
		for p, b := range r.inverse[int(i)*n : int(i)*n+n] {
			r.alpha[p] += v * b
		}
		r.steps += n
	}
	if g < 0 {
		row, sign := r.rowOf(c)
		plus(row, sign)
		return
	}
	m := r.m
	for e := m.uses[c]; e < m.uses[c+1]; e++ {
		plus(m.row[e], m.amt[e])
	}
	for k, e := r.key[g], m.uses[r.key[g]]; e < m.uses[k+1]; e++ {
		plus(m.row[e], -m.amt[e])
	}
}

// step brings in a column and takes out the first that would turn negative. It says false
// where there is none, which only rounding can bring about.
func (r *relaxed) step(c int32, g int, profit float64) bool {
	r.pivots++
	r.column(c, g)
	leave, keyOf, t := r.leaving(g)
	if leave < 0 && keyOf < 0 {
		return false
	}
	if keyOf >= 0 && r.inBasis[keyOf] == 0 { // the group goes over to the new option as a whole
		for p, a := range r.alpha {
			r.x[p] = math.Max(0, r.x[p]-a)
		}
		r.key[g] = c
		return true
	}
	if keyOf >= 0 {
		leave = r.changeKey(keyOf)
		r.column(c, g)
	}
	r.pivot(c, g, leave, t, profit)
	return true
}

// leaving is the position that the entering column drives out, or the group whose key it
// drives out, and how far the column comes in.
func (r *relaxed) leaving(g int) (leave, keyOf int, t float64) {
	for _, h := range r.group {
		if h >= 0 {
			r.rate[h], r.share[h] = 0, 1
		}
	}
	if g >= 0 {
		r.rate[g], r.share[g] = 1, 1
	}
	for p, h := range r.group {
		if h >= 0 {
			r.rate[h] -= r.alpha[p]
			r.share[h] -= r.x[p]
		}
	}
	far := math.Inf(1)
	visit := func(f func(pos, key int, x, a float64)) {
		for p, a := range r.alpha {
			f(p, -1, r.x[p], a)
			if h := r.group[p]; h >= 0 {
				f(-1, int(h), r.share[h], r.rate[h])
			}
		}
		if g >= 0 {
			f(-1, g, r.share[g], r.rate[g])
		}
	}
	visit(func(_, _ int, x, a float64) {
		if a > pivotAt {
			far = min(far, (max(x, 0)+wiggle)/a)
		}
	})
	leave, keyOf = -1, -1
	largest := 0.0
	visit(func(p, h int, x, a float64) {
		if a > pivotAt && max(x, 0)/a <= far && a > largest {
			leave, keyOf, t, largest = p, h, max(x, 0)/a, a
		}
	})
	r.steps += 4 * len(r.alpha)
	return leave, keyOf, t
}

// changeKey makes the largest other option of a group its key, and gives the position
// that the old key has now.
func (r *relaxed) changeKey(h int) int {
	n, at := r.m.rows, -1
	for p, q := range r.group {
		if int(q) == h && (at < 0 || r.x[p] > r.x[at]) {
			at = p
		}
	}
	left := 1.0
	for p, q := range r.group {
		if int(q) == h {
			left -= r.x[p]
		}
	}
	for i := range n {
		col := r.inverse[i*n : i*n+n]
		sum := 0.0
		for p, q := range r.group {
			if int(q) == h {
				sum += col[p]
			}
		}
		col[at] = -sum
	}
	r.steps += n * n
	r.key[h], r.basis[at] = r.basis[at], r.key[h]
	r.x[at] = max(left, 0)
	return at
}

// pivot exchanges the column at a position for another.
func (r *relaxed) pivot(c int32, g, leave int, t, profit float64) {
	n := r.m.rows
	a := r.alpha[leave]
	for p := range r.x {
		r.x[p] = math.Max(0, r.x[p]-t*r.alpha[p])
	}
	r.x[leave] = t
	for i := range n {
		col := r.inverse[i*n : i*n+n]
		v := col[leave]
		if v == 0 {
			continue
		}
		r.price[i] += profit / a * v
		v /= a
		for p, b := range r.alpha {
			col[p] -= v * b
		}
		col[leave] = v
		r.steps += n
	}
	if h := r.group[leave]; h >= 0 {
		r.inBasis[h]--
	}
	r.basis[leave], r.group[leave] = c, int32(g)
	if g >= 0 {
		r.inBasis[g]++
	}
}
