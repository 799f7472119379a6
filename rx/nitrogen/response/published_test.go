package response

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// Source: Engelstad & Parks 1971, Agron. J. 63:21-23, refitted in Schabenberger &
// Pierce 2002, pp. 254-259: join 225, economic optimum 140 at 0.11 and 1.15 (cut,
// not rounded: 225.34 and 140.78).
func TestJackson1962(t *testing.T) {
	f := fitted(t, QuadraticPlateau, jackson1962)
	require.InDelta(t, 225, f.Curve.Join.KgNPerHa(), 1)
	require.InDelta(t, 225.340, f.Curve.Join.KgNPerHa(), 0.001)
	require.InDelta(t, 46.0219, f.Curve.A/quintal, 5e-5)
	require.InDelta(t, 0.254909, f.Curve.B/quintal, 5e-7)
	require.InDelta(t, -0.00056561, f.Curve.C/quintal, 5e-9)
	plateau, ok := f.Curve.Plateau()
	require.True(t, ok)
	require.InDelta(t, 74.7426, plateau.KgPerHa()/quintal, 5e-5)
	require.InDelta(t, 8.5305, f.SSE/quintal/quintal, 5e-5)
	o, err := f.Curve.Optimum(engelstadPrices)
	require.NoError(t, err)
	require.InDelta(t, 140, o.Rate.KgNPerHa(), 1)
	require.InDelta(t, 140.784, o.Rate.KgNPerHa(), 0.001)
	require.False(t, o.Beyond)

	q := fitted(t, Quadratic, jackson1962)
	require.InDelta(t, 15.5926, q.SSE/quintal/quintal, 5e-5)
	l := fitted(t, LinearPlateau, jackson1962)
	require.InDelta(t, 2.9333, l.SSE/quintal/quintal, 5e-5)
	require.InDelta(t, 147.365, l.Curve.Join.KgNPerHa(), 0.001)
	o, err = l.Curve.Optimum(engelstadPrices)
	require.NoError(t, err)
	require.Equal(t, l.Curve.Join, o.Rate)
}

// Every row of the check values: coefficients, join, plateau, sum of squares and
// optimum. Sources: Engelstad & Parks 1971; Hernandez & Mulla 2008, Agron. J.
// 100:1221-1229; Bachmaier 2009, Stat. Papers 50:649-660; Anselin, Bongiovanni &
// Lowenberg-DeBoer 2004, Amer. J. Agr. Econ. 86:675-687.
func TestCheckValues(t *testing.T) {
	models := map[string]Model{"Q": Quadratic, "QP": QuadraticPlateau, "LP": LinearPlateau}
	for _, row := range sharedRows(t, "response/fit_check_values.csv") {
		obs, kg, p := checkData(t, row["dataset"], row["subset"])
		f := fitted(t, models[row["model"]], obs)
		name := row["dataset"] + " " + row["subset"] + " " + row["model"]
		require.Equal(t, number(t, row["n"]), float64(f.Observations), name)
		o, err := f.Curve.Optimum(p)
		require.NoError(t, err)
		plateau, _ := f.Curve.Plateau()
		for column, got := range map[string]float64{
			"a": f.Curve.A / kg, "b": f.Curve.B / kg, "c": f.Curve.C / kg, "sse": f.SSE / kg / kg,
			"join": f.Curve.Join.KgNPerHa(), "plateau": plateau.KgPerHa() / kg,
			"econ_opt_n": o.Rate.KgNPerHa(),
		} {
			text := row[column]
			if text == "" {
				continue
			}
			// Half a unit of the last printed digit, twice that for joins, which
			// were profiled to 1e-6 and are printed to 0.001.
			require.InDelta(t, number(t, text), got, 0.51*lastDigit(text), name+" "+column)
		}
	}
}

func lastDigit(text string) float64 {
	mantissa, exponent, _ := strings.Cut(strings.ToLower(text), "e")
	v := 1.0
	if _, decimals, ok := strings.Cut(mantissa, "."); ok {
		for range decimals {
			v /= 10
		}
	}
	for range strings.TrimLeft(exponent, "-0") {
		v *= 1e-5 // the only exponent in the file
	}
	return v
}

func checkData(t *testing.T, dataset, subset string) ([]Observation, float64, Prices) {
	t.Helper()
	first, rest, _ := strings.Cut(subset, " ")
	switch dataset {
	case "engelstad":
		rows := sharedRows(t, "response/engelstad_jackson.csv")
		return observations(t, rows, "nitro", "yield", "", quintal, is("year", rest)), quintal, engelstadPrices
	case "hernandez":
		return hernandez(t, first), tonne, hernandezPrices
	case "bachmaier":
		return observations(t, sharedRows(t, "response/bachmaier_low.csv"), "nitro", "yield", "", tonne, nil), tonne, bachmaierPrices
	}
	require.Equal(t, "lasrosas", dataset)
	all := lasRosas(t)
	if rest == "all" {
		return all, quintal, lasRosasPrices
	}
	topo := map[string]string{"LO": "1", "E": "2", "HT": "3", "W": "4"}[rest]
	require.NotEmpty(t, topo)
	var out []Observation
	for _, ob := range all {
		if ob.Zone == topo {
			out = append(out, ob)
		}
	}
	return out, quintal, lasRosasPrices
}

// Source: Hernandez & Mulla 2008, Agron. J. 100:1221-1229, site 5, 90 %: optimum
// 191.7198, Wald 118.9329 to 264.5067, profile likelihood 147.96 to 401.65. The
// last is a spline through the few points of TestProfilePointsOfSite5, on which
// ours lies; solved exactly, the set is Fieller's, 147.109 to 401.563.
func TestHernandezSite5(t *testing.T) {
	f := fitted(t, Quadratic, hernandez(t, "S5"))
	o, err := f.Curve.Optimum(hernandezPrices)
	require.NoError(t, err)
	require.InDelta(t, 191.7198, o.Rate.KgNPerHa(), 5e-5)
	require.True(t, o.Beyond, "168 is the highest tested rate")
	require.Contains(t, strings.Join(o.Notes, " "), "beyond the highest tested rate of 149.9 lb N/ac")
	se, err := f.StandardError(hernandezPrices)
	require.NoError(t, err)
	require.InDelta(t, 42.2997, se.KgNPerHa(), 5e-5)
	w, err := f.Wald(hernandezPrices, 0.9)
	require.NoError(t, err)
	require.InDelta(t, 118.9329, w.Spans[0].Low.KgNPerHa(), 5e-5)
	require.InDelta(t, 264.5067, w.Spans[0].High.KgNPerHa(), 5e-5)
	s, err := f.Confidence(hernandezPrices, 0.9)
	require.NoError(t, err)
	require.Equal(t, Interval, s.Shape)
	require.InDelta(t, 147.109, s.Spans[0].Low.KgNPerHa(), 5e-4)
	require.InDelta(t, 401.563, s.Spans[0].High.KgNPerHa(), 5e-4)
	require.InDelta(t, 147.96, s.Spans[0].Low.KgNPerHa(), 1)
	require.InDelta(t, 401.65, s.Spans[0].High.KgNPerHa(), 0.1)
	require.True(t, s.Beyond)
	require.Contains(t, s.Words(), "nothing was tested")
}

// Source: Bachmaier 2009, Stat. Papers 50:649-660: 95 % set 173 to 260.
func TestBachmaierLowZone(t *testing.T) {
	f := fitted(t, Quadratic, observations(t, sharedRows(t, "response/bachmaier_low.csv"), "nitro", "yield", "", tonne, nil))
	s, err := f.Confidence(bachmaierPrices, 0.95)
	require.NoError(t, err)
	require.InDelta(t, 2.01954, tQuantile(0.95, f.DF), 5e-6)
	require.InDelta(t, 173.096, s.Spans[0].Low.KgNPerHa(), 5e-4)
	require.InDelta(t, 260.056, s.Spans[0].High.KgNPerHa(), 5e-4)
}

// Source: prices of Hernandez & Mulla 2008; the quadratic-plateau fits of the
// five sites. Mean return: 159.6 kg/ha, within 1 $/ac 145.3 to 177.8, 561.54 $/ha.
func TestMeanReturnOverFiveSites(t *testing.T) {
	var sites []Site
	for _, name := range []string{"S1", "S2", "S3", "S4", "S5"} {
		sites = append(sites, Site{Name: name, Observations: hernandez(t, name)})
	}
	fits, err := FitSites(QuadraticPlateau, sites, DefaultOptions())
	require.NoError(t, err)
	require.Len(t, fits.Members, 5)
	m, err := NewMean(fits.Members)
	require.NoError(t, err)
	o, err := m.Optimum(hernandezPrices)
	require.NoError(t, err)
	require.InDelta(t, 159.6, o.Rate.KgNPerHa(), 0.05)
	require.InDelta(t, 142.4, o.Rate.LbNPerAcre(), 0.05)
	require.InDelta(t, 561.54, o.Return.PerHa(), 0.005)
	require.InDelta(t, 0.6615*159.6, o.NCost.PerHa(), 0.05)
	sum, err := unit.ParseReturn("1 $/ac")
	require.NoError(t, err)
	r, err := m.Within(hernandezPrices, sum)
	require.NoError(t, err)
	require.InDelta(t, 145.3, r.Low.KgNPerHa(), 0.05)
	require.InDelta(t, 177.8, r.High.KgNPerHa(), 0.05)
}

// Source: Watters, Ohio State Univ. Extension, Ohio's Country Journal, 27 May
// 2021: rates, ranges within 1 $/ac and N costs of corn after soybean. One bend,
// 1 / (4.5 x 14²) bu ac per lb squared, gives every range to 1.5 lb.
func TestOhioTable(t *testing.T) {
	dollar, err := unit.ParseReturn("1 $/ac")
	require.NoError(t, err)
	nPrice, err := unit.ParseNPrice("0.63 $/lb")
	require.NoError(t, err)
	for _, row := range []struct {
		corn                  string
		perBushel             float64
		best, low, high, cost float64
	}{
		{"4.50 $/bu", 4.5, 161, 147, 175, 101.43},
		{"5.00 $/bu", 5, 167, 153, 181, 105.21},
		{"5.50 $/bu", 5.5, 173, 159, 186, 108.89},
		{"6.00 $/bu", 6, 177, 164, 190, 111.51},
	} {
		grain, err := unit.ParseGrainPrice(row.corn)
		require.NoError(t, err)
		c := -1 / (4.5 * 14 * 14)
		curve, err := New(Quadratic, Coefficients{A: 100, B: 0.63/row.perBushel - 2*c*row.best, C: c},
			Units{RateKgHa: unit.PoundsPerAcre.PerHa(), YieldKgHa: unit.BushelsPerAcre(1).KgPerHa()}, 0, unit.LbNPerAcre(250))
		require.NoError(t, err)
		p := Prices{nPrice, grain}
		o, err := curve.Optimum(p)
		require.NoError(t, err)
		require.InDelta(t, row.best, o.Rate.LbNPerAcre(), 1e-9)
		require.InDelta(t, row.cost, o.NCost.PerAcre(), 0.51*0.63, "the rate is printed in whole pounds")
		r, err := curve.Within(p, dollar)
		require.NoError(t, err)
		require.InDelta(t, row.low, r.Low.LbNPerAcre(), 1.5)
		require.InDelta(t, row.high, r.High.LbNPerAcre(), 1.5)
	}
	require.InDelta(t, 101.43, 161*nPrice.PerPound(), 1e-9)
}

// Source: Iowa State Univ. ICM News, 13 Oct 2014: $0.50/lb and $3.50/bu are 0.14
// bushels a pound.
func TestPriceRatio(t *testing.T) {
	n, err := unit.ParseNPrice("0.50 $/lb")
	require.NoError(t, err)
	g, err := unit.ParseGrainPrice("3.50 $/bu")
	require.NoError(t, err)
	require.InDelta(t, 0.14, Prices{n, g}.Ratio()/56, 0.003)
	require.InDelta(t, 0.5/3.5*56, Prices{n, g}.Ratio(), 1e-9)
}

// Source: Anselin, Bongiovanni & Lowenberg-DeBoer 2004, Amer. J. Agr. Econ.
// 86:675-687; optima by ordinary least squares at 6.85 $/q and 0.4348 $/kg N.
func TestLasRosasByZone(t *testing.T) {
	z, err := FitZones(Quadratic, lasRosas(t), Practice{}, DefaultOptions())
	require.NoError(t, err)
	require.Len(t, z.Zones, 4)
	v, err := z.Value(lasRosasPrices, nil)
	require.NoError(t, err)
	require.InDelta(t, 77.295, v.FieldRate.Rate.KgNPerHa(), 0.01)
	for i, want := range []float64{46.321, 49.904, 99.938, 85.879} { // LO, E, HT, W
		require.InDelta(t, want, v.Zones[i].Optimum.Rate.KgNPerHa(), 0.01)
	}
	require.True(t, z.HasTest)
	require.Less(t, z.Test.P, 1e-4)
	require.Positive(t, v.Value.PerHa())
	require.GreaterOrEqual(t, v.OverField, v.Value)
	require.Contains(t, v.Notes, InSample)
	t.Logf("value %v over %v, over the field's %v; %s", v.Value, v.OneRate.Rate, v.OverField, z.Test.Words())
}
