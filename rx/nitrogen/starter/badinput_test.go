package starter

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
)

// A wider row never bears more: the salt of an acre lies in fewer feet of row.
func TestKansasFallsWithTheWidthOfRows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		soil := rapid.SampledFrom([]Soil{Medium, Sandy}).Draw(t, "soil")
		a := rapid.Float64Range(10, 60).Draw(t, "a")
		b := rapid.Float64Range(10, 60).Draw(t, "b")
		narrow, err := kansas(soil, min(a, b))
		require.NoError(t, err)
		wide, err := kansas(soil, max(a, b))
		require.NoError(t, err)
		require.LessOrEqual(t, wide, narrow+1e-9)
		if soil == Medium { // 8 x 30 / width, by arithmetic
			require.InDelta(t, 240/min(a, b), narrow, 1e-9)
		}
	})
	for width, want := range map[float64]float64{20: 8, 30: 6, 40: 4} {
		got, err := kansas(Sandy, width)
		require.NoError(t, err)
		require.InDelta(t, want, got, 1e-9)
	}
}

func TestHarmIsRefused(t *testing.T) {
	ok := Start{Placement: WithSeed, Table: "kansas-state", Soil: Medium, Rows: unit.Inches(30), N: 1}
	nan := unit.NRate(math.NaN())
	for name, c := range map[string]struct {
		change func(*Start)
		want   string
	}{
		"ammonia":              {func(s *Start) { s.Ammonia = true }, "no starter"},
		"ammonia beside":       {func(s *Start) { s.Ammonia, s.Placement = true, TwoByTwo }, "no starter"},
		"another placement":    {func(s *Start) { s.Placement, s.Urea = "broadcast", true }, "broadcast"},
		"a limit of no number": {func(s *Start) { s.Limit = nan }, "a limit"},
		"a limit below zero":   {func(s *Start) { s.Limit = -1 }, "a limit"},
		"potash of no number":  {func(s *Start) { s.K2O = nan }, "potash"},
	} {
		s := ok
		c.change(&s)
		_, err := Check(s)
		require.ErrorContains(t, err, c.want, name)
	}
}

func TestWhatIsNotKnownIsSaid(t *testing.T) {
	s := Start{Placement: WithSeed, Table: "kansas-state", Soil: Medium, Rows: unit.Inches(15), N: 1, Unknown: true}
	v, err := Check(s)
	require.NoError(t, err)
	require.Contains(t, v.Words, "holds no urea")
	require.Contains(t, v.Source, "carried on to rows of 15.0 in")
	s.Rows, s.Unknown = unit.Inches(30), false
	v, err = Check(s)
	require.NoError(t, err)
	require.NotContains(t, v.Words+v.Source, "carried")
	require.NotContains(t, v.Words, "holds no urea")
}

// 8.6 gal/ac of 10-34-0 at 11.65 lb/gal have 10.02 lb/ac, above Michigan State's 10 by what
// one digit does not show.
func TestASumJustAboveTheLimitIsToldApart(t *testing.T) {
	v, err := Check(Start{Placement: WithSeed, Table: "michigan-state", Soil: Medium, Rows: unit.Inches(30), N: unit.LbNPerAcre(10.02)})
	require.NoError(t, err)
	require.False(t, v.Within)
	require.Contains(t, v.Words, "10.02 lb/ac of N + K2O with-seed is above the limit of 10.00 lb/ac")
}
