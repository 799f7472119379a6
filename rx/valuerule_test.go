package rx

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

func valued(id string, columns ...vector.Attribute) Zone {
	return Zone{ID: id, Attributes: columns, At: vector.Position{File: "zones.shp", Record: 3}}
}

func TestValuesOfZonesComeFromOneOfThree(t *testing.T) {
	zones := []Zone{
		valued("A", vector.Attribute{Name: "YG", Value: vector.NewNumber(200)}),
		valued("B", vector.Attribute{Name: "YG", Value: vector.NewText(" 180 ")}),
	}
	for name, r := range map[string]ValueRule{
		"column": {What: "expected yield", Column: "yg"},
		"table":  {What: "expected yield", Table: map[string]float64{"B": 180, "A": 200}},
	} {
		got, notes, err := r.Values(zones)
		require.NoError(t, err, name)
		require.Empty(t, notes)
		require.Equal(t, []float64{200, 180}, got, name)
	}
	v := 190.0
	got, _, err := ValueRule{What: "expected yield", All: &v}.Values(zones)
	require.NoError(t, err)
	require.Equal(t, []float64{190, 190}, got)

	_, notes, err := ValueRule{What: "expected yield", Table: map[string]float64{"A": 1, "B": 2, "C": 3}}.Values(zones)
	require.NoError(t, err)
	require.Equal(t, []string{"the expected yield table names zones that the field does not have: C"}, notes)
}

func TestValuesThatLackNameTheZone(t *testing.T) {
	zones := []Zone{valued("A", vector.Attribute{Name: "YG"}, vector.Attribute{Name: "T", Value: vector.NewText("loam")})}
	nan := math.NaN()
	for want, r := range map[string]ValueRule{
		"zones.shp: record 3 (zone A): has no expected yield: column YG is empty": {What: "expected yield", Column: "YG"},
		"column T holds \"loam\", which is not a number":                          {What: "expected yield", Column: "T"},
		"has no column X; its columns are YG, T":                                  {What: "expected yield", Column: "X"},
		"has no expected yield: the expected yield table names B":                 {What: "expected yield", Table: map[string]float64{"B": 1}},
		"its expected yield is NaN, which is no number":                           {What: "expected yield", All: &nan},
	} {
		_, _, err := r.Values(zones)
		require.ErrorContains(t, err, want)
	}
	text, err := zones[0].Text("T")
	require.NoError(t, err)
	require.Equal(t, "loam", text)
	for _, column := range []string{"YG", "X"} {
		_, err := zones[0].Text(column)
		require.Error(t, err, column)
	}
}

// A zone beyond a layer lacks its column, which others have: that is said, and not that the
// column is named wrong.
func TestAZoneBeyondALayerIsToldSo(t *testing.T) {
	zones := []Zone{valued("A", vector.Attribute{Name: "OM", Value: vector.NewNumber(3)}), valued("B x none", vector.Attribute{Name: "YG", Value: vector.NewNumber(1)})}
	_, _, err := ValueRule{What: "organic matter", Column: "om"}.Values(zones)
	require.EqualError(t, err, "zones.shp: record 3 (zone B x none): has no organic matter: the layer with column om does not cover it, as it covers other zones; give that layer a part there, or take the ground out of the field")
	_, _, err = ValueRule{What: "organic matter", Column: "SOM"}.Values(zones)
	require.ErrorContains(t, err, "has no column SOM; its columns are OM; name one of these")
}

func TestARateThatWasWorkedOutCarriesItsArithmetic(t *testing.T) {
	f := wholeField(t)
	a := sidedress(t)
	a.Rate = RateRule{Unit: unit.PoundsPerAcre, Of: unit.Nitrogen, Worked: map[string]Worked{
		"W": {Value: 120, Reasons: []Reason{"1.2 lb for each of 100 bu/ac"}}, "E": {Value: 95, Reasons: []Reason{"less"}},
	}}
	p, err := Prescribe(f, twoZones(t, f), a)
	require.NoError(t, err)
	require.InDelta(t, 120, p.Zones[0].NRate.LbNPerAcre(), 1e-9)
	require.Equal(t, Reason("1.2 lb for each of 100 bu/ac"), p.Zones[0].Reasons[0])
	require.Equal(t, Reason("less"), p.Zones[1].Reasons[0])

	delete(a.Rate.Worked, "E")
	_, err = Prescribe(f, twoZones(t, f), a)
	require.ErrorContains(t, err, "no rate was worked out for it")
	a.Rate.Worked["E"] = Worked{Value: math.NaN()}
	_, err = Prescribe(f, twoZones(t, f), a)
	require.ErrorContains(t, err, "the rate that was worked out cannot be")
	a.Rate.Column = "N"
	_, err = Prescribe(f, twoZones(t, f), a)
	require.ErrorContains(t, err, "give either a zone column")
}
