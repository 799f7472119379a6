//go:build reference

package response

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

type zoneCase struct {
	Model string    `json:"model"`
	Zone  []string  `json:"zone"`
	N     []float64 `json:"n"`
	Y     []float64 `json:"y"`
}

// The test of whether zones respond differently against testdata/reference/zones.py, for all
// forms: zones with unlike rates, levels and replicates, alike in their response and not.
func TestWhetherZonesDifferAgainstScipy(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 2))
	var cases []zoneCase
	var ours []ZoneTest
	for k := range 36 {
		m := []Model{Quadratic, QuadraticPlateau, LinearPlateau}[k%3]
		apart := float64(k%2) * 40
		c := zoneCase{Model: m.String()}
		var obs []Observation
		for z := range 2 + random.IntN(3) {
			join := 130 + apart*float64(z)
			zone, level := string(rune('a'+z)), 5000+3000*random.Float64()
			for i := range 5 + random.IntN(3) {
				for range 2 + random.IntN(2) {
					n := float64(i)*36 + 4*random.NormFloat64()*float64(random.IntN(2))
					below := max(join-max(n, 0), 0) / join
					y := level - 3500*below*below + 250*random.NormFloat64()
					obs = append(obs, Observation{unit.KgNPerHa(max(0, n)), unit.KgGrainPerHa(y), zone})
					c.Zone, c.N, c.Y = append(c.Zone, zone), append(c.N, max(0, n)), append(c.Y, y)
				}
			}
		}
		z, err := FitZones(m, obs, Practice{}, noTest())
		require.NoError(t, err)
		whole := true
		for _, f := range z.Zones {
			whole = whole && f.Refusal == nil
		}
		if !whole || !z.HasTest {
			continue
		}
		cases, ours = append(cases, c), append(ours, z.Test)
	}
	var want []struct {
		F, P     float64
		DF1, DF2 int
	}
	askScipy(t, "zones.py", cases, &want)
	require.Len(t, want, len(ours))
	of := map[string]int{}
	for i, w := range want {
		of[cases[i].Model]++
		require.Equal(t, w.DF1, ours[i].DF1)
		require.Equal(t, w.DF2, ours[i].DF2)
		require.LessOrEqual(t, math.Abs(w.F-ours[i].F), 1e-5*(1+w.F), "%s: %v and %v", cases[i].Model, w.F, ours[i].F)
		require.InDelta(t, w.P, ours[i].P, 1e-5)
	}
	t.Log(of)
	for _, m := range []Model{Quadratic, QuadraticPlateau, LinearPlateau} {
		require.Greater(t, of[m.String()], 5, m)
	}
}
