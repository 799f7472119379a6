package asapplied

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/asapplied/fieldlog"
	"ratewright/geo/unit"
)

// The written grid is in degrees: what is valid in the plane must be so there too.
func TestThinnedOutlinesAreValidInDegreesAndNoMoreWithTheTolerance(t *testing.T) {
	inputs := []Input{madeUp(t, fieldlog.Spec{Records: 2000, CoverageOnly: true, Chatter: true})}
	for seed := range uint64(12) {
		in, _ := work(t, 300+seed)
		inputs = append(inputs, in)
	}
	before := 0
	for _, metres := range []float64{0.05, 0.5, 3, 10, 20, 50, 100} {
		vertices := 0
		for seed, in := range inputs {
			in.Simplify = unit.Metres(metres)
			r, err := Reconcile(in)
			require.NoError(t, err)
			for i, p := range r.Patches {
				require.NoError(t, outlineFault(p.Polygons), "seed %d, %v m, patch %d", 299+seed, metres, i)
				for _, poly := range p.Polygons {
					for _, ring := range poly {
						vertices += len(ring) - 1
					}
				}
			}
		}
		if before > 0 {
			require.LessOrEqual(t, float64(vertices), 1.05*float64(before), "%v m", metres)
		}
		before = vertices
	}
}
