package starter

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/rx/internal/cited"
)

func TestConstantsAreCited(t *testing.T) {
	n, faults, err := cited.Constants(".")
	require.NoError(t, err)
	require.Empty(t, faults)
	require.GreaterOrEqual(t, n, 9)
}

// ammoniumPolyphosphate is 10-34-0 at 11.65 lb/gal (11.6 of Michigan State).
func ammoniumPolyphosphate(gallons, density float64) unit.NRate {
	return unit.LbNPerAcre(gallons * density * 0.10)
}

// By hand: 5 gal of 10-34-0 hold 5.8 lb N, which passes 8 (30 in, medium) and 6 (sandy); 8 gal
// hold 9.3 and fail 8. Michigan State's own 8.6 gal, 10 lb N, pass its limit and fail
// Kansas's.
func TestPublishedLimitsWithTheSeed(t *testing.T) {
	for _, c := range []struct {
		gallons, density float64
		table            string
		soil             Soil
		rows             float64
		within           bool
		limit            float64
	}{
		{5, 11.65, "kansas-state", Medium, 30, true, 8},
		{5, 11.65, "kansas-state", Sandy, 30, true, 6},
		{8, 11.65, "kansas-state", Medium, 30, false, 8},
		{8.6, 11.6, "michigan-state", Medium, 30, true, 10},
		{8.6, 11.6, "kansas-state", Medium, 30, false, 8},
		{8, 11.65, "kansas-state", Medium, 20, true, 12},
		{5, 11.65, "kansas-state", Medium, 40, true, 6},
		{5, 11.65, "kansas-state", Sandy, 40, false, 4},
		{5, 11.65, "kansas-state", Medium, 15, true, 16}, // the limit for a foot of row
		{5, 11.65, "kansas-state", Medium, 36, true, 8 * 30 / 36.0},
		{5, 11.65, "michigan-state", Sandy, 22, false, 5},
		{8, 11.65, "virginia-tech", Sandy, 30, true, 10},
	} {
		n := ammoniumPolyphosphate(c.gallons, c.density)
		if c.density == 11.6 {
			n = unit.LbNPerAcre(10) // 9.98, as published: 10 lb
		}
		v, err := Check(Start{Placement: WithSeed, Table: c.table, Soil: c.soil, Rows: unit.Inches(c.rows), N: n})
		require.NoError(t, err)
		require.Equal(t, c.within, v.Within, "%+v %s", c, v.Words)
		require.InDelta(t, c.limit, v.Limit.LbNPerAcre(), 1e-9)
		require.Contains(t, v.Words, "the label and local advice decide")
	}
}

func TestPotashCountsAndTheJobMayLimit(t *testing.T) {
	s := Start{Placement: WithSeed, Table: "kansas-state", Soil: Medium, Rows: unit.Inches(30), N: unit.LbNPerAcre(5), K2O: unit.LbNPerAcre(4)}
	v, err := Check(s)
	require.NoError(t, err)
	require.False(t, v.Within)
	s.Limit = unit.LbNPerAcre(9)
	v, err = Check(s)
	require.NoError(t, err)
	require.True(t, v.Within)
	v, err = Check(Start{Placement: TwoByTwo, N: unit.LbNPerAcre(100), Urea: true})
	require.NoError(t, err)
	require.True(t, v.Within)
	v, err = Check(Start{Placement: TwoByTwo, N: unit.LbNPerAcre(101)})
	require.NoError(t, err)
	require.False(t, v.Within)
}

func TestWhatMustNotLieWithTheSeedIsRefused(t *testing.T) {
	ok := Start{Placement: WithSeed, Table: "kansas-state", Soil: Medium, Rows: unit.Inches(30), N: 1}
	for name, change := range map[string]func(*Start){
		"urea":        func(s *Start) { s.Urea = true },
		"thiosulfate": func(s *Start) { s.Thiosulfate = true },
		"nowhere":     func(s *Start) { s.Placement = "" },
		"no table":    func(s *Start) { s.Table = "x" },
		"no soil":     func(s *Start) { s.Soil = "" },
		"no rows":     func(s *Start) { s.Rows = 0 },
		"below zero":  func(s *Start) { s.N = -1 },
	} {
		s := ok
		change(&s)
		_, err := Check(s)
		require.Error(t, err, name)
	}
	_, err := Check(ok)
	require.NoError(t, err)
}
