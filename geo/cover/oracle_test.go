package cover_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo/cover"
	"ratewright/geo/cover/slow"
)

// tally is the judge of these tests: areas by layer-0 label and number of
// visits, the sum of swath numbers over faces, and two kinds.
type tally struct {
	once, twice, lapped, bare, outside float64
}

const (
	kindBare = iota
	kindTwice
	kindOutside
)

func (t *tally) Face(f *cover.Face, a float64) cover.Verdict {
	v := cover.Verdict{Label: f.Labels[1], Amounts: [2]float64{float64(swathsOver(f)), 1}}
	switch {
	case f.Labels[0] == cover.None && f.Visits == 0:
	case f.Labels[0] == cover.None:
		t.outside += a
		v.Kinds = 1 << kindOutside
	case f.Visits == 0:
		t.bare += a
		v.Kinds = 1 << kindBare
	case f.Visits == 1:
		t.once += a
		if swathsOver(f) > 1 {
			t.lapped += a
		}
	default:
		t.twice += a
		v.Kinds = 1 << kindTwice
	}
	return v
}

func (t *tally) add(o *tally) {
	t.once += o.once
	t.twice += o.twice
	t.lapped += o.lapped
	t.bare += o.bare
	t.outside += o.outside
}

func (t tally) all() []float64 { return []float64{t.once, t.twice, t.lapped, t.bare, t.outside} }

func measure(in cover.Input, o cover.Options) (tally, cover.Result) {
	r := cover.Sweep(in, func() cover.Judge { return &tally{} }, o)
	var t tally
	for _, j := range r.Judges {
		t.add(j.(*tally))
	}
	return t, r
}

// square is a field of the given half side around the origin, with a square hole.
func square(half, hole float64) orb.MultiPolygon {
	box := func(h float64) orb.Ring {
		return orb.Ring{{-h, -h}, {h, -h}, {h, h}, {-h, h}, {-h, -h}}
	}
	in := box(hole)
	slices.Reverse(in)
	return orb.MultiPolygon{{box(half), in}}
}

// wander drives a bar about at random and returns its quads.
func wander(rng *rand.Rand, n int, width, step, turn float64) []cover.Swath {
	var out []cover.Swath
	x, y, h := rng.Float64()*20-10, rng.Float64()*20-10, rng.Float64()*2*math.Pi
	bar := func() (l, r orb.Point) {
		dx, dy := math.Cos(h)*width/2, math.Sin(h)*width/2
		return orb.Point{x - dy, y + dx}, orb.Point{x + dy, y - dx}
	}
	l, r := bar()
	var odo float64
	var follows int32
	for range n {
		h += (rng.Float64() - 0.5) * turn
		d := step * (0.2 + rng.Float64())
		x += d * math.Cos(h)
		y += d * math.Sin(h)
		nl, nr := bar()
		out = append(out, cover.Swath{
			Quad: [4]orb.Point{l, r, nr, nl},
			From: odo / (1.6 * width), To: (odo + d) / (1.6 * width), Follows: follows,
		})
		follows = 1
		odo += d
		l, r = nl, nr
	}
	return out
}

func TestSweepAgreesWithTheSlowOracle(t *testing.T) {
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 7))
		in := cover.Input{
			Swaths: wander(rng, 40, 2+rng.Float64()*6, 0.3+rng.Float64()*2, rng.Float64()*1.5),
			Layers: []cover.Layer{{square(12, 4)}, {square(7, 1), square(30, 7)}},
		}
		got, res := measure(in, cover.Options{Patches: true})
		var want tally
		slow.Sweep(in, &want)
		require.InDeltaSlicef(t, want.all(), got.all(), 1e-8, "seed %d", seed)
		checkPatches(t, res, got)
	}
}

// area is the signed area of a closed ring.
func area(r orb.Ring) float64 {
	var a float64
	for i := 1; i < len(r); i++ {
		a += (r[i-1][0]*r[i][1] - r[i][0]*r[i-1][1]) / 2
	}
	return a
}

// swathsOver is the number of swaths over a face.
func swathsOver(f *cover.Face) int {
	n := 0
	for _, o := range f.Over {
		n += int(o.Times)
	}
	return n
}

type faulty struct{}

func (faulty) Face(*cover.Face, float64) cover.Verdict { panic("a fault in a judge") }

func TestFaultInAWorkerReachesTheCaller(t *testing.T) {
	in := cover.Input{Layers: []cover.Layer{{square(12, 4)}}}
	require.Panics(t, func() { cover.Sweep(in, func() cover.Judge { return faulty{} }, cover.Options{}) })
}

// checkPatches holds the outlines against the sums.
func checkPatches(t *testing.T, res cover.Result, want tally) {
	t.Helper()
	var exact, drawn [3]float64
	for _, p := range res.Patches {
		exact[p.Kind] += p.AreaM2
		for _, poly := range p.Polygons {
			for i, r := range poly {
				a := area(r)
				require.Equal(t, i == 0, a > 0, "shells turn left, holes right")
				drawn[p.Kind] += a
			}
		}
	}
	for k, s := range res.Small {
		exact[k] += s.AreaM2
	}
	all := []float64{want.bare, want.twice, want.outside}
	require.InDeltaSlice(t, all, exact[:], 1e-8, "the sums of patches are the totals")
	require.InDeltaSlice(t, all, drawn[:], 2e-3, "the outlines enclose the totals")
}
