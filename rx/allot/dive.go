package allot

import "slices"

const (
	diveFirst = 16 // nodes from which a search dives, and then
	diveEvery = 16 // one of so many
)

// dive looks for a choice by giving one group after the other the option with the largest
// share in the mix, and mixing again what the rest may have.
func (b *branching) dive(on []bool, from *basis, price []float64) {
	on = slices.Clone(on)
	r := b.x
	for {
		choice, mixed := r.largest()
		g := r.surest(choice, mixed)
		if g < 0 {
			return
		}
		for k := b.m.start[g]; k < b.m.start[g+1]; k++ {
			on[k] = k == choice[g]
		}
		r.steps = 0
		ok := r.resume(on, from, price)
		price = r.prices()
		if ok && b.m.dual(price, on) > b.best.value+b.left() {
			if choice, ok := r.rounded(); ok {
				b.offer(choice)
			}
		}
		b.best.steps += r.steps
		if !ok || b.m.dual(price, on) <= b.best.value+b.left() {
			return
		}
		from = r.keep()
	}
}

// surest is the mixed group whose largest share is largest; -1 where none is mixed.
func (r *relaxed) surest(choice []int32, mixed []bool) int {
	at, most := -1, 0.0
	r.shares(func(g int, k int32, share float64) {
		if mixed[g] && k == choice[g] && share > most {
			at, most = g, share
		}
	})
	return at
}
