package plan

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// total is a strategy's sum with its returns by year, and in the runs of low and of high
// losses.
func total(low, high float64, yearly ...float64) Total {
	return Total{HasReturn: true, Return: mean(yearly), ReturnLow: low, ReturnHigh: high, yearly: yearly}
}

// Of four years b is best in two, a and d in one each. That a returns more than d shows
// in three years of four and in every run; b leads it in two years, c in the run of high
// losses.
func TestStrategiesThatAPlanCannotTellApart(t *testing.T) {
	c := Comparison{Best: -1, Years: 4, Totals: []Total{
		total(10, 30, 20, 20, 20, 20),    // a
		total(9, 29, 21, 21, 17, 17),     // b
		total(9, 31, 19, 19, 19, 19),     // c
		total(9, 29, 15, 15, 15, 30),     // d
		{yearly: []float64{99, 0, 0, 0}}, // e has no returns
	}}
	c.rank()
	require.Equal(t, 0, c.Best)
	for s, years := range []int{1, 2, 0, 1, 0} {
		require.Equal(t, years, c.Totals[s].BestYears, "%d", s)
	}
	for s, apart := range []bool{false, false, false, true, false} {
		require.Equal(t, apart, c.Apart(0, s), "%d", s)
		require.Equal(t, apart, c.Apart(s, 0), "%d", s)
	}
	r := Result{Input: Input{Strategies: []Strategy{{Name: "a"}, {Name: "b"}, {Name: "c"}, {Name: "d"}, {Name: "e"}}}}
	require.Equal(t, []string{
		"before limits a returns the most on average, and in 1 of 4 years",
		"the plan cannot tell a from b or c: their order changes with the losses assumed, or from year to year",
	}, c.words(&r))
}

// Equal strategies are told as equal, also where rounding parts them: the first listed
// is counted as the best of each year, and the years still add up.
func TestStrategiesThatReturnTheSame(t *testing.T) {
	c := Comparison{Best: -1, Years: 4, Totals: []Total{
		total(9, 29, 15, 15, 15, 15),
		total(10, 30, 20, 21, 22, 23),
		total(10, 30, 20, 21, 22, 23),
		total(10+1e-13, 30+1e-13, 20+1e-13, 21+1e-13, 22+1e-13, 23+1e-13),
	}}
	c.rank()
	require.Equal(t, 1, c.Best)
	for s, years := range []int{0, 4, 0, 0} {
		require.Equal(t, years, c.Totals[s].BestYears, "%d", s)
	}
	require.False(t, c.Apart(1, 2))
	require.False(t, c.Apart(1, 3))
	require.False(t, c.Apart(3, 1))
	require.True(t, c.Apart(0, 3))
	r := Result{Input: Input{Strategies: []Strategy{{Name: "a"}, {Name: "b"}, {Name: "c"}, {Name: "d"}}}}
	require.Equal(t, []string{
		"before limits b returns the most on average, and in 4 of 4 years",
		"c and d return the same as b in every year: b is counted as the best for it is listed first",
	}, c.words(&r))
}

// The worst fifth of ten years are two, of six years two, and of four years one.
func TestWorstFifth(t *testing.T) {
	for want, years := range map[float64][]float64{
		1.5: {4, 10, 2, 7, 9, 1, 3, 8, 6, 5},
		2.5: {6, 5, 2, 9, 3, 7},
		4:   {7, 4, 6, 5},
	} {
		require.InDelta(t, want, worstFifth(years), 1e-12, "%v", years)
	}
}

// One zone without a curve leaves its field without returns, and the comparison says
// why; what is left out of the choice is counted in words.
func TestAZoneWithoutReturnsIsTold(t *testing.T) {
	in := spring(t, 1, 3, 4)
	in.Zones[1].Curve = nil
	r, c := chosen(t, in)
	f := r.Fields()[0]
	require.Equal(t, -1, f.Best)
	require.Equal(t, []string{"the strategies are not compared by return over the field, for 1 of its 3 zones has none"}, f.Words)
	require.Contains(t, c.Notes, "1 zone without returns is left out of the choice and takes nothing of the limits")
	in.Zones[0].Curve = nil
	r, c = chosen(t, in)
	require.Equal(t, []string{"the strategies are not compared by return over the field, for 2 of its 3 zones have none"}, r.Fields()[0].Words)
	require.Contains(t, c.Notes, "2 zones without returns are left out of the choice and take nothing of the limits")
	in.Zones[2].Curve = nil
	r, err := Compare(in)
	require.NoError(t, err)
	require.Empty(t, r.Fields()[0].Words, "a note tells that there are no curves")
}
