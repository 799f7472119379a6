package water

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Source: FAO-56 (Allen et al. 1998), example 8.
func TestRadiationOfTheWorkedExample(t *testing.T) {
	j := time.Date(1998, 9, 3, 0, 0, 0, 0, time.UTC).YearDay()
	require.Equal(t, 246, j)
	ra, err := Radiation(-20, j)
	require.NoError(t, err)
	require.InDelta(t, 32.2, ra, 0.05)
}

// Source: FAO-56, annex 2, table 2.6: monthly means on the 15th, from memory; 45.72
// degrees north on 15 July is 16.55 mm/d by another program.
func TestRadiationAndReferenceOfLyon(t *testing.T) {
	ra, err := Radiation(45.72, 196)
	require.NoError(t, err)
	require.InDelta(t, 16.5463, 0.408*ra, 0.01)
	// Source: FAO-56, example 20: 5.0 mm/d with 26.6 and 14.8 °C.
	et, err := Mid().Reference(ra, 26.6, 14.8)
	require.NoError(t, err)
	require.InDelta(t, 5.0, et, 0.05)
}

// The same radiation by the daily mean of the sun's height, summed hour by hour.
func TestRadiationAgainstTheSumOfHours(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat := rapid.Float64Range(-65, 65).Draw(t, "latitude")
		j := rapid.IntRange(1, 365).Draw(t, "day")
		want, err := Radiation(lat, j)
		require.NoError(t, err)
		phi, x := lat*math.Pi/180, 2*math.Pi*float64(j)/365
		decl := 0.409 * math.Sin(x-1.39)
		const steps = 20000
		sum := 0.0
		for i := range steps {
			hour := -math.Pi + 2*math.Pi*(float64(i)+0.5)/steps
			sum += max(0, math.Sin(phi)*math.Sin(decl)+math.Cos(phi)*math.Cos(decl)*math.Cos(hour))
		}
		require.InDelta(t, 0.0820*1440*(1+0.033*math.Cos(x))*sum/steps, want, 1e-4)
	})
}

func TestThePolarNightIsDark(t *testing.T) {
	ra, err := Radiation(80, 355)
	require.NoError(t, err)
	require.Zero(t, ra)
}

// Source: USDA-NRCS, TR-55 (1986), equations 2-3 and 2-4 worked by hand: 6.0 in and a
// curve number of 70 leave (6 - 0.857)^2 / (6 + 3.429) = 2.805 in.
func TestRunoffByHand(t *testing.T) {
	q, err := Runoff(6*25.4, 70)
	require.NoError(t, err)
	require.InDelta(t, 2.805, q/25.4, 0.001)
	q, err = Runoff(20, 70)
	require.NoError(t, err)
	require.Zero(t, q, "below a fifth of the retention nothing runs off")
}
