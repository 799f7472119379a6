package allot

import (
	"cmp"
	"slices"
)

// move is a change of a group to another option.
type move struct {
	group  int
	option int32
	gains  float64 // at the prices: what it returns more, after paying for what it uses more
}

const mostMoves = 400 // looked at in pairs

// paired changes two groups at a time as long as that returns more within the limits. What
// two changes return more is no more than what they gain at the prices and what is left of
// the limits is worth at these: by that most pairs are passed over.
func (e *exchange) paired(price []float64) {
	for e.pair(price) {
		e.improve()
	}
}

// pair makes the change of two groups that returns most, and says whether there was one.
func (e *exchange) pair(price []float64) bool {
	left := 0.0
	for i, p := range price {
		left += p * max(0, e.m.limit[i]-e.used[i])
	}
	moves := e.moves(price, left)
	n := e.m.rows
	delta := make([]float64, n*len(moves))
	more := make([]float64, len(moves))
	for a, v := range moves {
		own := delta[a*n : a*n+n]
		e.m.add(own, e.choice[v.group], -1)
		e.m.add(own, v.option, 1)
		more[a] = e.m.ret[v.option] - e.m.ret[e.choice[v.group]]
	}
	room := make([]float64, n)
	for i := range room {
		room[i] = e.m.limit[i] + e.m.slack[i]/2 - e.used[i]
	}
	bestA, bestB, best := -1, 0, 1e-9
	for a, u := range moves {
		for b := a + 1; b < len(moves) && u.gains+moves[b].gains+left > best; b++ {
			if moves[b].group == u.group || more[a]+more[b] <= best {
				continue
			}
			if fitTogether(delta[a*n:a*n+n], delta[b*n:b*n+n], room) {
				bestA, bestB, best = a, b, more[a]+more[b]
			}
		}
		e.steps += len(moves) / 4
	}
	if bestA < 0 {
		return false
	}
	e.change(moves[bestA].group, moves[bestA].option)
	e.change(moves[bestB].group, moves[bestB].option)
	return true
}

func fitTogether(a, b, room []float64) bool {
	for i, r := range room {
		if d := a[i] + b[i]; d > r && d > 0 {
			return false
		}
	}
	return true
}

// moves are the changes that may be part of a pair that returns more, those first that gain
// most at the prices.
func (e *exchange) moves(price []float64, left float64) (list []move) {
	top := 0.0
	for g, now := range e.choice {
		have := e.m.priced(now, price)
		for k := e.m.start[g]; k < e.m.start[g+1]; k++ {
			if k != now && e.on[k] {
				v := move{g, k, e.m.priced(k, price) - have}
				list = append(list, v)
				top = max(top, v.gains)
			}
		}
	}
	e.steps += 2 * len(list)
	list = slices.DeleteFunc(list, func(v move) bool { return v.gains+top+left <= 0 })
	slices.SortFunc(list, func(a, b move) int {
		return cmp.Or(cmp.Compare(b.gains, a.gains), cmp.Compare(a.option, b.option))
	})
	return list[:min(mostMoves, len(list))]
}
