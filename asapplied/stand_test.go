package asapplied

import (
	"math"
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

// standing is a machine that stands in the middle of a pass for n records, its
// heading at each as told.
func standing(t *testing.T, n int, heading func(i int) float64) Input {
	rng := rand.New(rand.NewPCG(8, 8))
	p := newPilot(t, 20, 2, 0, -20, 0)
	p.record()
	p.straight(20)
	x, y := p.x, p.y
	for i := range n {
		p.x, p.y, p.heading = x+0.03*rng.NormFloat64(), y+0.03*rng.NormFloat64(), heading(i)
		p.record()
	}
	p.x, p.y, p.heading = x, y, 0
	p.straight(20)
	return Input{Field: boxField(t, p.plane, 60, 60), Drives: []Drive{p.drive("m")}, Tolerance: 0.1}
}

// TestAStandingMachineMakesFewSwaths counts the swaths of 50 to 5,000 records logged
// while standing, however the heading wanders.
func TestAStandingMachineMakesFewSwaths(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 8))
	walk := 0.0
	for name, heading := range map[string]func(int) float64{
		"a little":      func(int) float64 { return 1.5 * rng.NormFloat64() },
		"far":           func(int) float64 { return 15 * rng.NormFloat64() },
		"anywhere":      func(int) float64 { return 360 * rng.Float64() },
		"to and fro":    func(i int) float64 { return float64(40 - i*40%81) },
		"slowly around": func(i int) float64 { return 1.2 * float64(i) },
		"as a walk":     func(int) float64 { walk += 3 * rng.NormFloat64(); return walk },
	} {
		t.Run(name, func(t *testing.T) {
			for _, n := range []int{50, 500, 5000} {
				in := standing(t, n, heading)
				ground, err := follow(&in, newField(&in), &counts{dropped: map[string]int{}})
				require.NoError(t, err)
				t.Logf("%d records standing: %d swaths", n, len(ground.swaths))
				require.Less(t, len(ground.swaths), 40+100, "40 of the way, and once around")
				mustReconcile(t, in)
			}
		})
	}
}

// TestATurnOnTheSpotCoversItsDiscOnce turns a bar of 20 m once and a half around:
// it has been over the disc of 10 m once it has gone round.
func TestATurnOnTheSpotCoversItsDiscOnce(t *testing.T) {
	in := standing(t, 108, func(i int) float64 { return 5 * float64(i) })
	r := mustReconcile(t, in)
	disc := 72 * 0.5 * 10 * 10 * math.Sin(5*math.Pi/180)
	require.InDelta(t, 800, r.Area.Covered, 2, "the pass, within which the disc lies")
	// Rate times area, 100 kg/ha: the pass, and each half of the bar once around. A
	// turn and a half would be another disc. The places are 3 cm off.
	require.InDelta(t, (800+2*disc)/100, r.Nitrogen.Applied, 0.4)
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

	off := in
	off.Drives = []Drive{p.drive("m")}
	off.Drives[0].Machine.Behind, off.Drives[0].Machine.Right = unit.Metres(-244), unit.Metres(1)
	_, err = Reconcile(off)
	require.EqualError(t, err, "the bar of machine m is 244 m from the logged position, further than any; correct its place (`bar:`), or the unit it is written in")

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
