package response

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// sharedRows reads a CSV of the open data beside the project as maps by column,
// and skips where it is absent. Lines that begin with # are comments.
func sharedRows(t testing.TB, name string) []map[string]string {
	t.Helper()
	path := filepath.Join("..", "..", "..", "..", "shared", "data", name)
	file, err := os.Open(path)
	if os.IsNotExist(err) {
		t.Skipf("the open data is not beside the project: %s", path)
	}
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment, r.FieldsPerRecord = '#', -1
	rows, err := r.ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, v := range row {
			m[rows[0][i]] = v
		}
		out = append(out, m)
	}
	require.NotEmpty(t, out)
	return out
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// observations takes the rows that a filter keeps, with yield in kg/ha a unit.
func observations(t testing.TB, rows []map[string]string, rate, yield, zone string, kgHa float64, keep func(map[string]string) bool) []Observation {
	t.Helper()
	var out []Observation
	for _, r := range rows {
		if keep == nil || keep(r) {
			out = append(out, Observation{unit.KgNPerHa(number(t, r[rate])), unit.KgGrainPerHa(kgHa * number(t, r[yield])), r[zone]})
		}
	}
	require.NotEmpty(t, out)
	return out
}

func is(column, value string) func(map[string]string) bool {
	return func(r map[string]string) bool { return r[column] == value }
}

const quintal, tonne = 100.0, 1000.0 // kg

func prices(nPerKg, grainPerKg float64) Prices {
	return Prices{unit.NPrice(nPerKg), unit.GrainPrice(grainPerKg)}
}

// The prices of the published trials.
var (
	engelstadPrices = prices(0.11, 1.15/quintal)
	hernandezPrices = prices(0.6615, 118.1/tonne)
	bachmaierPrices = prices(0.005454*tonne, 1) // the ratio as published: t/kg
	lasRosasPrices  = prices(0.4348, 6.85/quintal)
)

func pairs(kgHa float64, values ...float64) []Observation {
	var out []Observation
	for i := 0; i < len(values); i += 2 {
		out = append(out, Observation{Rate: unit.KgNPerHa(values[i]), Yield: unit.KgGrainPerHa(kgHa * values[i+1])})
	}
	return out
}

// jackson1962 is a site-year of Engelstad & Parks 1971, Agron. J. 63:21-23.
var jackson1962 = pairs(quintal, 0, 46.5, 67, 59, 134, 71.9, 201, 73.1, 268, 74.5, 335, 75.5)

func fitted(t testing.TB, m Model, obs []Observation) Fit {
	t.Helper()
	f, err := FitCurve(m, obs, Practice{}, DefaultOptions())
	require.NoError(t, err)
	return f
}

func refused(t testing.TB, err error, reason Reason) *Refusal {
	t.Helper()
	var r *Refusal
	require.ErrorAs(t, err, &r)
	require.Equal(t, reason, r.Reason, r.Why)
	require.NotContains(t, r.Why, "NaN")
	return r
}

func hernandez(t testing.TB, site string) []Observation {
	return observations(t, sharedRows(t, "response/hernandez_nitrogen.csv"), "nitro", "yield", "", tonne, is("site", site))
}

func lasRosas(t testing.TB) []Observation {
	return observations(t, sharedRows(t, "lasrosas/lasrosas_1999_cells.csv"), "N", "YIELD", "TOPO", quintal, nil)
}
