package unit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestPricesOfProduct(t *testing.T) {
	for text, want := range map[string]float64{"320 $/ton": 320 / 907.18474, "$320/ton": 320 / 907.18474, "0.30 $/lb": 0.30 / 0.45359237, "500 $/t": 0.5, "1 $/kg": 1} {
		p, err := ParseProductPrice(text)
		require.NoError(t, err, text)
		got, ok := p.PerKg(0, false)
		require.True(t, ok)
		require.InEpsilon(t, want, got, 1e-12, text)
	}
	p, err := ParseProductPrice("1.10 $/gal")
	require.NoError(t, err)
	_, ok := p.PerKg(0, false)
	require.False(t, ok)
	d, err := ParseDensity("11.06 lb/gal")
	require.NoError(t, err)
	got, ok := p.PerKg(d, true)
	require.True(t, ok)
	require.InEpsilon(t, 1.10/(11.06*0.45359237), got, 1e-12)
	for _, text := range []string{"", "320", "0 $/ton", "-3 $/ton", "3 $/ac", "3 lb/ton", "NaN $/lb"} {
		_, err := ParseProductPrice(text)
		require.Error(t, err, text)
	}
}
