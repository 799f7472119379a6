package cover_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo/cover"
)

// crumbs are boxes, triangles and folded quads whose corners lie on one another and,
// some, a step of this length or two beside. A few steps of the grid large and put on
// it, their outlines cross, touch and pass each other's corners everywhere.
func crumbs(rng *rand.Rand, n int, scale, beside float64) (out []cover.Swath) {
	sin, cos := math.Sincos(rng.Float64())
	at := func(x, y int) orb.Point {
		px, py := scale*float64(x), scale*float64(y)
		if rng.IntN(3) == 0 {
			px += beside * float64(rng.IntN(5)-2)
		}
		if rng.IntN(3) == 0 {
			py += beside * float64(rng.IntN(5)-2)
		}
		return orb.Point{px*cos - py*sin, px*sin + py*cos}
	}
	for i := range n {
		var q [4]orb.Point
		x, y := rng.IntN(13)-6, rng.IntN(13)-6
		switch w, h := 1+rng.IntN(5), 1+rng.IntN(5); rng.IntN(4) {
		case 0:
			for k := range q {
				q[k] = at(rng.IntN(13)-6, rng.IntN(13)-6)
			}
		case 1:
			q = [4]orb.Point{at(x, y), at(x, y), at(x+rng.IntN(7)-3, y+h), at(x+rng.IntN(7)-3, y+h)}
		case 2:
			q = [4]orb.Point{at(x, y), at(x+w, y), at(x+w, y+h), at(x, y+h)}
		case 3:
			q = [4]orb.Point{at(x, y-w), at(x+w, y), at(x, y+w), at(x-w, y)}
		}
		out = append(out, cover.Swath{Quad: q, From: 3 * float64(i), To: 3*float64(i) + 1})
	}
	return out
}

// visited parts the ground by how often it was visited.
type visited struct{}

func (visited) Face(f *cover.Face, _ float64) cover.Verdict {
	return cover.Verdict{Kinds: 1 << min(f.Visits, 5), Label: cover.None}
}

func TestOutlinesOfAFewStepsAreValid(t *testing.T) {
	patches := 0
	for seed := range uint64(1000) {
		rng := rand.New(rand.NewPCG(seed, 77))
		in := cover.Input{Swaths: crumbs(rng, 6+rng.IntN(8), []float64{1e-5, 3e-5}[seed%2], 1e-5)}
		res := cover.Sweep(in, func() cover.Judge { return visited{} }, cover.Options{Patches: true, Workers: 1})
		for i, p := range res.Patches {
			require.NoError(t, outlineFault(p.Polygons), "seed %d, patch %d", seed, i)
			require.InDelta(t, p.AreaM2, drawnArea(p.Polygons), 3e-5*length(p.Polygons), "seed %d, patch %d", seed, i)
		}
		patches += len(res.Patches)
	}
	require.Greater(t, patches, 8000)
}
