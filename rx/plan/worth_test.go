package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/rx/allot"
)

// More of a limit is never worth less than nothing, also not by rounding: fields that are
// alike have choices of one value that are added up in another order.
func TestMoreIsNeverWorthLessThanNothing(t *testing.T) {
	for fields := 1; fields <= 2; fields++ {
		in := spring(t, fields, 5, 3)
		for i := range in.Zones {
			in.Zones[i].AreaHa = 4.6013
		}
		in.Limits = []Limit{{Name: "ammonia", Unit: "kg N", Amount: 1100.3}, {Name: "bar", Unit: "h", Amount: 3}}
		for s := range in.Strategies {
			in.Strategies[s].Trips[0].Uses = []Use{{Limit: s % 2, PerKgN: float64(1 - s%2), PerHa: 0.0617 * float64(s%2)}}
		}
		r, err := Compare(in)
		require.NoError(t, err)
		for slack := range 8 {
			r.Input.Limits[0].Amount, r.Input.Limits[1].Amount = 700.3+211*float64(slack), 0.7+0.3*float64(slack)
			c, err := r.Choose(allot.DefaultOptions())
			require.NoError(t, err)
			for _, w := range c.Worth {
				require.False(t, math.Signbit(w.Dollars), "%d fields, %v", fields, w)
			}
		}
	}
}
