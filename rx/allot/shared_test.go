package allot

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// trips is a strategy of one trip or two: each takes its product by the nitrogen and its
// machine by the hectare, and keeps a part of its nitrogen.
type trips []struct {
	share         float64
	product, work int
	perKg, perHa  float64 // kg of product for each kg N, hours for each hectare
	buy, cost     float64 // $ for each kg N and each hectare
	keeps         float64
}

// underManyLimits draws a season of 7 to 12 fields of 3 to 8 zones with 4 to 8 strategies under
// 4 to 8 limits that all fields share, supplies of products and hours of machines, and in half
// of the seasons a total for every field. A zone returns its yield without nitrogen and what
// a response curve gains by that which the strategy keeps.
func underManyLimits(tb testing.TB, seed uint64) *Problem {
	rng := rand.New(rand.NewPCG(seed, 7))
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	fields, shared := 7+rng.IntN(6), 4+rng.IntN(5)
	step, totals := []float64{5.6, 11.2, 22.4}[rng.IntN(3)], rng.IntN(2) == 0
	products := 1 + rng.IntN(min(4, shared-1))
	ways := make([]trips, 4+rng.IntN(5))
	for s := range ways {
		ways[s] = make(trips, 1+rng.IntN(2))
		rest := 1.0
		for t := range ways[s] {
			w := &ways[s][t]
			w.share = rest
			if t < len(ways[s])-1 {
				w.share = between(0.2, 0.6)
			}
			rest -= w.share
			w.product, w.work = rng.IntN(products), products+rng.IntN(shared-products)
			w.perKg, w.perHa = between(1.2, 3.6), between(0.05, 0.25)
			w.buy, w.cost, w.keeps = between(0.8, 1.3), between(15, 30), between(0.8, 0.98)
		}
	}
	var limits []Limit
	for i := range shared {
		limits = append(limits, Limit{fmt.Sprintf("limit %d", i+1), "kg or h", 1})
	}
	if totals {
		for f := range fields {
			limits = append(limits, Limit{fmt.Sprintf("total of field %d", f+1), "kg N", 1})
		}
	}
	p, err := New(limits)
	require.NoError(tb, err)
	wanted := make([]float64, len(limits))
	for f := range fields {
		for z := range 3 + rng.IntN(6) {
			p.AddGroup(fmt.Sprintf("zone %d of field %d", z+1, f+1))
			area, zero, plateau, gain := between(1, 12), between(700, 1100), between(140, 240), between(500, 1000)
			require.NoError(tb, p.AddOption(area*zero))
			best, bestUses := area*zero, []Use(nil)
			for _, w := range ways {
				fits := between(0.8, 1) // on the soil and under the residue of this zone
				for rate := step; rate <= 270; rate += step {
					left, cost := 0.0, 0.0
					var uses []Use
					for _, t := range w {
						n := rate * t.share
						left += n * t.keeps * fits
						cost += t.cost + n*t.buy
						uses = append(uses, Use{t.product, area * n * t.perKg}, Use{t.work, area * t.perHa})
					}
					if totals {
						uses = append(uses, Use{shared + f, area * rate})
					}
					x := min(1, left/plateau)
					dollars := area * (zero + gain*(2*x-x*x) - cost)
					require.NoError(tb, p.AddOption(dollars, uses...))
					if dollars > best {
						best, bestUses = dollars, uses
					}
				}
			}
			for _, u := range bestUses {
				wanted[u.Limit] += u.Amount
			}
		}
	}
	for i := range limits {
		p.limits[i].Amount = max(1, wanted[i]*between(0.4, 0.9))
	}
	return p
}

// seasonWithYields is season with the yield without nitrogen of every zone.
func seasonWithYields(tb testing.TB, seed uint64) *Problem {
	rng := rand.New(rand.NewPCG(seed, 8))
	p := season(tb, 7+rng.IntN(4), 4+rng.IntN(5), []int{10, 20, 30}[rng.IntN(3)], 6, rng.IntN(2) == 0, 0.4+0.5*rng.Float64(), seed)
	for g := range p.names {
		zero := (2 + 6*rng.Float64()) * (700 + 400*rng.Float64())
		for k := p.start[g]; k < p.start[g+1]; k++ {
			p.ret[k] += zero
		}
	}
	return p
}

// A choice of some ten fields under many limits is proven to 0.1 %.
func TestManySharedLimitsAreProven(t *testing.T) {
	if testing.Short() {
		t.Skip("searches for seconds")
	}
	for kind, draw := range map[string]func(testing.TB, uint64) *Problem{"season": seasonWithYields, "many limits": underManyLimits} {
		worst := 0.0
		for seed := range uint64(8) {
			p := draw(t, seed)
			r, err := p.Solve(DefaultOptions())
			require.NoError(t, err)
			checkResult(t, p, r)
			require.LessOrEqual(t, r.Gap, 0.001, "%s, seed %d: %v", kind, seed, r.Notes)
			worst = max(worst, r.Gap)
		}
		t.Logf("%s: the largest gap is %.3f %%", kind, 100*worst)
	}
}

// Many seeds, by hand: go test -bench ManySharedLimits -benchtime 300x.
func BenchmarkManySharedLimits(b *testing.B) {
	for kind, draw := range map[string]func(testing.TB, uint64) *Problem{"season": seasonWithYields, "limits": underManyLimits} {
		b.Run(kind, func(b *testing.B) {
			open, worst, seed := 0, 0.0, uint64(1000)
			for b.Loop() {
				b.StopTimer()
				p := draw(b, seed)
				b.StartTimer()
				r, err := p.Solve(DefaultOptions())
				require.NoError(b, err)
				if !r.Proven {
					open++
					b.Logf("seed %d: gap %.4f %%", seed, 100*r.Gap)
				}
				worst = max(worst, r.Gap)
				seed++
			}
			b.ReportMetric(100*worst, "%-worst-gap")
			b.ReportMetric(float64(open), "open")
		})
	}
}
