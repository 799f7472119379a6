package allot

import "math"

// rounded makes a choice of the mix: the option with the largest share of each group, then
// exchanges until the limits are kept, then exchanges that gain. It says false where it finds
// no way to keep to the limits.
func (r *relaxed) rounded() ([]int32, bool) {
	choice, _ := r.largest()
	e := newExchange(r.m, r.on, choice)
	ok := e.repair(r.prices())
	if ok {
		e.improve()
	}
	r.steps += e.steps
	return choice, ok
}

// largest is the option with the largest share of each group, and whether others have one too.
func (r *relaxed) largest() (choice []int32, mixed []bool) {
	choice, mixed = make([]int32, r.m.groups()), make([]bool, r.m.groups())
	share := make([]float64, len(choice))
	r.shares(func(g int, k int32, s float64) {
		if s > share[g] || s == share[g] && k < choice[g] {
			choice[g], share[g] = k, s
		}
		mixed[g] = mixed[g] || s < 1-1e-6
	})
	return choice, mixed
}

// exchange is a choice that is being changed one group at a time.
type exchange struct {
	m      *model
	on     []bool
	choice []int32
	used   []float64
	delta  []float64 // by row, scratch
	steps  int
}

func newExchange(m *model, on []bool, choice []int32) *exchange {
	e := &exchange{m: m, on: on, choice: choice, used: make([]float64, m.rows), delta: make([]float64, m.rows)}
	for _, k := range choice {
		m.add(e.used, k, 1)
	}
	return e
}

func (e *exchange) change(g int, k int32) {
	e.m.add(e.used, e.choice[g], -1)
	e.m.add(e.used, k, 1)
	e.choice[g] = k
}

func (e *exchange) over(i int32, extra float64) float64 {
	return max(0, e.used[i]+extra-e.m.limit[i]-e.m.slack[i]/2)
}

// relief is by how much the limits are passed less where group g changes to k.
func (e *exchange) relief(g int, k int32) float64 {
	old := e.choice[g]
	e.m.add(e.delta, old, -1)
	e.m.add(e.delta, k, 1)
	sum := 0.0
	for _, q := range [2]int32{old, k} {
		for u := e.m.uses[q]; u < e.m.uses[q+1]; u++ {
			i := e.m.row[u]
			if d := e.delta[i]; d != 0 {
				sum += e.over(i, 0) - e.over(i, d)
				e.delta[i] = 0
			}
		}
	}
	return sum
}

// repair changes, one at a time, the group that loses least for what it relieves, until
// the limits are kept.
func (e *exchange) repair(price []float64) bool {
	for range 4*e.m.rows + 40 {
		worst, by := int32(-1), 0.0
		for i := range e.m.rows {
			if o := e.over(int32(i), 0); o > by {
				worst, by = int32(i), o
			}
		}
		if worst < 0 {
			return true
		}
		bestG, bestK, best := -1, int32(0), math.Inf(1)
		for g, now := range e.choice {
			if !e.m.takes(now, worst) {
				continue
			}
			have := e.m.priced(now, price)
			for k := e.m.start[g]; k < e.m.start[g+1]; k++ {
				if !e.on[k] || k == now {
					continue
				}
				e.steps += 4
				relief := e.relief(g, k)
				if relief <= 0 {
					continue
				}
				if loss := (max(0, have-e.m.priced(k, price)) + 1e-12) / relief; loss < best {
					bestG, bestK, best = g, k, loss
				}
			}
		}
		if bestG < 0 {
			return false
		}
		e.change(bestG, bestK)
	}
	return false
}

func (m *model) takes(k, row int32) bool {
	for e := m.uses[k]; e < m.uses[k+1]; e++ {
		if m.row[e] == row {
			return true
		}
	}
	return false
}

// improve changes groups to better options that the limits leave room for, group by group,
// a few rounds.
func (e *exchange) improve() {
	for range 4 {
		changed := false
		for g := range e.choice {
			best := e.choice[g]
			for k := e.m.start[g]; k < e.m.start[g+1]; k++ {
				if e.on[k] && e.m.ret[k] > e.m.ret[best] && e.room(g, k) {
					best = k
				}
			}
			if best != e.choice[g] {
				e.change(g, best)
				changed = true
			}
			e.steps += int(e.m.start[g+1] - e.m.start[g])
		}
		if !changed {
			return
		}
	}
}

// room says whether group g may change to k within the limits.
func (e *exchange) room(g int, k int32) bool {
	e.m.add(e.delta, e.choice[g], -1)
	e.m.add(e.delta, k, 1)
	ok := true
	for u := e.m.uses[k]; u < e.m.uses[k+1]; u++ {
		i := e.m.row[u]
		ok = ok && (e.delta[i] <= 0 || e.used[i]+e.delta[i] <= e.m.limit[i]+e.m.slack[i]/2)
		e.delta[i] = 0
	}
	for u, now := e.m.uses[e.choice[g]], e.choice[g]; u < e.m.uses[now+1]; u++ {
		e.delta[e.m.row[u]] = 0
	}
	return ok
}
