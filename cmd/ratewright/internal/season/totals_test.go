package season

import (
	"encoding/json"
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/cmd/ratewright/page"
	"ratewright/geo/unit"
)

// TestTotalsAreTheSumsOfTheRows: a field with two applications has its ground once; what
// a row does not know is not in a sum, and is counted.
func TestTotalsAreTheSumsOfTheRows(t *testing.T) {
	row := func(number int, missed, short *float64) Row {
		r := newRow(number, Found{Rel: "same.yaml"}) // as two names that are no UTF-8 are in a table
		r.State = Done
		r.AreaM2["field"], r.AreaM2["missed"], r.NitrogenKg["short"] = value(40_000), missed, short
		return r
	}
	a, b := row(1, value(100), value(10)), row(1, value(50), nil)
	b.Findings = []string{"missed is much", "doubled is much"}
	failed := newRow(2, Found{Rel: "b.yaml"})
	failed.fail(errors.New("no such file"))
	s := Season{Rows: []Row{a, b, row(3, nil, value(5)), failed}}
	s.finish()
	require.Equal(t, 3, s.Totals.Fields)
	require.Equal(t, 1, s.Totals.FieldsFailed)
	require.Equal(t, 2, s.Totals.Findings)
	require.Equal(t, 80_000.0, *s.Totals.FieldM2)
	require.Equal(t, 120_000.0, *s.Totals.AreaM2["field"], "ground of each application")
	require.Equal(t, 150.0, *s.Totals.AreaM2["missed"])
	require.Equal(t, 2, s.Totals.Known.AreaM2["missed"])
	require.Equal(t, 15.0, *s.Totals.NitrogenKg["short"])
	require.Equal(t, 2, s.Totals.Known.NitrogenKg["short"])
	require.Nil(t, s.Totals.AreaM2["shallow"])
	require.Equal(t, 0, s.Totals.Known.AreaM2["shallow"])

	data, err := json.Marshal(s)
	require.NoError(t, err)
	require.Contains(t, string(data), `"shallow":null`)

	by := map[string]page.Figure{}
	for _, f := range s.totalFigures() {
		by[f.Key] = f
	}
	require.Equal(t, "33.1", by["totals.nitrogen_kg.short"].Value, "15 kg in lb")
	require.Equal(t, "known of 2 of 4", by["totals.nitrogen_kg.short"].More)
	require.Equal(t, "19.77", by["totals.field_m2"].Value, "8 ha in ac")
	require.NotContains(t, by, "totals.area_m2.shallow", "nobody knows it")
	require.True(t, by["totals.fields_failed"].Alarm)
}

func TestTotalsHaveTheUnitsOfTheFields(t *testing.T) {
	require.Equal(t, unit.US, unitsOf(nil))
	require.Equal(t, unit.SI, unitsOf([]Row{{Units: "si"}, {Units: "si"}, {}}))
	require.Equal(t, unit.US, unitsOf([]Row{{Units: "si"}, {Units: "us"}}))
	require.Equal(t, "2.00 t", tons(unit.SI, unit.Kilograms(2000)))
	require.Equal(t, "1.50 tons", tons(unit.US, unit.Pounds(3000)))
	require.Empty(t, tons(unit.US, unit.Pounds(1999)))
}
