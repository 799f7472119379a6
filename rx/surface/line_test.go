package surface

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// Samples along a line of any direction say so; those of a grid, or of two rows, do not.
func TestSamplesAlongALineSaySo(t *testing.T) {
	place := func(turn float64, rows int) []Sample {
		var list []Sample
		for i := range 60 {
			x, y := 10*float64(i/rows), 40*float64(i%rows)
			list = append(list, Sample{At: orb.Point{x*math.Cos(turn) - y*math.Sin(turn), x*math.Sin(turn) + y*math.Cos(turn)}, Value: 2 + 0.01*float64(i)})
		}
		return list
	}
	for _, turn := range []float64{0, 0.7, math.Pi / 2, 2.5} {
		s, err := Fit(place(turn, 1), DefaultOptions())
		require.NoError(t, err)
		require.Contains(t, strings.Join(s.Notes, "\n"), "the samples lie along one line (0.0 m across it, 173 m along it")
		for _, rows := range []int{2, 6} {
			s, err = Fit(place(turn, rows), DefaultOptions())
			require.NoError(t, err)
			require.NotContains(t, strings.Join(s.Notes, "\n"), "along one line")
		}
	}
}
