package allot

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// brute is the best of all choices, tried one by one, and false where none keeps to the limits.
func brute(p *Problem) (best float64, ok bool) {
	choice := make([]int, p.Groups())
	best = math.Inf(-1)
	for {
		v, used := p.used(choice)
		fits := true
		for i, u := range used {
			fits = fits && u <= p.limits[i].Amount*(1+1e-11)
		}
		if fits && v > best {
			best, ok = v, true
		}
		g := 0
		for ; g < len(choice); g++ {
			if choice[g]++; choice[g] < int(p.start[g+1]-p.start[g]) {
				break
			}
			choice[g] = 0
		}
		if g == len(choice) {
			return best, ok
		}
	}
}

// anyProblem draws small problems with ties, zero limits, identical options and limits that
// nothing can keep to: numbers are multiples of a half where coarse, so that sums are exact.
func anyProblem(t *rapid.T) *Problem {
	coarse := rapid.Bool().Draw(t, "coarse")
	amount := func(name string, most int) float64 {
		if coarse {
			return float64(rapid.IntRange(0, 2*most).Draw(t, name)) / 2
		}
		return rapid.Float64Range(0, float64(most)).Draw(t, name)
	}
	names := []string{"UAN", "days", "hours", "Walnut Bottom"}
	groups := rapid.IntRange(1, 5).Draw(t, "groups")
	var limits []Limit
	for i := range rapid.IntRange(0, 4).Draw(t, "limits") {
		limits = append(limits, Limit{names[i], "t", amount("limit", 6*groups)})
	}
	p, err := New(limits)
	require.NoError(t, err)
	for range groups {
		p.AddGroup("")
		for range rapid.IntRange(1, 6).Draw(t, "options") {
			var uses []Use
			for i := range limits {
				if rapid.IntRange(0, 3).Draw(t, "uses") > 0 {
					uses = append(uses, Use{i, amount("use", 12)})
				}
			}
			require.NoError(t, p.AddOption(amount("return", 40)-10, uses...))
		}
	}
	return p
}

func TestEqualToEveryChoiceTried(t *testing.T) {
	none, some := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		want, ok := brute(p)
		r, err := p.Solve(DefaultOptions())
		if !ok {
			none++
			var short *ShortError
			require.ErrorAs(t, err, &short)
			require.NotEmpty(t, len(short.Alone)+len(short.Together))
			return
		}
		some++
		require.NoError(t, err)
		require.InDelta(t, want, r.Value, 1e-9)
		checkResult(t, p, r)
		require.LessOrEqual(t, r.Bound-r.Value, 1e-6)
	})
	t.Logf("%d with a choice, %d without", some, none)
}

// What counts as proven lies at most one in a thousand below what no choice passes.
func TestTheGapThatCountsAsProven(t *testing.T) {
	require.LessOrEqual(t, DefaultOptions().Gap, 0.001)
	for _, gap := range []float64{0, 0.0005, 0.001, 0.0011, 0.5} {
		value, bound := 1000.0, 1000/(1-gap)
		require.InDelta(t, gap, relative(value, bound), 1e-12)
	}
}

// checkResult holds a result against the problem by adding up.
func checkResult(t require.TestingT, p *Problem, r Result) {
	v, used := p.used(r.Choice)
	require.Equal(t, v, r.Value)
	require.Equal(t, used, r.Used)
	require.GreaterOrEqual(t, r.Bound, r.Value)
	for i, u := range used {
		require.LessOrEqual(t, u, p.limits[i].Amount*(1+1e-10), p.limits[i].Name)
	}
	require.Equal(t, r.Gap <= DefaultOptions().Gap, r.Proven)
	require.Equal(t, r.Proven, len(r.Notes) == 0)
}
