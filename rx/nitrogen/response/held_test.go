package response

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
)

// usualPrices are 0.50 $/lb and 4.20 $/bu of 56 lb.
var usualPrices = Prices{N: unit.NPrice(0.50 / 0.45359237), Grain: unit.GrainPrice(4.20 / (56 * 0.45359237))}

func unbent(t require.TestingT, b, c float64, highest float64) Curve {
	curve, err := New(Quadratic, Coefficients{A: 100, B: b, C: c}, perAcre, 0, unit.LbNPerAcre(highest))
	require.NoError(t, err)
	return curve.Held(mostBeyond)
}

// (0.119 - 0.3042) / (2 x -8.185e-05) = 1131 lb/ac where nothing above 160 was tested: the
// rate is held at 1.25 x 160 = 200, and says so.
func TestAnOptimumFarBeyondWhatWasTestedIsHeld(t *testing.T) {
	c := unbent(t, 0.3042, -8.185e-5, 160)
	o, err := c.Optimum(usualPrices)
	require.NoError(t, err)
	require.InDelta(t, 200, o.Rate.LbNPerAcre(), 1e-9)
	require.InDelta(t, 1131, o.ByCurve.LbNPerAcre(), 1)
	require.True(t, o.Beyond)
	require.Contains(t, o.Why, "= 1131.")
	require.Contains(t, o.Warning, "lies beyond the highest tested rate of 160.0 lb N/ac")
	require.Contains(t, o.Warning, "the rate is held at 200.0 lb N/ac, 1.25 times the highest that was tested")
	require.Contains(t, o.Notes, o.Warning)
	gain := c.Yield(o.Rate).BushelsPerAcre() - 100
	require.InDelta(t, 4.20*gain-0.50*200, o.Return.PerAcre(), 1e-6, "the return is that of the rate held")
	at, err := c.AtRatios([]float64{usualPrices.Ratio()})
	require.NoError(t, err)
	require.Equal(t, o.Rate, at[0].Rate)
	r, err := c.Within(usualPrices, unit.Return(2.5))
	require.NoError(t, err)
	require.Equal(t, o.Rate, r.High)
	require.Less(t, r.Low, r.High)
}

// Somewhat beyond, an optimum is given with its warning (191.7 over 168 kg/ha at site 5 of
// Hernandez & Mulla 2008, Agron. J. 100:1221).
func TestAnOptimumSomewhatBeyondIsGiven(t *testing.T) {
	o, err := unbent(t, 0.5, -0.001, 160).Optimum(usualPrices) // (0.5 - 0.119) / 0.002 = 190.5
	require.NoError(t, err)
	require.InDelta(t, 190.476, o.Rate.LbNPerAcre(), 1e-3)
	require.Equal(t, o.Rate, o.ByCurve)
	require.Contains(t, o.Warning, "it is an extrapolation")
	require.NotContains(t, o.Warning, "held")
	o, err = unbent(t, 1.1, -0.003, 200).Optimum(usualPrices)
	require.NoError(t, err)
	require.Empty(t, o.Warning)
}

// A rate never lies above the limit, moves there without a jump, and 0 or a trial of
// unknown rates hold nothing.
func TestHoldingHasNoJump(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := rapid.Float64Range(0.2, 1.5).Draw(rt, "b")
		turn := rapid.Float64Range(60, 500).Draw(rt, "turn")
		highest := rapid.Float64Range(80, 300).Draw(rt, "highest")
		c := unbent(rt, b, -b/(2*turn), highest)
		o, err := c.Optimum(usualPrices)
		require.NoError(rt, err)
		free, err := c.Held(0).Optimum(usualPrices)
		require.NoError(rt, err)
		require.Equal(rt, min(free.Rate, c.Most), o.Rate)
		require.Equal(rt, free.Rate, o.ByCurve)
		require.LessOrEqual(rt, o.Return, free.Return)
	})
}

// A mean over trials is held at the largest limit of its curves, and not at all where
// the rates of one are not known.
func TestAMeanIsHeld(t *testing.T) {
	far, near := unbent(t, 0.3042, -8.185e-5, 160), unbent(t, 0.3042, -8.185e-5, 120)
	flat, err := Flat(unit.BushelsPerAcre(150), 0, unit.LbNPerAcre(400))
	require.NoError(t, err)
	of := func(curves ...Curve) Optimum {
		var members []Member
		for _, c := range curves {
			members = append(members, Member{Curve: c, Weight: 1})
		}
		m, err := NewMean(members)
		require.NoError(t, err)
		o, err := m.Optimum(usualPrices)
		require.NoError(t, err)
		return o
	}
	require.InDelta(t, 200, of(far, near).Rate.LbNPerAcre(), 1e-9)
	require.InDelta(t, 200, of(far, far, far, flat).Rate.LbNPerAcre(), 1e-9)
	require.Greater(t, of(far, near.Held(0)).Rate.LbNPerAcre(), 1000.0)
}

func TestHoldingBelowWhatWasTestedIsRefused(t *testing.T) {
	o := DefaultOptions()
	o.MostBeyond = 0.5
	_, err := FitCurve(Quadratic, nil, Practice{}, o)
	require.ErrorContains(t, err, "0.5 times the highest tested rate; write 1 or more")
}
