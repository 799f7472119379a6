package cover_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo/cover"
	"ratewright/geo/cover/slow"
)

// rig is a bar that moves in the ways that make a sweep's life hard.
type rig struct {
	rng         *rand.Rand
	x, y, h     float64 // h in radians, mathematical
	width, unit float64
	edges       []float64 // fractions at which sections meet; equal ones make a section of no width
	odo         float64
	out         []cover.Swath
	left, right orb.Point
	before      int // where the swaths of the step before begin
}

func newRig(rng *rand.Rand) *rig {
	r := &rig{rng: rng, width: 4 + 6*rng.Float64(), edges: []float64{0, 0.25, 0.25, 0.6, 1}}
	r.unit = 1.6 * r.width
	// Round places put edges on one another.
	r.x, r.y = math.Round(rng.Float64()*8-4), math.Round(rng.Float64()*8-4)
	r.h = math.Pi / 2 * float64(rng.IntN(4))
	r.place()
	r.before = 0
	return r
}

func (r *rig) place() {
	dx, dy := math.Cos(r.h)*r.width/2, math.Sin(r.h)*r.width/2
	r.left, r.right = orb.Point{r.x - dy, r.y + dx}, orb.Point{r.x + dy, r.y - dx}
}

// step moves the bar and covers the ground with the sections that are on.
func (r *rig) step(d, turn float64) {
	l, q := r.left, r.right
	r.h += turn
	r.x += d * math.Cos(r.h)
	r.y += d * math.Sin(r.h)
	r.place()
	from, to := r.odo/r.unit, (r.odo+math.Abs(d))/r.unit
	r.odo += math.Abs(d)
	at := func(a, b orb.Point, f float64) orb.Point {
		return orb.Point{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])}
	}
	first := len(r.out)
	for i := 1; i < len(r.edges); i++ {
		if r.rng.IntN(6) == 0 {
			continue
		}
		a, b := r.edges[i-1], r.edges[i]
		s := cover.Swath{Quad: [4]orb.Point{at(l, q, a), at(l, q, b), at(r.left, r.right, b), at(r.left, r.right, a)}, From: from, To: to}
		for k := r.before; k < first; k++ {
			if r.out[k].Quad[3] == s.Quad[0] && r.out[k].Quad[2] == s.Quad[1] {
				s.Follows = int32(len(r.out) - k)
			}
		}
		r.out = append(r.out, s)
	}
	r.before = first
}

// wild drives n moves: ahead on round steps, turns, standing, reversing, pivots on
// the spot and around a tip, full circles, and lifts.
func (r *rig) wild(n int) {
	for range n {
		switch r.rng.IntN(9) {
		case 0, 1, 2:
			r.step(2, 0)
		case 3:
			r.step(1+r.rng.Float64(), r.rng.Float64()-0.5)
		case 4:
			r.step(0, 0) // standing
		case 5:
			for range 4 {
				r.step(-1, 0)
			}
		case 6:
			for range 6 {
				r.step(0, 0.2) // on the spot
			}
		case 7:
			radius := r.width / 2 * []float64{1, 0.9, 2}[r.rng.IntN(3)] // around a tip, folded, wide
			for range 24 {
				a := 2 * math.Pi / 24
				r.step(2*radius*math.Sin(a/2), a)
			}
		case 8:
			r.odo += 10 * r.unit
			r.x, r.y = math.Round(r.rng.Float64()*12-6), math.Round(r.rng.Float64()*12-6)
			r.h = math.Pi / 2 * float64(r.rng.IntN(4))
			r.place()
			r.before = len(r.out)
		}
	}
}

func TestSweepOnHardScenesAgreesWithTheSlowOracle(t *testing.T) {
	lapped := 0.0
	for seed := range uint64(60) {
		r := newRig(rand.New(rand.NewPCG(seed, 77)))
		r.wild(12)
		in := cover.Input{
			Swaths: r.out,
			Layers: []cover.Layer{{square(9, 2)}, {square(5, 1), square(20, 5)}},
		}
		for _, patches := range []bool{false, true} {
			got, res := measure(in, cover.Options{Patches: patches})
			var want tally
			slow.Sweep(in, &want)
			require.InDeltaSlicef(t, want.all(), got.all(), 1e-7, "seed %d", seed)
			if patches {
				checkPatches(t, res, got)
			}
			lapped += got.lapped
		}
	}
	require.Positive(t, lapped)
}

// toAndFro are the quads of a bar that drives north in steps of 0.2 m and turns to one
// side and the other by about 60 degrees: their lobes lie over one another dozens of
// times, and their sides run along one line.
func toAndFro(rng *rand.Rand, n int) (out []cover.Swath) {
	const half, step = 5.0, 0.2
	bar := func(i int) (left, right orb.Point) {
		turn := math.Pi / 3 * float64(1-2*(i%2))
		if i%7 == 3 {
			turn += 0.02 * rng.NormFloat64()
		}
		sin, cos := math.Sincos(turn)
		y := float64(i) * step
		return orb.Point{-half * cos, y - half*sin}, orb.Point{half * cos, y + half*sin}
	}
	left, right := bar(0)
	for i := 1; i <= n; i++ {
		l, r := bar(i)
		s := cover.Swath{Quad: [4]orb.Point{left, right, r, l}, From: float64(i-1) * step / 16, To: float64(i) * step / 16}
		if i > 1 {
			s.Follows = 1
		}
		out, left, right = append(out, s), l, r
	}
	return out
}

// sheaf are long quads, nearly upright, that all cross one another near one place: no
// side ends there, so that one strip has hundreds of crossings.
func sheaf(rng *rand.Rand, n int) (out []cover.Swath) {
	for i := range n {
		lean, x := 0.1*rng.NormFloat64(), 0.3*rng.NormFloat64()
		out = append(out, cover.Swath{
			Quad: [4]orb.Point{{x - 20*lean, -20}, {x - 20*lean + 0.5, -20}, {x + 20*lean + 0.5, 20}, {x + 20*lean, 20}},
			From: 1.5 * float64(i), To: 1.5*float64(i) + 1,
		})
	}
	return out
}

func TestBarsToAndFroAgreeWithTheSlowOracle(t *testing.T) {
	for seed := range uint64(4) {
		rng := rand.New(rand.NewPCG(seed, 9))
		swaths := sheaf(rng, 16)
		if seed%2 == 0 {
			swaths = toAndFro(rng, 40)
		}
		in := cover.Input{
			Swaths: swaths,
			Layers: []cover.Layer{{square(9, 2)}, {square(5, 1), square(20, 5)}},
		}
		for _, patches := range []bool{false, true} {
			got, res := measure(in, cover.Options{Patches: patches})
			var want tally
			slow.Sweep(in, &want)
			require.InDeltaSlicef(t, want.all(), got.all(), 1e-7, "seed %d", seed)
			require.Positive(t, got.lapped+got.twice)
			if patches {
				checkPatches(t, res, got)
			}
		}
	}
}

func TestNumberOfWorkersChangesNothing(t *testing.T) {
	r := newRig(rand.New(rand.NewPCG(3, 4)))
	r.wild(60)
	in := cover.Input{Swaths: r.out, Layers: []cover.Layer{{square(9, 2)}}}
	want, wantRes := measure(in, cover.Options{Patches: true, Workers: 1})
	for _, n := range []int{2, 3, 8} {
		got, res := measure(in, cover.Options{Patches: true, Workers: n})
		require.Equal(t, want, got)
		require.Equal(t, wantRes.Patches, res.Patches)
		require.Equal(t, wantRes.Small, res.Small)
	}
}

// TestDeepGroundIsAddedUpInParts lays more swaths over one another than a block keeps
// states for: ground k deep is k - 1 steps of 1 cm from either end.
func TestDeepGroundIsAddedUpInParts(t *testing.T) {
	const n, step = 600, 0.01
	var stack []cover.Swath
	for k := range n {
		x, y := 1+float64(k)*step, float64(k)*step/20
		stack = append(stack, cover.Swath{
			Quad: [4]orb.Point{{x, y}, {x + 6, y + 0.3}, {x + 6, y + 1.3}, {x, y + 1}}, From: 10 * float64(k), To: 10 * float64(k),
		})
	}
	for _, patches := range []bool{false, true} {
		got, res := measure(cover.Input{Swaths: stack, Layers: []cover.Layer{{square(40, 1e-3)}}}, cover.Options{Patches: patches})
		require.InDelta(t, 2*step, got.once, 1e-9)
		require.InDelta(t, 6+(n-1)*step-2*step, got.twice, 1e-9)
		if !patches {
			continue
		}
		var twice float64
		for _, p := range res.Patches {
			if p.Kind == kindTwice {
				twice += p.AreaM2
				require.InDelta(t, p.AreaM2, outlined(p), 1e-3)
			}
		}
		require.InDelta(t, got.twice, twice, 1e-9)
	}
}

// TestASquareThatTurnsIsAddedUpInParts turns a square about its middle, so that sides
// cross at thousands of places and ground lies as deep as there are squares. What they
// cover is, around each of their corners, a little of a square:
// 4 n r^2 (tan 45 deg - tan(45 deg - 45 deg / n)) in all.
func TestASquareThatTurnsIsAddedUpInParts(t *testing.T) {
	const n, r = 110, 6.0
	var turned []cover.Swath
	for k := range n {
		var q [4]orb.Point
		for i := range q {
			sin, cos := math.Sincos(math.Pi/2*(float64(k)/n+float64(i)) + 0.1)
			q[i] = orb.Point{13 + math.Sqrt2*r*cos, 14 + math.Sqrt2*r*sin}
		}
		turned = append(turned, cover.Swath{Quad: q, From: 10 * float64(k), To: 10 * float64(k)})
	}
	want := 4 * n * r * r * (1 - math.Tan(math.Pi/4-math.Pi/4/n))
	for _, patches := range []bool{false, true} {
		got, res := measure(cover.Input{Swaths: turned, Layers: []cover.Layer{{square(40, 1e-3)}}}, cover.Options{Patches: patches})
		require.InDelta(t, want, got.once+got.twice, 1e-9)
		if !patches {
			continue
		}
		laid := got.once
		for _, p := range res.Patches {
			if p.Kind == kindTwice {
				laid += p.Amounts[0]
			}
		}
		laid += res.Small[kindTwice].Amounts[0]
		require.InDelta(t, n*4*r*r, laid, 1e-8)
	}
}

func TestEmptyInputGivesNothing(t *testing.T) {
	res := cover.Sweep(cover.Input{}, func() cover.Judge { return &tally{} }, cover.Options{Patches: true})
	require.Empty(t, res.Judges)
	require.Empty(t, res.Patches)
}

func TestPatchesAreConnectedAreas(t *testing.T) {
	var circle []cover.Swath
	// A ring between the radii 18 and 22.
	for k := range 240 {
		a0, a1 := 2*math.Pi*float64(k)/240, 2*math.Pi*float64(k+1)/240
		at := func(radius, a float64) orb.Point { return orb.Point{radius * math.Cos(a), radius * math.Sin(a)} }
		circle = append(circle, cover.Swath{
			Quad: [4]orb.Point{at(18, a0), at(22, a0), at(22, a1), at(18, a1)}, From: 100 + float64(k), To: 100 + float64(k),
		})
	}
	_, res := measure(cover.Input{Swaths: circle, Layers: []cover.Layer{{square(40, 1)}}}, cover.Options{Patches: true, MinPatchM2: 0.5})
	var bare []cover.Patch
	for _, p := range res.Patches {
		if p.Kind == kindBare {
			bare = append(bare, p)
		}
	}
	require.Len(t, bare, 2, "the ground around the ring and the ground within it")
	require.Len(t, bare[0].Polygons, 1)
	require.Len(t, bare[0].Polygons[0], 2, "around: one shell with the ring as its hole")
	require.Len(t, bare[1].Polygons[0], 2, "within: the disc with the hole of the field")
	for _, p := range bare {
		require.InDelta(t, p.AreaM2, outlined(p), 1e-2)
	}
}

// outlined is the area within the outline of a patch.
func outlined(p cover.Patch) (m2 float64) {
	for _, poly := range p.Polygons {
		for _, ring := range poly {
			m2 += area(ring)
		}
	}
	return m2
}
