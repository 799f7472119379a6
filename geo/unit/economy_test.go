package unit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// 1 bu/ac of corn is 62.77 kg/ha, and 1 lb/ac is 1.12085 kg/ha (exact definitions, rounded).
func TestYieldsAndPricesConvert(t *testing.T) {
	y, err := ParseYield("1 bu/ac")
	require.NoError(t, err)
	require.InDelta(t, 62.77, y.KgPerHa(), 0.005)
	require.InDelta(t, 1, y.BushelsPerAcre(), 1e-12)
	for text, want := range map[string]float64{"12.5 t/ha": 12500, "120 q/ha": 12000, "9000 kg/ha": 9000, "12.5 Mg/ha": 12500, "100 lb per acre": 112.085} {
		y, err := ParseYield(text)
		require.NoError(t, err, text)
		require.InDelta(t, want, y.KgPerHa(), 1e-3*want, text)
	}

	n, err := ParseNPrice("0.50 $/lb")
	require.NoError(t, err)
	require.InDelta(t, 0.5, n.PerPound(), 1e-12)
	require.InDelta(t, 1.10231, n.PerKg(), 1e-5)
	again, err := ParseNPrice("$0.50/lb")
	require.NoError(t, err)
	require.Equal(t, n, again)

	g, err := ParseGrainPrice("4.20 $/bu")
	require.NoError(t, err)
	require.InDelta(t, 4.2, g.PerBushel(), 1e-12)
	require.InDelta(t, 4.2/25.40117, g.PerKg(), 1e-7)
	q, err := ParseGrainPrice("6.85 $/q")
	require.NoError(t, err)
	require.InDelta(t, 0.0685, q.PerKg(), 1e-15)

	r, err := ParseReturn("1 $/ac")
	require.NoError(t, err)
	require.InDelta(t, 2.471, r.PerHa(), 1e-3)
	require.InDelta(t, 1, r.PerAcre(), 1e-12)
	r, err = ParseReturn("-5 $/ha")
	require.NoError(t, err)
	require.InDelta(t, -5, r.PerHa(), 0)

	c, err := ParsePPM("12 mg/kg")
	require.NoError(t, err)
	require.InDelta(t, 12, c.MgPerKg(), 0)
}

func TestYieldsAndPricesThatMeanSomethingElseAreRefused(t *testing.T) {
	for text, parse := range map[string]func(string) error{
		"200":          func(s string) error { _, err := ParseYield(s); return err },
		"200 bu":       func(s string) error { _, err := ParseYield(s); return err },
		"-1 bu/ac":     func(s string) error { _, err := ParseYield(s); return err },
		"200 gal/ac":   func(s string) error { _, err := ParseYield(s); return err },
		"0 $/lb":       func(s string) error { _, err := ParseNPrice(s); return err },
		"-0.5 $/lb":    func(s string) error { _, err := ParseNPrice(s); return err },
		"0.5 $/bu":     func(s string) error { _, err := ParseNPrice(s); return err },
		"350 $/ton":    func(s string) error { _, err := ParseNPrice(s); return err },
		"4.20 $/ac":    func(s string) error { _, err := ParseGrainPrice(s); return err },
		"4.20":         func(s string) error { _, err := ParseGrainPrice(s); return err },
		"12 %":         func(s string) error { _, err := ParsePPM(s); return err },
		"12":           func(s string) error { _, err := ParsePPM(s); return err },
		"12 lb/ac":     func(s string) error { _, err := ParsePPM(s); return err },
		"1 $ an acre":  func(s string) error { _, err := ParseReturn(s); return err },
		"$ 1/lb grain": func(s string) error { _, err := ParseReturn(s); return err },
	} {
		require.Error(t, parse(text), text)
	}
}
