package allot

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// copyOf is the problem with limits, returns and uses scaled and groups in another order.
func copyOf(t require.TestingT, p *Problem, limits []Limit, dollars float64, units []float64, order []int, extra ...Use) *Problem {
	q, err := New(limits)
	require.NoError(t, err)
	for _, g := range order {
		q.AddGroup(p.names[g])
		for k := p.start[g]; k < p.start[g+1]; k++ {
			uses := append([]Use(nil), extra...)
			for e := p.uses[k]; e < p.uses[k+1]; e++ {
				uses = append(uses, Use{int(p.row[e]), p.amount[e] * units[p.row[e]]})
			}
			require.NoError(t, q.AddOption(p.ret[k]*dollars, uses...))
		}
	}
	return q
}

func inOrder(n int) []int {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	return order
}

func ones(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = 1
	}
	return v
}

func TestMoreNeverReturnsLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		r, err := p.Solve(DefaultOptions())
		if err != nil || len(p.limits) == 0 {
			return
		}
		i := rapid.IntRange(0, len(p.limits)-1).Draw(t, "which")
		more := rapid.Float64Range(0.1, 10).Draw(t, "more")
		w, err := p.Worth(r, i, more, DefaultOptions())
		require.NoError(t, err)
		require.GreaterOrEqual(t, w.Dollars, 0.0)
		require.True(t, w.Known)
		require.LessOrEqual(t, w.Low, w.Dollars+1e-9)
		require.GreaterOrEqual(t, w.High, w.Dollars-1e-9)

		limits := append([]Limit(nil), p.limits...)
		limits[i].Amount += more
		want, ok := brute(copyOf(t, p, limits, 1, ones(len(limits)), inOrder(p.Groups())))
		require.True(t, ok)
		require.InDelta(t, want-r.Value, w.Dollars, 1e-9)
	})
}

// What is sure to be left over has no worth, and neither it nor its price changes anything.
func TestALimitThatDoesNotBind(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		limits := append(append([]Limit(nil), p.limits...), Limit{"plenty", "t", 12 * 5})
		q := copyOf(t, p, limits, 1, ones(len(limits)), inOrder(p.Groups()), Use{len(limits) - 1, 12})
		a, errA := p.Solve(DefaultOptions())
		b, errB := q.Solve(DefaultOptions())
		require.Equal(t, errA == nil, errB == nil)
		if errA != nil {
			return
		}
		require.Equal(t, a.Choice, b.Choice)
		require.Zero(t, b.Price[len(limits)-1])
		w, err := q.Worth(b, len(limits)-1, 5, DefaultOptions())
		require.NoError(t, err)
		require.Zero(t, w.Dollars)
		require.True(t, w.Known)
		require.Contains(t, w.String(), "another 5 t of plenty would be worth nothing")
	})
}

func TestUnitsChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		limits := append([]Limit(nil), p.limits...)
		units := make([]float64, len(limits))
		for i := range units {
			units[i] = math.Pow(2, float64(rapid.IntRange(-12, 12).Draw(t, "unit"))) // exact
			limits[i].Amount *= units[i]
		}
		dollars := math.Pow(2, float64(rapid.IntRange(-6, 6).Draw(t, "dollar")))
		a, errA := p.Solve(DefaultOptions())
		b, errB := copyOf(t, p, limits, dollars, units, inOrder(p.Groups())).Solve(DefaultOptions())
		require.Equal(t, errA == nil, errB == nil)
		if errA == nil {
			require.Equal(t, a.Choice, b.Choice)
			require.InDelta(t, a.Value*dollars, b.Value, 1e-9*dollars)
		}
	})
}

func TestGroupsInAnotherOrder(t *testing.T) {
	for seed := range uint64(12) {
		p := season(t, 2, 3, 8, 3, false, 0.6, seed)
		order := []int{7, 2, 11, 0, 5, 1, 10, 9, 3, 8, 4, 6}
		a, err := p.Solve(DefaultOptions())
		require.NoError(t, err)
		b, err := copyOf(t, p, p.limits, 1, ones(len(p.limits)), order).Solve(DefaultOptions())
		require.NoError(t, err)
		require.InDelta(t, a.Value, b.Value, 1e-7)
		for i, g := range order { // returns are drawn at random: the best choice is one
			require.Equal(t, a.Choice[g], b.Choice[i], "seed %d", seed)
		}
	}
}

// With one product short and returns that bend down, the last kilogram returns the same in
// every zone, to a step of the rate: the closed form of gains 2x - x^2 with x = rate/plateau
// is gain * 2 (1 - x) / plateau.
func TestMarginalReturnsAreEqualWhenNIsShort(t *testing.T) {
	p, err := New([]Limit{{"UAN 32", "kg N", 6 * 8 * 90}})
	require.NoError(t, err)
	const step = 0.5
	plateau, gain, area := []float64{150, 170, 190, 210, 160, 200}, []float64{500, 800, 650, 700, 550, 750}, 8.0
	for z := range plateau {
		p.AddGroup(fmt.Sprint("zone ", z+1))
		for rate := 0.0; rate <= 240; rate += step {
			x := min(1, rate/plateau[z])
			require.NoError(t, p.AddOption(area*gain[z]*(2*x-x*x), Use{0, rate * area}))
		}
	}
	r, err := p.Solve(DefaultOptions())
	require.NoError(t, err)
	require.InDelta(t, p.limits[0].Amount, r.Used[0], 1e-9)
	for z, c := range r.Choice {
		rate := step * float64(c)
		marginal := gain[z] * 2 * (1 - rate/plateau[z]) / plateau[z]
		bend := 2 * gain[z] / (plateau[z] * plateau[z]) * step
		require.InDelta(t, r.Price[0], marginal, 1.5*bend, "zone %d", z+1)
	}
	w, err := p.Worth(r, 0, 40, DefaultOptions())
	require.NoError(t, err)
	require.True(t, w.Known)
	require.InEpsilon(t, w.Price, w.Dollars, 0.02)
}

// By hand: with one ton, the zone that gains more gets it. Another half ton is of no use to a
// zone that needs a whole one, whatever the price says; another whole one is worth $212.
func TestAWorthIsAStep(t *testing.T) {
	p, err := New([]Limit{{"UAN 32", "t", 1}})
	require.NoError(t, err)
	for _, dollars := range []float64{300, 212} {
		p.AddGroup("")
		require.NoError(t, p.AddOption(0))
		require.NoError(t, p.AddOption(dollars, Use{0, 1}))
	}
	r, err := p.Solve(DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, []int{1, 0}, r.Choice)
	w, err := p.Worth(r, 0, 1, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, "another 1 t of UAN 32 would be worth $212", w.String())
	w, err = p.Worth(r, 0, 0.5, DefaultOptions())
	require.NoError(t, err)
	require.Zero(t, w.Dollars)
	require.Equal(t, "another 0.5 t of UAN 32 would be worth nothing", w.String())
}

func TestTheFirstOfLikeOptionsIsTaken(t *testing.T) {
	p, err := New([]Limit{{"hours", "h", 3}})
	require.NoError(t, err)
	for range 3 {
		p.AddGroup("")
		require.NoError(t, p.AddOption(5, Use{0, 2}))
		require.NoError(t, p.AddOption(5, Use{0, 1}))
		require.NoError(t, p.AddOption(5, Use{0, 1}))
		require.NoError(t, p.AddOption(5, Use{0, 1}))
	}
	r, err := p.Solve(DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, []int{1, 1, 1}, r.Choice)
	require.Equal(t, 15.0, r.Bound)
}
