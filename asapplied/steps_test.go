package asapplied

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The grid's own rounding is that of the standard library, halves included.
func TestStepsAreRoundedToTheNearest(t *testing.T) {
	for _, v := range []float64{0, 0.5, -0.5, 0.49999999999999994, -0.49999999999999994, 1.5, -2.5, 1.8e12 + 0.5, -1.8e12 - 0.5, math.Copysign(0, -1)} {
		require.Equal(t, int64(math.Round(v)), wholeSteps(v), "%v", v)
	}
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1.8e12, 1.8e12).Draw(t, "v")
		require.Equal(t, int64(math.Round(v)), wholeSteps(v))
	})
}
