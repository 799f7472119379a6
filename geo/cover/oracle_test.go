package cover

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
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

func (t *tally) Face(f *Face, a float64) Verdict {
	v := Verdict{Label: f.Labels[1], Amounts: [2]float64{float64(len(f.Swaths)), 1}}
	switch {
	case f.Labels[0] == None && f.Visits == 0:
	case f.Labels[0] == None:
		t.outside += a
		v.Kinds = 1 << kindOutside
	case f.Visits == 0:
		t.bare += a
		v.Kinds = 1 << kindBare
	case f.Visits == 1:
		t.once += a
		if len(f.Swaths) > 1 {
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

func measure(in Input, o Options) (tally, Result) {
	r := Sweep(in, func() Judge { return &tally{} }, o)
	var t tally
	for _, j := range r.Judges {
		t.add(j.(*tally))
	}
	return t, r
}

// oracle measures the same in another way: rows exact in x, with windings of
// whole outlines counted along each row, and Gauss-Legendre heights between all
// heights at which any edge ends or any two edges cross. On such a stretch every
// width is linear in y, so one height in the middle is exact.
func oracle(in Input) tally {
	type side struct {
		a, b  orb.Point
		swath int // or -1
		label [2]int
	}
	var sides []side
	for i := range in.Swaths {
		in.Swaths[i].eachEdge(func(a, b orb.Point) { sides = append(sides, side{a, b, i, [2]int{}}) })
	}
	for l, layer := range in.Layers {
		for k, mp := range layer {
			for _, p := range mp {
				for _, r := range p {
					eachRingEdge(r, func(a, b orb.Point) { sides = append(sides, side{a, b, -1, [2]int{l, k}}) })
				}
			}
		}
	}
	var ys []float64
	for i, s := range sides {
		ys = append(ys, s.a[1], s.b[1])
		for _, o := range sides[:i] {
			if p, ok := crossing(s.a, s.b, o.a, o.b); ok {
				ys = append(ys, p[1])
			}
		}
	}
	slices.Sort(ys)
	var t tally
	for i := 1; i < len(ys); i++ {
		h := ys[i] - ys[i-1]
		if h <= 0 {
			continue
		}
		y := (ys[i] + ys[i-1]) / 2
		type hit struct {
			x float64
			w int
			s side
		}
		var hits []hit
		for _, s := range sides {
			if (s.a[1] > y) == (s.b[1] > y) {
				continue
			}
			w := 1
			if s.b[1] > s.a[1] {
				w = -1
			}
			hits = append(hits, hit{s.a[0] + (y-s.a[1])/(s.b[1]-s.a[1])*(s.b[0]-s.a[0]), w, s})
		}
		slices.SortFunc(hits, func(a, b hit) int {
			if a.x < b.x {
				return -1
			}
			return 1
		})
		wind := map[int]int{}
		lab := map[[2]int]int{}
		for j, q := range hits {
			if q.s.swath >= 0 {
				wind[q.s.swath] += q.w
			} else {
				lab[q.s.label] += q.w
			}
			if j+1 == len(hits) {
				break
			}
			area := (hits[j+1].x - q.x) * h
			var over []int
			for s, w := range wind {
				if w != 0 {
					over = append(over, s)
				}
			}
			slices.Sort(over)
			n, end := 0, math.Inf(-1)
			for _, s := range over {
				if n == 0 || in.Swaths[s].From-end > 1 {
					n++
				}
				end = math.Max(end, in.Swaths[s].To)
			}
			inField := lab[[2]int{0, 0}] != 0
			switch {
			case !inField && n > 0:
				t.outside += area
			case !inField:
			case n == 0:
				t.bare += area
			case n == 1:
				t.once += area
				if len(over) > 1 {
					t.lapped += area
				}
			default:
				t.twice += area
			}
		}
	}
	return t
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
func wander(rng *rand.Rand, n int, width, step, turn float64) []Swath {
	var out []Swath
	x, y, h := rng.Float64()*20-10, rng.Float64()*20-10, rng.Float64()*2*math.Pi
	bar := func() (l, r orb.Point) {
		dx, dy := math.Cos(h)*width/2, math.Sin(h)*width/2
		return orb.Point{x - dy, y + dx}, orb.Point{x + dy, y - dx}
	}
	l, r := bar()
	var odo float64
	for range n {
		h += (rng.Float64() - 0.5) * turn
		d := step * (0.2 + rng.Float64())
		x += d * math.Cos(h)
		y += d * math.Sin(h)
		nl, nr := bar()
		out = append(out, Swath{
			Quad: [4]orb.Point{l, r, nr, nl},
			From: odo / (1.6 * width), To: (odo + d) / (1.6 * width),
		})
		odo += d
		l, r = nl, nr
	}
	return out
}

func TestSweepAgreesWithTheSlowOracle(t *testing.T) {
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 7))
		in := Input{
			Swaths: wander(rng, 40, 2+rng.Float64()*6, 0.3+rng.Float64()*2, rng.Float64()*1.5),
			Layers: []Layer{{square(12, 4)}, {square(7, 1), square(30, 7)}},
		}
		got, res := measure(in, Options{Patches: true})
		want := oracle(in)
		require.InDeltaSlicef(t, want.all(), got.all(), 1e-8, "seed %d", seed)
		checkPatches(t, res, got)
	}
}

// checkPatches holds the outlines against the sums.
func checkPatches(t *testing.T, res Result, want tally) {
	t.Helper()
	var exact, drawn [3]float64
	for _, p := range res.Patches {
		exact[p.Kind] += p.AreaM2
		for _, poly := range p.Polygons {
			for i, r := range poly {
				a := ringArea(r)
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
