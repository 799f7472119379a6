package cover_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo/cover"
)

// Beside the long sides of a slanting field lie swaths that begin and end at every half
// metre, so that vertices can be anywhere on them. None of the sides becomes much longer
// than 10 m, however many trapezoids it goes by: a side that is straight as it is
// written, in degrees, is not quite so on the ground.
func TestSidesStayShort(t *testing.T) {
	for _, x0 := range []float64{50, 65} { // along the right side, within it and beyond
		for _, mirror := range []float64{1, -1} {
			field := orb.Ring{{0, 0}, {60, 0}, {90, 120}, {30, 120}, {0, 0}}
			// Blocks are about as large as swaths: one far off makes them so.
			swaths := []cover.Swath{{Quad: [4]orb.Point{{-900, 0}, {-200, 0}, {-200, 700}, {-900, 700}}}}
			for i := range 119 {
				y := float64(i)
				x := x0 + y/4
				swaths = append(swaths, cover.Swath{
					Quad: [4]orb.Point{{x, y + 0.2}, {x + 2, y + 0.3}, {x + 2, y + 0.6}, {x, y + 0.7}},
					From: float64(i + 9), To: float64(i + 9),
				})
			}
			for i := range field {
				field[i][0] *= mirror
			}
			for i := range swaths {
				for k := range swaths[i].Quad {
					swaths[i].Quad[k][0] *= mirror
				}
			}
			in := cover.Input{Swaths: swaths, Layers: []cover.Layer{{orb.MultiPolygon{{field}}}}}
			res := cover.Sweep(in, func() cover.Judge { return parting{} }, cover.Options{Patches: true})
			upright, most := 0, 0.0
			for _, p := range res.Patches {
				require.NoError(t, outlineFault(p.Polygons))
				eachSide(p.Polygons, func(a, b orb.Point) {
					if math.Abs(b[1]-a[1]) > 1e-4 && min(mirror*a[0], mirror*b[0]) > 30 {
						upright++
						most = max(most, math.Hypot(b[0]-a[0], b[1]-a[1]))
					}
				})
			}
			require.Greater(t, upright, 30)
			require.LessOrEqual(t, most, 10.0001)
		}
	}
}

// Two parts of ground meet in a neck beside a straight side. Where it is narrower than
// a slit they are two patches, each with its own part of that side; else one.
func TestNecksBesideAStraightSide(t *testing.T) {
	for _, lean := range []float64{0, 3, -2} {
		for _, widthM := range []float64{0, 2e-7, 4e-7, 6e-7, 9e-7, 1.1e-6, 1.6e-6, 1.9e-6, 2.1e-6, 3e-6, 2e-5} {
			for _, mirror := range []float64{1, -1} {
				ring := orb.Ring{{0, 0}, {5, 0}, {lean/2 + widthM, 3}, {6, 6}, {lean, 6}, {0, 0}}
				for i := range ring {
					ring[i][0] *= mirror
				}
				if mirror < 0 {
					slices.Reverse(ring)
				}
				at := fmt.Sprintf("leaning by %v, %v m wide, %v", lean, widthM, mirror)
				sums, res := measure(cover.Input{Layers: []cover.Layer{{orb.MultiPolygon{{ring}}}}}, cover.Options{Patches: true})
				checkPatches(t, res, sums)
				require.Len(t, res.Patches, map[bool]int{true: 1, false: 2}[widthM > 1e-6], at)
				for _, p := range res.Patches {
					require.NoError(t, outlineFault(p.Polygons), at)
					require.InDelta(t, p.AreaM2, drawnArea(p.Polygons), 1e-5*length(p.Polygons), at)
				}
			}
		}
	}
}
