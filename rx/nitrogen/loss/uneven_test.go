package loss

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/response"
)

// plateau is a made-up curve, 5,500 + 60 N - 0.15 N² kg/ha up to 200 kg N/ha.
func plateau(t *testing.T) response.Curve {
	t.Helper()
	c, err := response.New(response.QuadraticPlateau, response.Coefficients{A: 5500, B: 60, C: -0.15}, response.Units{RateKgHa: 1, YieldKgHa: 1}, 0, 0)
	require.NoError(t, err)
	return c
}

// Source: arithmetic; Jensen & Pesek 1962, SSSAP 26:174-178: where no spot passes the
// plateau, a cosine of amplitude A in the rate costs c A²/2, four times as much when A
// is doubled.
func TestUnevenRatesCostTheirSquare(t *testing.T) {
	curve := plateau(t)
	loss := func(amplitude float64) float64 {
		const n = 3600
		sum := 0.0
		for i := range n {
			sum += float64(curve.Yield(unit.NRate(100 + amplitude*math.Cos(2*math.Pi*float64(i)/n))))
		}
		return float64(curve.Yield(100)) - sum/n
	}
	require.InDelta(t, 0.15*40*40/2, loss(40), 1e-6)
	require.InDelta(t, 4.00, loss(80)/loss(40), 1e-9)
}

// Source: arithmetic: 180 kg/ha yield 11,440; with 30 % of it lost 10,679, which is 761
// less; half the field at nothing and half at 360 yield 8,500.
func TestNitrogenShortByHand(t *testing.T) {
	curve := plateau(t)
	require.InDelta(t, 11440, float64(curve.Yield(180)), 0.5)
	require.InDelta(t, -761, float64(curve.Yield(180*0.7)-curve.Yield(180)), 0.5)
	require.InDelta(t, 8500, float64(curve.Yield(0)+curve.Yield(360))/2, 0.5)
}

// What is still there differs between placements, and yield with it, but not where all
// of them leave enough for the plateau.
func TestNoEffectOnThePlateau(t *testing.T) {
	c := Mid()
	season := moist(60, 20, nil)
	yields := func(rate float64) (broadcast, injected float64) {
		a := Application{Source: known(t, "uan-32"), Date: spring}
		still := ends(t, a, Site{PH: 6.5, Cover: 0.5}, unit.KgNPerHa(rate), season, c).StillThere()
		a.Placement, a.Depth = Injected, unit.Inches(5)
		deep := ends(t, a, Site{PH: 6.5, Cover: 0.5}, unit.KgNPerHa(rate), season, c).StillThere()
		require.Greater(t, deep, still)
		// The curve stands for injected UAN: efficiency relative to it, at the rate applied.
		curve := plateau(t)
		return float64(curve.Yield(unit.NRate(rate * still / deep))), float64(curve.Yield(unit.NRate(rate)))
	}
	short, enough := yields(120)
	require.Greater(t, enough-short, 100.0)
	short, enough = yields(280)
	require.Equal(t, enough, short)
}
