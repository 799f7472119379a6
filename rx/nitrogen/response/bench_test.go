package response

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"ratewright/geo/unit"
)

// made is a field of zones with plots each, on planned rates or on scattered ones.
func made(zones, plots int, scatter float64) []Observation {
	random := rand.New(rand.NewPCG(1, 2))
	var out []Observation
	for z := range zones {
		for i := range plots {
			n := max(0, float64(i%6)*40+scatter*random.NormFloat64())
			below := max(150+float64(z%50)-n, 0) / 150
			y := 11000 - 5000*below*below + 500*random.NormFloat64()
			out = append(out, Observation{unit.KgNPerHa(n), unit.KgGrainPerHa(y), fmt.Sprintf("z%03d", z)})
		}
	}
	return out
}

// Fits of all three forms by zone with the confidence set of each: 200 zones of
// 50 points.
func BenchmarkZones(b *testing.B) {
	p := prices(1.1, 0.16)
	for _, scatter := range []float64{0, 8} {
		obs := made(200, 50, scatter)
		for _, m := range []Model{Quadratic, QuadraticPlateau, LinearPlateau, Best} {
			b.Run(fmt.Sprintf("%s/scatter=%g", m, scatter), func(b *testing.B) {
				for b.Loop() {
					z, err := FitZones(m, obs, Practice{}, DefaultOptions())
					if err != nil {
						b.Fatal(err)
					}
					if _, err := z.Value(p, nil); err != nil {
						b.Fatal(err)
					}
					for _, f := range z.Zones {
						if f.Refusal != nil {
							b.Fatal(f.Refusal)
						}
						if _, err := f.Fit.Confidence(p, 0.9); err != nil {
							b.Fatal(err)
						}
					}
				}
			})
		}
	}
}

// A whole field of yield points, every rate another.
func BenchmarkBestOfAField(b *testing.B) {
	obs := made(1, 50000, 8)
	for b.Loop() {
		c, err := Choose(obs, Practice{}, DefaultOptions())
		if err != nil {
			b.Fatal(err)
		}
		if _, err := c.Fit.Confidence(prices(1.1, 0.16), 0.95); err != nil {
			b.Fatal(err)
		}
	}
}
