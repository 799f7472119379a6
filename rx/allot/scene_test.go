package allot

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// season is a made-up problem of fields of six zones, strategies and rates: a return that
// rises with the rate to a plateau, product by strategy, hours and days by strategy, and a
// total for every field. share is the part of what would be wanted that there is.
func season(tb testing.TB, fields, strategies, rates, shared int, fieldTotals bool, share float64, seed uint64) *Problem {
	rng := rand.New(rand.NewPCG(seed, 1))
	const zones = 6
	var limits []Limit
	for i := range shared {
		limits = append(limits, Limit{Name: fmt.Sprintf("product %d", i+1), Unit: "t", Amount: 1})
	}
	if fieldTotals {
		for f := range fields {
			limits = append(limits, Limit{Name: fmt.Sprintf("total of field %d", f+1), Unit: "kg N", Amount: 1})
		}
	}
	p, err := New(limits)
	require.NoError(tb, err)
	wanted := make([]float64, len(limits))
	for f := range fields {
		for z := range zones {
			p.AddGroup(fmt.Sprintf("zone %d of field %d", z+1, f+1))
			area := 2 + 6*rng.Float64()
			plateau, gain := 140+120*rng.Float64(), 500+300*rng.Float64()
			bestReturn := math.Inf(-1)
			var bestUses []Use
			for s := range strategies {
				efficiency, cost := 0.75+0.25*rng.Float64(), 15+10*rng.Float64()
				for k := range rates {
					rate := 280 * float64(k) / float64(max(1, rates-1))
					x := min(1, rate*efficiency/plateau)
					dollars := area * (gain*(2*x-x*x) - 0.9*rate - cost)
					var uses []Use
					if s < shared-2 || shared == 1 {
						uses = append(uses, Use{s % shared, rate * area / 1000})
					}
					if shared > 1 && rate > 0 {
						uses = append(uses, Use{shared - 1 - s%2, area * (0.08 + 0.02*float64(s%3))})
					}
					if fieldTotals {
						uses = append(uses, Use{shared + f, rate * area})
					}
					require.NoError(tb, p.AddOption(dollars, uses...))
					if dollars > bestReturn {
						bestReturn, bestUses = dollars, uses
					}
				}
			}
			for _, u := range bestUses {
				wanted[u.Limit] += u.Amount
			}
		}
	}
	for i := range limits {
		p.limits[i].Amount = share * wanted[i]
	}
	return p
}

func BenchmarkSmall(b *testing.B) {
	p := season(b, 2, 4, 5, 4, false, 0.7, 3)
	for b.Loop() {
		_, err := p.Solve(DefaultOptions())
		require.NoError(b, err)
	}
}

func BenchmarkSeason(b *testing.B) {
	for _, fields := range []int{125, 250, 500} {
		for _, totals := range []bool{false, true} {
			b.Run(fmt.Sprintf("zones=%d/fieldTotals=%v", 6*fields, totals), func(b *testing.B) {
				p := season(b, fields, 8, 40, 6, totals, 0.7, 3)
				b.ReportAllocs()
				var r Result
				for b.Loop() {
					var err error
					r, err = p.Solve(DefaultOptions())
					require.NoError(b, err)
				}
				b.ReportMetric(r.Gap*1e6, "gap-ppm")
				b.ReportMetric(float64(r.Nodes), "nodes")
			})
		}
	}
}
