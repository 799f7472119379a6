package page

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestChart(t *testing.T) {
	c := &Chart{Title: "Mean <return>", X: "lb N/ac", Y: "$/ac", Best: [2]float64{150, 240}, BestWords: "150 <lb>", Low: 130, High: 172, Bracket: "130 to 172: equally good", Above: "as without"}
	for n := 0.0; n <= 250; n += 10 {
		c.Points = append(c.Points, [2]float64{n, 240 * (1 - (n-150)*(n-150)/22500)})
	}
	svg := string(c.SVG())
	require.Contains(t, svg, "Mean &lt;return&gt;, best at 150")
	require.NotContains(t, svg, "NaN")
	require.NotContains(t, svg, "style=", "which the policy forbids")
	require.Contains(t, svg, "150 &lt;lb&gt;")
	require.Contains(t, svg, "as without")
	require.Contains(t, svg, "130 to 172: equally good")
	c.High = c.Low
	require.NotContains(t, string(c.SVG()), "equally good", "without a stretch")
	require.Equal(t, []float64{0, 50, 100, 150, 200, 250}, ticks(0, 250, 6))
	require.Equal(t, []float64{0, 100, 200}, ticks(-10, 240, 4))

	for _, bad := range []*Chart{nil, {}, {Points: [][2]float64{{1, 1}, {1, 1}}, Best: [2]float64{1, 1}}, {Points: [][2]float64{{0, 0}, {1, math.NaN()}}, Best: [2]float64{0, math.NaN()}}, {Points: [][2]float64{{0, 0}, {math.Inf(1), 1}}}} {
		require.Empty(t, bad.SVG())
	}
}
