package cover_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo/cover"
)

// unshared counts the sides of patches that have another patch just across them
// and yet are no side of another. The patches exclude each other.
func unshared(patches []cover.Patch) (bordering int, faults []string) {
	type side struct{ a, b orb.Point }
	sides := make(map[side]bool)
	for _, p := range patches {
		eachSide(p.Polygons, func(a, b orb.Point) { sides[side{a, b}] = true })
	}
	const beside, shortest = 5e-5, 1e-3 // m: a few steps of the grid
	for i, p := range patches {
		eachSide(p.Polygons, func(a, b orb.Point) {
			dx, dy := b[0]-a[0], b[1]-a[1]
			l := math.Hypot(dx, dy)
			if l < shortest {
				return
			}
			at := orb.Point{(a[0]+b[0])/2 + dy/l*beside, (a[1]+b[1])/2 - dx/l*beside}
			for k, q := range patches {
				if k == i || !q.Polygons.Bound().Contains(at) || !covers(q.Polygons, at) {
					continue
				}
				bordering++
				if !sides[side{b, a}] {
					faults = append(faults, fmt.Sprintf("side %v %v of patch %d (kind %d) beside patch %d (kind %d)", a, b, i, p.Kind, k, q.Kind))
				}
			}
		})
	}
	return bordering, faults
}

// parting gives every face one kind of four.
type parting struct{}

func (parting) Face(f *cover.Face, _ float64) cover.Verdict {
	kind := min(f.Visits, 2)
	if f.Labels[0] == cover.None {
		kind = 3
	}
	return cover.Verdict{Kinds: 1 << kind, Label: cover.None}
}

func covers(mp orb.MultiPolygon, at orb.Point) bool {
	in := false
	for _, poly := range mp {
		for _, r := range poly {
			in = in != around(r, at)
		}
	}
	return in
}

func TestPatchesThatBorderShareTheirSides(t *testing.T) {
	bordering := 0
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 5))
		wandered := wander(rng, 60, 2+rng.Float64()*6, 0.3+rng.Float64()*2, rng.Float64()*1.5)
		for name, in := range map[string]cover.Input{
			"wild":     thinScene(seed),
			"wandered": {Swaths: wandered, Layers: []cover.Layer{{square(12, 4)}, {square(7, 1), square(30, 7)}}},
			"crumbs":   {Swaths: crumbs(rng, 6+rng.IntN(14), 1, 0), Layers: []cover.Layer{{square(6, 2)}, {square(4, 1), square(8, 4)}}},
		} {
			res := cover.Sweep(in, func() cover.Judge { return parting{} }, cover.Options{Patches: true})
			n, faults := unshared(res.Patches)
			require.Empty(t, faults, "%s, seed %d", name, seed)
			bordering += n
			for i, p := range res.Patches {
				require.NoError(t, outlineFault(p.Polygons), "%s, seed %d, patch %d", name, seed, i)
			}
		}
	}
	require.Greater(t, bordering, 10000)
}
