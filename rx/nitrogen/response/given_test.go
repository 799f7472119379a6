package response

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

var (
	perAcre = Units{RateKgHa: unit.LbNPerAcre(1).KgNPerHa(), YieldKgHa: unit.BushelsPerAcre(1).KgPerHa()}
	tonnes  = Units{RateKgHa: 1, YieldKgHa: 1000}
)

// A curve whose coefficients are in other units than they are said to be has yields or
// rates that no corn has.
func TestGivenCurvesOfNoCornAreRefused(t *testing.T) {
	for name, c := range map[string]struct {
		model   Model
		k       Coefficients
		u       Units
		highest unit.NRate
		want    string
	}{
		"below nothing":         {Quadratic, Coefficients{A: -100, B: 1.1, C: -0.003}, perAcre, 0, "at its top, which is no corn"},
		"below nothing at none": {Quadratic, Coefficients{A: -20, B: 1.1, C: -0.003}, perAcre, 0, "yields -20 bu/ac at its lowest rate, which is less than nothing"},
		"kg/ha called bu/ac":    {Quadratic, Coefficients{A: 6277, B: 61, C: -0.15}, perAcre, 0, "yields 1.248e+04 bu/ac at its top, which is not possible"},
		"bu/ac called t/ha":     {Quadratic, Coefficients{A: 100, B: 1.1, C: -0.003}, tonnes, 0, "which is not possible"},
		"t/ha called bu/ac":     {QuadraticPlateau, Coefficients{A: 6, B: 0.07, C: -0.0002}, perAcre, 0, "no more than 12.12 bu/ac at its top, which is no corn"},
		"yields of 5":           {LinearPlateau, Coefficients{A: 2, B: 0.02, Join: 150}, perAcre, 0, "no more than 5 bu/ac"},
		"a join at 3":           {LinearPlateau, Coefficients{A: 60, B: 30, Join: 3}, perAcre, 0, "turns level at 3 lb N/ac already"},
		"a join at 3,000":       {LinearPlateau, Coefficients{A: 60, B: 0.03, Join: 3000}, perAcre, 0, "rises up to 3000 lb N/ac, above what any trial has tested"},
		"a top at 3":            {Quadratic, Coefficients{A: 60, B: 60, C: -10}, perAcre, 0, "turns level at 3 lb N/ac already"},
		"tested up to 5,000":    {Quadratic, Coefficients{A: 60, B: 1.1, C: -0.003}, perAcre, unit.LbNPerAcre(5000), "the highest tested rate is 5000 lb N/ac"},
	} {
		_, err := New(c.model, c.k, c.u, 0, c.highest)
		require.ErrorContains(t, err, c.want, name)
		require.ErrorContains(t, err, "check the coefficients and the units", name)
		var r *Refusal
		require.ErrorAs(t, err, &r, name)
		require.Equal(t, BadCurve, r.Reason, name)
	}
	for name, k := range map[string]Coefficients{
		"usual":        {A: 60, B: 1.1, C: -0.003},
		"poor sand":    {A: 2, B: 0.4, C: -0.0012},
		"level so far": {A: 150, B: -0.01, C: -0.0001},
	} {
		_, err := New(Quadratic, k, perAcre, 0, 0)
		require.NoError(t, err, name)
	}
	_, err := New(Quadratic, Coefficients{A: 60, B: 0.3, C: -0.0001}, perAcre, 0, unit.LbNPerAcre(200))
	require.NoError(t, err, "nearly straight, and its tested rates are known")
}

// A trial in t/ha that is called one in bu/ac is no corn either.
func TestATrialInTonnesCalledBushels(t *testing.T) {
	var obs []Observation
	for i, y := range []float64{6, 9, 11, 12, 12.2} {
		obs = append(obs, Observation{Rate: unit.LbNPerAcre(50 * float64(i)), Yield: unit.BushelsPerAcre(y)})
	}
	_, err := FitCurve(Quadratic, obs, Practice{}, DefaultOptions())
	require.ErrorContains(t, err, "the highest yield of the trial is 12.2 bu/ac, which is no crop")
}
