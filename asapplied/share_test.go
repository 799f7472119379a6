package asapplied

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/require"

	"ratewright/asapplied/fieldlog"
)

// Ground is missed, light, heavy or unprescribed, never two of them, so where such
// patches border a side of one is a side of the other.
func TestPatchesOfKindsThatExcludeOneAnotherShareTheirSides(t *testing.T) {
	in := madeUp(t, fieldlog.Spec{Records: 3000, Vary: true})
	in.MinPatch = 0
	r, err := Reconcile(in)
	require.NoError(t, err)
	type side struct{ a, b orb.Point }
	sides := map[side]bool{}
	var patches []Patch
	for _, p := range r.Patches {
		switch p.Kind {
		case Missed, Light, Heavy, Unprescribed:
			patches = append(patches, p)
		}
	}
	each := func(see func(i int, s side)) {
		for i, p := range patches {
			for _, poly := range p.Polygons {
				for _, ring := range poly {
					for k := 1; k < len(ring); k++ {
						see(i, side{ring[k-1], ring[k]})
					}
				}
			}
		}
	}
	each(func(_ int, s side) { sides[s] = true })
	bounds := make([]orb.Bound, len(patches))
	for i, p := range patches {
		bounds[i] = p.Polygons.Bound()
	}
	const beside, shortest = 5e-10, 1e-8 // degrees
	bordering := 0
	each(func(i int, s side) {
		dx, dy := s.b[0]-s.a[0], s.b[1]-s.a[1]
		l := math.Hypot(dx, dy)
		if l < shortest {
			return
		}
		at := orb.Point{(s.a[0]+s.b[0])/2 + dy/l*beside, (s.a[1]+s.b[1])/2 - dx/l*beside}
		for k := range patches {
			if k != i && bounds[k].Contains(at) && planar.MultiPolygonContains(patches[k].Polygons, at) {
				bordering++
				require.True(t, sides[side{s.b, s.a}], "side %v of patch %d (%v) beside patch %d (%v)", s, i, patches[i].Kind, k, patches[k].Kind)
			}
		}
	})
	require.Greater(t, bordering, 300)
}
