package budget

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
)

func TestATargetIsShared(t *testing.T) {
	target := unit.LbNPerAcre(180)
	got, notes, err := Split(target, []Part{{Name: "starter", Rate: unit.LbNPerAcre(30)}, {Name: "preplant", Share: 0.25}, {Name: "sidedress", Rest: true}}, unit.US)
	require.NoError(t, err)
	require.Empty(t, notes)
	for i, want := range []float64{30, 45, 105} {
		require.InDelta(t, want, got[i].Put.LbNPerAcre(), 1e-9)
	}

	got, notes, err = Split(unit.LbNPerAcre(20), []Part{{Name: "starter", Rate: unit.LbNPerAcre(30)}, {Name: "sidedress", Rest: true}}, unit.US)
	require.NoError(t, err)
	require.InDelta(t, 30, got[0].Put.LbNPerAcre(), 1e-9)
	require.Zero(t, got[1].Put)
	require.Contains(t, notes[0], "10.0 lb N/ac more than the season's target")

	_, notes, err = Split(target, []Part{{Name: "a", Share: 0.5}}, unit.US)
	require.NoError(t, err)
	require.Contains(t, notes[0], "90.0 lb N/ac of the season's target")

	for _, bad := range [][]Part{
		{{Name: "a", Share: 0.6}, {Name: "b", Share: 0.5}},
		{{Name: "a", Rest: true}, {Name: "b", Rest: true}},
		{{Name: "a", Rate: -1}},
		{{Name: "a", Share: math.NaN()}},
	} {
		_, _, err := Split(target, bad, unit.US)
		require.Error(t, err, "%+v", bad)
	}
	_, _, err = Split(unit.NRate(math.NaN()), nil, unit.US)
	require.Error(t, err)
}

// 240 lb/ac of which half is cut to 90 leave 150, not 120: what truly goes down counts.
func TestTheRestIsNetOfWhatLimitsLeave(t *testing.T) {
	most := func(lb float64) func(unit.NRate) (unit.NRate, error) {
		return func(n unit.NRate) (unit.NRate, error) { return min(n, unit.LbNPerAcre(lb)), nil }
	}
	target := unit.LbNPerAcre(240)
	for name, parts := range map[string][]Part{
		"share": {{Name: "a1", Share: 0.5, Limited: most(90)}, {Name: "a2", Rest: true}},
		"rate":  {{Name: "a1", Rate: unit.LbNPerAcre(120), Limited: most(90)}, {Name: "a2", Rest: true}},
	} {
		got, notes, err := Split(target, parts, unit.US)
		require.NoError(t, err)
		require.InDelta(t, 120, got[0].Asked.LbNPerAcre(), 1e-9, name)
		require.InDelta(t, 90, got[0].Put.LbNPerAcre(), 1e-9, name)
		require.InDelta(t, 150, got[1].Put.LbNPerAcre(), 1e-9, name)
		require.Equal(t, []string{"the applications come to the season's target of 240.0 lb N/ac, for the limits and steps of the job make it a1 90.0 lb N/ac in place of 120.0 lb N/ac"}, notes, name)
	}
	// The rest is cut as well, and then the season is short of it.
	got, notes, err := Split(target, []Part{{Name: "a1", Share: 0.5, Limited: most(90)}, {Name: "a2", Rest: true, Limited: most(100)}}, unit.US)
	require.NoError(t, err)
	require.InDelta(t, 150, got[1].Asked.LbNPerAcre(), 1e-9)
	require.InDelta(t, 100, got[1].Put.LbNPerAcre(), 1e-9)
	require.Contains(t, notes[0], "50.0 lb N/ac of the season's target of 240.0 lb N/ac go to no application, for the limits")
	require.Contains(t, notes[0], "a2 100.0 lb N/ac in place of 150.0 lb N/ac")
	_, _, err = Split(target, []Part{{Name: "a1", Share: 0.5, Limited: func(unit.NRate) (unit.NRate, error) { return unit.NRate(math.NaN()), nil }}}, unit.US)
	require.ErrorContains(t, err, "a1")
}

func TestPartsWithARestAddUpToTheTargetOrSaySo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		target := unit.NRate(rapid.Float64Range(0, 300).Draw(t, "target"))
		parts := []Part{{Name: "rest", Rest: true}}
		for range rapid.IntRange(0, 4).Draw(t, "n") {
			if rapid.Bool().Draw(t, "share") {
				parts = append(parts, Part{Share: rapid.Float64Range(0, 0.25).Draw(t, "s")})
			} else {
				parts = append(parts, Part{Rate: unit.NRate(rapid.Float64Range(0, 100).Draw(t, "r"))})
			}
		}
		got, notes, err := Split(target, parts, unit.US)
		if err != nil {
			t.Fatal(err)
		}
		var sum unit.NRate
		for _, r := range got {
			if r.Put < 0 {
				t.Fatalf("%v below zero", r)
			}
			sum += r.Put
		}
		if over := float64(sum - target); over > 1e-6 && len(notes) == 0 || over < -1e-6 {
			t.Fatalf("sum %v, target %v, notes %v", sum, target, notes)
		}
	})
}
