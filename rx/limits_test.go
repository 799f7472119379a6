package rx

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

func lbN(v float64) counted {
	return counted{unit.Rate{Value: v, Unit: unit.PoundsPerAcre}, unit.Nitrogen}
}

func lbPerAcre(v float64) *unit.Rate {
	return &unit.Rate{Value: v, Unit: unit.PoundsPerAcre}
}

func TestLimitsRoundThenBound(t *testing.T) {
	full := Limits{Min: lbPerAcre(60), Max: lbPerAcre(218), Step: lbPerAcre(5), Of: unit.Nitrogen}
	for _, c := range []struct {
		name    string
		limits  Limits
		in, out float64
		reasons []Reason
	}{
		{"no limits", Limits{}, 183, 183, nil},
		{"zero stays zero", full, 0, 0, []Reason{"zero is left at zero: limits and step do not apply"}},
		{"on a step", full, 180, 180, nil},
		{"to the nearest step, up", full, 183, 185, []Reason{"183 lb N/ac rounded to 185 lb N/ac, the nearest step of 5 lb N/ac"}},
		{"to the nearest step, down", full, 182, 180, []Reason{"182 lb N/ac rounded to 180 lb N/ac, the nearest step of 5 lb N/ac"}},
		{"a tie goes up", full, 182.5, 185, []Reason{"182.5 lb N/ac rounded to 185 lb N/ac, the nearest step of 5 lb N/ac"}},
		{"below the minimum", full, 40, 60, []Reason{"40 lb N/ac raised to the minimum 60 lb N/ac"}},
		{
			"the step comes first, the limit last", full, 219, 218,
			[]Reason{"219 lb N/ac rounded to 220 lb N/ac, the nearest step of 5 lb N/ac", "220 lb N/ac cut to the maximum 218 lb N/ac"},
		},
		{
			"a rate that rounds to zero is raised, for it was not zero", full, 2, 60,
			[]Reason{"2 lb N/ac rounded to 0 lb N/ac, the nearest step of 5 lb N/ac", "0 lb N/ac raised to the minimum 60 lb N/ac"},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, reasons, err := c.limits.apply(lbN(c.in), source(t, "uan-32"))
			require.NoError(t, err)
			require.Equal(t, c.out, got.Value)
			require.Equal(t, c.reasons, reasons)
		})
	}
}

// 120 lb N/ac as UAN 28 at 10.67 lb/gal is 40.17 gal/ac (arithmetic); the nearest 5 gal/ac is 40, and 40
// gal carry 40*10.67*0.28 = 119.504 lb N.
func TestLimitsOfProductOnARateOfNitrogen(t *testing.T) {
	uan := source(t, "uan-28")
	l := Limits{Step: &unit.Rate{Value: 5, Unit: unit.GallonsPerAcre}, Of: unit.Product}
	got, reasons, err := l.apply(lbN(120), uan)
	require.NoError(t, err)
	require.Equal(t, counted{unit.Rate{Value: 40, Unit: unit.GallonsPerAcre}, unit.Product}, got)
	require.Len(t, reasons, 1)
	n, err := got.in(uan, unit.PoundsPerAcre, unit.Nitrogen)
	require.NoError(t, err)
	require.InDelta(t, 119.504, n.Value, 0.01)
}

// A tie given in kg N/ha is a tie in lb N/ac too, although the conversion leaves
// some of them a last digit below it.
func TestTiesSurviveConversion(t *testing.T) {
	uan := source(t, "uan-32")
	l := Limits{Step: lbPerAcre(5), Of: unit.Nitrogen}
	for steps := range 60 {
		tied := 5*float64(steps) + 2.5
		in := counted{unit.Rate{Value: unit.LbNPerAcre(tied).KgNPerHa(), Unit: unit.KgPerHectare}, unit.Nitrogen}
		got, _, err := l.apply(in, uan)
		require.NoError(t, err)
		require.Equal(t, tied+2.5, got.Value)
	}
}

func TestLimitsThatCannotHold(t *testing.T) {
	uan := source(t, "uan-32")
	for _, c := range []struct {
		limits Limits
		want   string
	}{
		{Limits{Min: lbPerAcre(200), Max: lbPerAcre(100), Of: unit.Nitrogen}, "limit min 200 lb N/ac is above max 100 lb N/ac; exchange them"},
		{Limits{Step: lbPerAcre(0), Of: unit.Nitrogen}, "limit step is zero"},
		{Limits{Min: lbPerAcre(10)}, "limit min does not say what it counts"},
		{Limits{Max: &unit.Rate{Value: 30, Unit: unit.GallonsPerAcre}, Of: unit.Nitrogen}, "nitrogen has no volume"},
		{Limits{Min: lbPerAcre(-1), Of: unit.Nitrogen}, "limit min: rate -1 is below zero"},
	} {
		require.ErrorContains(t, c.limits.check(uan), c.want)
	}
	require.NoError(t, Limits{Min: &unit.Rate{Value: 30, Unit: unit.GallonsPerAcre}, Max: &unit.Rate{Value: 900, Unit: unit.KgPerHectare}, Of: unit.Product}.check(uan))
}

// Whatever the rate: zero stays zero, the result is within the limits, and
// applying the limits again changes nothing.
func TestLimitsLaws(t *testing.T) {
	uan := source(t, "uan-32")
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(0, 100).Draw(t, "min")
		high := rapid.Float64Range(100, 300).Draw(t, "max")
		l := Limits{Min: lbPerAcre(low), Max: lbPerAcre(high), Step: lbPerAcre(rapid.Float64Range(0.5, 40).Draw(t, "step")), Of: unit.Nitrogen}
		in := rapid.Float64Range(0, 400).Draw(t, "rate")
		out, _, err := l.apply(lbN(in), uan)
		require.NoError(t, err)
		if in == 0 {
			require.Zero(t, out.Value)
			return
		}
		require.GreaterOrEqual(t, out.Value, low*(1-1e-9))
		require.LessOrEqual(t, out.Value, high*(1+1e-9))
		if in > low && in < high && out.Value != low && out.Value != high {
			require.LessOrEqual(t, out.Value-in, l.Step.Value/2*(1+1e-6))
			require.LessOrEqual(t, in-out.Value, l.Step.Value/2*(1+1e-6))
			again, reasons, err := l.apply(out, uan)
			require.NoError(t, err)
			require.Equal(t, out, again)
			require.Empty(t, reasons)
		}
	})
}

// A rate no machine has is refused where it stands, before it can spoil a sum or
// a column.
func TestARateFarTooLargeNamesWhereItStands(t *testing.T) {
	f := wholeField(t)
	features := []vector.Feature{
		feature(1, rect(t, -200, -100, 0, 100), "ZONE", "A", "N_LB_AC", 100),
		feature(2, rect(t, 0, -100, 200, 100), "ZONE", "B", "N_LB_AC", 1e300),
	}
	_, err := Prescribe(f, zonesOf(t, f, features...), sidedress(t))
	require.ErrorContains(t, err, "zones.shp: record 2 (zone B): column N_LB_AC: rate 1e+300 is above 1000000, which no machine puts down")

	layer := vector.Layer{Path: "map.shp", Columns: []vector.Column{{Name: "ZONE"}, {Name: "N_LB_AC"}}, Features: features}
	_, _, err = ReadRateMap(layer, f, RateMapSpec{Column: "N_LB_AC", Unit: unit.PoundsPerAcre, Of: unit.Nitrogen, Source: source(t, "urea")})
	require.ErrorContains(t, err, "map.shp: record 2: column N_LB_AC: rate 1e+300 is above 1000000")

	a := sidedress(t)
	a.Rate.Column, a.Rate.Table = "", map[string]float64{"A": 100, "B": 1e300}
	_, err = Prescribe(f, zonesOf(t, f, features...), a)
	require.ErrorContains(t, err, "application sidedress: rate table: zone B: rate 1e+300 is above 1000000")

	a.Rate.Table["B"] = 1e6
	_, err = Prescribe(f, zonesOf(t, f, features...), a)
	require.NoError(t, err)
	a.Limits = Limits{Max: &unit.Rate{Value: 1e300, Unit: unit.PoundsPerAcre}, Of: unit.Nitrogen}
	_, err = Prescribe(f, zonesOf(t, f, features...), a)
	require.ErrorContains(t, err, "application sidedress: limit max: rate 1e+300 is above 1000000")
}

func TestATankTooSmallToCount(t *testing.T) {
	f := wholeField(t)
	a := sidedress(t)
	a.Tank.Volume = unit.Gallons(1e-300)
	_, err := Prescribe(f, zonesOf(t, f, feature(1, rect(t, -200, -100, 0, 100), "ZONE", "A", "N_LB_AC", 100)), a)
	require.ErrorContains(t, err, "application sidedress: tank: one load would be 5.01673e-300 kg")
	require.ErrorContains(t, err, "more than 1000000 loads; check the tank's content and its unit")
}
