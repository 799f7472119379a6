package asapplied

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// TestMachineThatStandsStaysInOnePlace lets a machine stand in the middle of a
// pass with its sections on, its position wandering by centimetres and its
// heading by degrees.
func TestMachineThatStandsStaysInOnePlace(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	p := newPilot(t, 20, 2, 0, -20, 0)
	p.record()
	p.straight(20)
	x, y := p.x, p.y
	p.jitter = func() float64 { return 1.5 * rng.NormFloat64() }
	for range 3000 {
		p.x, p.y = x+0.03*rng.NormFloat64(), y+0.03*rng.NormFloat64()
		p.record()
	}
	p.jitter = func() float64 { return 0 }
	p.x, p.y = x, y
	p.straight(20)
	r := mustReconcile(t, Input{Field: boxField(t, p.plane, 60, 60), Drives: []Drive{p.drive("m")}, Tolerance: 0.1})
	require.InDelta(t, 800, r.Area.Covered, 4, "two times 20 m of 20 m")
	require.InDelta(t, 0, r.Area.Doubled, 4)
	require.Equal(t, 3041-1, r.Records.Used, "all but the last record")
}

func TestWidthsThatNoBarHasAreRefusedOrNoted(t *testing.T) {
	p := newPilot(t, 20, 2, 0, -20, 0)
	p.record()
	p.straight(40)
	in := Input{Field: boxField(t, p.plane, 60, 60), Drives: []Drive{p.drive("m")}, Tolerance: 0.1}
	want := mustReconcile(t, in)

	wide := in
	wide.Drives = []Drive{p.drive("m")}
	wide.Drives[0].Machine.Width = unit.Metres(18288)
	_, err := Reconcile(wide)
	require.EqualError(t, err, "machine m is 18288 m wide, wider than any bar; correct its width, or the unit it is written in")

	one := in
	one.Drives = []Drive{p.drive("m")}
	one.Drives[0].Log.Width = make([]float64, p.log.Len())
	for i := range one.Drives[0].Log.Width {
		one.Drives[0].Log.Width[i] = 20
	}
	one.Drives[0].Log.Width[7] = 200
	got := mustReconcile(t, one)
	require.Equal(t, want.Area, got.Area)
	require.Contains(t, got.Notes, "1 records say a working width that their machine cannot have; the machine's own was taken, or the record left out. See that the column's unit is right.")
}

func TestDerivedHeadingsAreNoted(t *testing.T) {
	p := newPilot(t, 20, 2, 0, -20, 0)
	p.record()
	p.straight(40)
	p.log.Heading = nil
	r := mustReconcile(t, Input{Field: boxField(t, p.plane, 60, 60), Drives: []Drive{p.drive("m")}, Tolerance: 0.1})
	require.InDelta(t, 800, r.Area.Covered, 1e-3)
	require.Contains(t, r.Notes[len(r.Notes)-3], "41 records have no heading")
}
