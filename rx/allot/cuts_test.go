package allot

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// No choice within the limits passes a rounding, whatever the mix from which it was made.
func TestRoundingsCutOffNoChoice(t *testing.T) {
	made := 0
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		m, _ := p.model()
		var mix []share
		for g := range m.groups() {
			rest := 1.0
			for k := m.start[g]; k < m.start[g+1]; k++ {
				part := rest * rapid.Float64Range(0, 1).Draw(t, "part")
				if k == m.start[g+1]-1 {
					part = rest
				}
				mix = append(mix, share{k, part})
				rest -= part
			}
		}
		w := m.with(m.cutsOf(m.rows, mix))
		made += w.rows - m.rows
		choice := make([]int32, m.groups())
		var every func(g int)
		every = func(g int) {
			if g == len(choice) {
				if _, ok := m.value(choice); ok {
					_, ok = w.value(choice)
					require.True(t, ok, "%v", choice)
				}
				return
			}
			for k := m.start[g]; k < m.start[g+1]; k++ {
				choice[g] = k
				every(g + 1)
			}
		}
		every(0)
	})
	require.Positive(t, made)
}

// alike are zones of nearly one size and soil with too little of each product, and of the days
// to put it down where there is a limit on them: rates go in steps of 10 lb/ac.
func alike(tb testing.TB, zones int, days bool) *Problem {
	n := float64(zones)
	limits := []Limit{{"UAN 32", "t", 1.45 * n}, {"ammonia", "t", 0.49 * n}, {"urea", "t", 0.49 * n}}
	if days {
		limits = append(limits, Limit{"bar", "h", 0.68 * n}, Limit{"spreader", "days", 0.037 * n})
	}
	p, err := New(limits)
	require.NoError(tb, err)
	for z := range zones {
		area := 11 + 0.02*math.Sin(7*float64(z))
		p.AddGroup(fmt.Sprintf("zone %d", z+1))
		require.NoError(tb, p.AddOption(950*area))
		for s, form := range []struct{ keeps, cost, perKg, tons float64 }{
			{0.98, 34, 1.1, 1 / 320.0}, {0.97, 60, 1.07, 1 / 820.0}, {0.95, 20, 1.3, 1 / 460.0},
		} {
			for step := 1; step <= 24; step++ {
				rate := 11.2085 * float64(step)
				x := min(1, rate*form.keeps/(222+2*math.Cos(3*float64(z))))
				uses := []Use{{s, area * rate * form.tons}}
				if days {
					uses = append(uses, Use{3 + s/2, area * []float64{0.106, 0.106, 0.012}[s]})
				}
				require.NoError(tb, p.AddOption(area*(950+990*(2*x-x*x)-form.cost-form.perKg*rate), uses...))
			}
		}
	}
	return p
}

// Zones alike, with steps of a rate that do not fill a limit, are the ones for which mixing
// promises most; they are proven all the same.
func TestZonesAlikeAreProven(t *testing.T) {
	if testing.Short() {
		t.Skip("searches for seconds")
	}
	for _, zones := range []int{5, 8, 12} {
		for _, days := range []bool{false, true} {
			r, err := alike(t, zones, days).Solve(DefaultOptions())
			require.NoError(t, err)
			require.True(t, r.Proven, "%d zones, days %v: gap %.3g %%", zones, days, 100*r.Gap)
		}
	}
}
