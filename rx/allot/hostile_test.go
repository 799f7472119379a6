package allot

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestLimitsThatAreRefused(t *testing.T) {
	for want, limits := range map[string][]Limit{
		"limit 2 has no name":                       {{"a", "t", 1}, {"", "t", 1}},
		"two limits are called a":                   {{"a", "t", 1}, {"a", "h", 1}},
		"the limit on a (t) is -1":                  {{"a", "t", -1}},
		"the limit on a (t) is NaN":                 {{"a", "t", math.NaN()}},
		"the limit on a is +Inf":                    {{"a", "", math.Inf(1)}},
		"leave the limit out where there is no end": {{"a", "", 1e300}},
	} {
		_, err := New(limits)
		require.ErrorContains(t, err, want)
	}
}

func TestOptionsThatAreRefused(t *testing.T) {
	p, err := New([]Limit{{"UAN", "t", 1}})
	require.NoError(t, err)
	require.ErrorContains(t, p.AddOption(1), "an option before the first group")
	_, err = p.Solve(DefaultOptions())
	require.ErrorContains(t, err, "there is nothing to choose")
	p.AddGroup("zone 1 of Walnut Bottom")
	_, err = p.Solve(DefaultOptions())
	require.ErrorContains(t, err, "zone 1 of Walnut Bottom has no option to choose from")
	require.NoError(t, p.AddOption(3))
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300} {
		require.ErrorContains(t, p.AddOption(bad), "option 2 of zone 1 of Walnut Bottom returns")
		require.ErrorContains(t, p.AddOption(1, Use{0, 1}, Use{0, bad}), "option 2 of zone 1 of Walnut Bottom uses")
	}
	require.ErrorContains(t, p.AddOption(1, Use{0, -1e-9}), "uses -1e-09 of UAN (t)")
	require.ErrorContains(t, p.AddOption(1, Use{1, 1}), "uses limit 1, and there are 1 limits")
	require.ErrorContains(t, p.AddOption(1, Use{-1, 1}), "uses limit -1")
	require.Equal(t, 1, p.Options())
	r, err := p.Solve(DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, []int{0}, r.Choice, "what was refused has left nothing behind")
	require.Equal(t, []float64{0}, r.Used)
	_, err = p.Solve(Options{})
	require.ErrorContains(t, err, "DefaultOptions")
	p.AddGroup("")
	_, err = p.Solve(DefaultOptions())
	require.ErrorContains(t, err, "group 2 has no option")
}

func TestUsesOfOneLimitAddUp(t *testing.T) {
	p, err := New([]Limit{{"UAN", "t", 3}})
	require.NoError(t, err)
	p.AddGroup("")
	require.NoError(t, p.AddOption(1))
	require.NoError(t, p.AddOption(9, Use{0, 2}, Use{0, 2}))
	r, err := p.Solve(DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, []int{0}, r.Choice)
}

func TestShortLimitsAreNamed(t *testing.T) {
	p, err := New([]Limit{{"UAN 32", "t", 1}, {"days fit for work", "d", 2}, {"hours", "h", 9}})
	require.NoError(t, err)
	for range 2 {
		p.AddGroup("")
		require.NoError(t, p.AddOption(1, Use{0, 0.75}, Use{1, 0.5}))
		require.NoError(t, p.AddOption(2, Use{0, 1}))
	}
	_, err = p.Solve(DefaultOptions())
	var short *ShortError
	require.ErrorAs(t, err, &short)
	require.Equal(t, []Shortfall{{Limit{"UAN 32", "t", 1}, 1.5, 2}}, short.Alone)
	require.EqualError(t, err, "the limits cannot be met. UAN 32: the least that can be chosen takes 1.5 t, and there is 1 t (2 of the zones cannot do without). Raise the limit or add an option that does without")
}

func TestLimitsShortTogetherAreNamed(t *testing.T) {
	p, err := New([]Limit{{"UAN 32", "t", 1}, {"urea", "t", 1}, {"hours", "h", 9}})
	require.NoError(t, err)
	for range 3 {
		p.AddGroup("")
		require.NoError(t, p.AddOption(1, Use{0, 1}, Use{2, 1}))
		require.NoError(t, p.AddOption(2, Use{1, 1}, Use{2, 1}))
	}
	_, err = p.Solve(DefaultOptions())
	require.EqualError(t, err, "each limit can be met alone, but no choice meets these together: UAN 32 (1 t), urea (1 t). Raise one of them or add an option that does without")
}

// Mixed options would meet the limits, whole ones do not.
func TestWholeOptionsMayNotFit(t *testing.T) {
	p, err := New([]Limit{{"UAN 32", "t", 2.5}, {"urea", "t", 2.5}})
	require.NoError(t, err)
	for range 3 {
		p.AddGroup("")
		require.NoError(t, p.AddOption(1, Use{0, 1.5}))
		require.NoError(t, p.AddOption(1, Use{1, 1.5}))
	}
	_, err = p.Solve(DefaultOptions())
	require.ErrorContains(t, err, "no choice meets these together: UAN 32 (2.5 t), urea (2.5 t)")
}

func TestDecimalFractionsFillALimit(t *testing.T) {
	p, err := New([]Limit{{"UAN 32", "t", 0.3}})
	require.NoError(t, err)
	for _, amount := range []float64{0.1, 0.2} {
		p.AddGroup("")
		require.NoError(t, p.AddOption(0))
		require.NoError(t, p.AddOption(1, Use{0, amount}))
	}
	r, err := p.Solve(DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, []int{1, 1}, r.Choice)
}

func TestFarApartNumbers(t *testing.T) {
	p, err := New([]Limit{{"a", "t", 1e-12}, {"b", "t", 1e12}, {"c", "t", 0}, {"d", "t", 5e-324}})
	require.NoError(t, err)
	for range 4 {
		p.AddGroup("")
		require.NoError(t, p.AddOption(-1e15, Use{1, 1e-12}))
		require.NoError(t, p.AddOption(1e-15, Use{0, 0.5e-12}, Use{1, 4e11}))
		require.NoError(t, p.AddOption(1e14, Use{2, 5e-324}))
		require.NoError(t, p.AddOption(1e14, Use{3, 1}))
	}
	r, err := p.Solve(DefaultOptions())
	require.NoError(t, err)
	checkResult(t, p, r)
	want, _ := brute(p)
	require.Equal(t, want, r.Value)
}

func TestNoLimitsAndOneOption(t *testing.T) {
	p, err := New(nil)
	require.NoError(t, err)
	p.AddGroup("")
	require.NoError(t, p.AddOption(-7))
	r, err := p.Solve(DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, Result{Choice: []int{0}, Value: -7, Bound: -7, Proven: true, Used: []float64{}, Price: []float64{}, Nodes: 1}, r)
}

func TestWorthRefuses(t *testing.T) {
	p, err := New([]Limit{{"UAN 32", "t", 1}})
	require.NoError(t, err)
	p.AddGroup("")
	require.NoError(t, p.AddOption(1))
	r, err := p.Solve(DefaultOptions())
	require.NoError(t, err)
	for _, more := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, err = p.Worth(r, 0, more, DefaultOptions())
		require.ErrorContains(t, err, "more of UAN 32 (t) cannot be found")
	}
	_, err = p.Worth(r, 1, 1, DefaultOptions())
	require.ErrorContains(t, err, "there is no limit 1")
	for _, other := range []Result{{}, {Choice: []int{4}, Price: []float64{0}}, {Choice: []int{0}, Price: []float64{0}, Value: 5, Bound: 5}} {
		_, err = p.Worth(other, 0, 1, DefaultOptions())
		require.ErrorContains(t, err, "not one of this problem")
	}
}

// A search that is cut short says so, and what it proves still holds.
func TestACutSearchSaysSo(t *testing.T) {
	p := season(t, 3, 4, 12, 4, false, 0.5, 5)
	best, err := p.Solve(DefaultOptions())
	require.NoError(t, err)
	o := DefaultOptions()
	o.Nodes, o.Gap = 1, 1e-12
	r, err := p.Solve(o)
	require.NoError(t, err)
	require.False(t, r.Proven)
	require.Contains(t, r.Notes[0], "not proven to be within 1e-10 % of the best")
	require.LessOrEqual(t, r.Value, best.Bound)
	require.GreaterOrEqual(t, r.Bound, best.Value)
}
