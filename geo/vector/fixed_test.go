package vector

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestFixedDecimalsAreThoseOfStrconv compares the short way for numbers on a grid
// with the standard library.
func TestFixedDecimalsAreThoseOfStrconv(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	short := 0
	for range 200000 {
		d := rng.IntN(13)
		f := rng.NormFloat64() * 100
		if rng.IntN(2) == 0 {
			f = math.Round(f*math.Pow10(d)) / math.Pow10(d)
		}
		want := strconv.FormatFloat(f, 'f', d, 64)
		if v, _ := strconv.ParseFloat(want, 64); v == 0 {
			continue // zero has no sign
		}
		require.Equal(t, want, string(appendFixed(nil, f, d)), "%v with %d decimals", f, d)
		if _, ok := onGrid(f, d); ok {
			short++
		}
	}
	require.Greater(t, short, 50000)
	for _, f := range []float64{0, math.Copysign(0, -1), 1, -1, 180, -180, 999.9999999999} {
		require.Equal(t, strconv.FormatFloat(f+0, 'f', 10, 64), string(appendFixed(nil, f, 10)))
	}
}
