package asapplied

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/cover"
	"ratewright/geo/cover/slow"
)

// scene is a piece of driving that tells a right engine from a wrong one.
type scene struct {
	name  string
	drive func(t *testing.T) []*pilot
	// closed checks what is known in closed form.
	closed func(t *testing.T, a Areas)
}

func one(p *pilot) []*pilot { return []*pilot{p} }

var scenes = []scene{
	{"full circle of radius 0.45 widths", func(t *testing.T) []*pilot {
		p := newPilot(t, 20, 4, 0, 0, 0)
		p.record()
		p.arc(9, 360)
		return one(p)
	}, func(t *testing.T, a Areas) {
		// A polygon near the disc of 0.95 widths: nothing is doubled, for the
		// odometer has come 9*2*pi = 56.5 m, and the start is met again after
		// more than 1.6 widths = 32 m only along the last bar.
		require.InDelta(t, math.Pi*19*19, a.Covered, 12)
		require.Positive(t, a.Lapped)
	}},
	{"reversing 40 m with the bar down and going on", func(t *testing.T) []*pilot {
		p := newPilot(t, 12, 1, 0, -60, 0)
		p.record()
		p.straight(60)
		p.straight(-40)
		p.straight(80)
		return one(p)
	}, func(t *testing.T, a Areas) {
		// The spot s metres before the turning point is met again after 2s; a
		// visit is parted from the next by more than 1.6*12 = 19.2 m. Quads are
		// 1 m: from the turn at 60, ground more than 9.6 m back is met twice on
		// the way back, and again on the way on after 2*(40-s).
		require.InDelta(t, 12*100, a.Covered, 1e-6)
		require.InDelta(t, 12*40, a.Lapped+a.Doubled, 1e-6)
		require.Greater(t, a.Doubled, 12*30.0)
	}},
	{"half turn of 0.3 widths", func(t *testing.T) []*pilot {
		p := newPilot(t, 20, 5, 0, -30, 0)
		p.record()
		p.straight(40)
		p.arc(6, 180)
		p.straight(40)
		return one(p)
	}, nil},
	{"three laps without a lift under heading jitter", func(t *testing.T) []*pilot {
		rng := rand.New(rand.NewPCG(11, 5))
		p := newPilot(t, 36, 1, -30, -20, 0)
		p.step = 0.6
		p.jitter = func() float64 { return rng.NormFloat64() * 1.5 }
		p.record()
		for range 3 {
			for range 2 {
				p.straight(9)
				p.arc(20, 90)
				p.straight(6)
				p.arc(20, 90)
			}
		}
		return one(p)
	}, func(t *testing.T, a Areas) {
		require.Greater(t, a.Doubled, 0.97*a.Covered, "each lap goes over the one before")
	}},
	{"keyhole turn", func(t *testing.T) []*pilot {
		p := newPilot(t, 18, 3, 0, -50, 0)
		p.record()
		p.straight(60)
		p.arc(12, -60)
		p.arc(12, 300)
		p.arc(12, -60)
		p.straight(60)
		return one(p)
	}, nil},
	{"spiral headland", func(t *testing.T) []*pilot {
		p := newPilot(t, 12, 2, -60, -60, 0)
		p.record()
		for side := 110.0; side > 20; side -= 12 {
			p.straight(side)
			p.arc(8, 90)
		}
		return one(p)
	}, nil},
	{"sections left on in a U-turn", func(t *testing.T) []*pilot {
		p := newPilot(t, 16, 4, 0, -40, 0)
		p.record()
		p.straight(50)
		p.sections[0], p.sections[3] = false, false
		p.arc(8, 180)
		p.sections[0], p.sections[3] = true, true
		p.straight(50)
		return one(p)
	}, nil},
	{"pivoting on the spot", func(t *testing.T) []*pilot {
		p := newPilot(t, 20, 1, 0, 0, 0)
		p.record()
		p.arc(0, 170)
		p.straight(10)
		return one(p)
	}, nil},
	{"a bar that pivots around its tip", func(t *testing.T) []*pilot {
		p := newPilot(t, 20, 2, 0, 0, 0)
		p.record()
		p.arc(10, 200)
		return one(p)
	}, nil},
	{"standing still between two passes", func(t *testing.T) []*pilot {
		p := newPilot(t, 20, 2, 0, -20, 0)
		p.record()
		p.straight(20)
		for range 50 {
			p.record()
		}
		p.straight(20)
		return one(p)
	}, func(t *testing.T, a Areas) {
		require.InDelta(t, 800, a.Covered, 1e-6)
		require.InDelta(t, 0, a.Doubled+a.Lapped, 1e-6)
	}},
	{"two machines", func(t *testing.T) []*pilot {
		p, q := newPilot(t, 12, 1, 0, -40, 0), newPilot(t, 12, 1, -40, 0, 90)
		p.record()
		p.straight(80)
		q.record()
		q.straight(80)
		return []*pilot{p, q}
	}, func(t *testing.T, a Areas) {
		require.InDelta(t, 2*960-144, a.Covered, 1e-6)
		require.InDelta(t, 144, a.Doubled, 1e-6, "the crossing, whatever the clocks say")
	}},
	{"passes that lap by 0.5 m with a lift between", func(t *testing.T) []*pilot {
		p := newPilot(t, 10, 1, -20, -40, 0)
		p.record()
		p.straight(80)
		p.lift(20)
		p.x, p.heading, p.y = -10.5, 180, 40
		p.odo += 100
		p.last = nil
		p.seconds += 100
		p.record()
		p.straight(80)
		return one(p)
	}, func(t *testing.T, a Areas) {
		require.InDelta(t, 80*0.5, a.Doubled, 1e-6)
		require.InDelta(t, 80*19.5, a.Covered, 1e-6)
	}},
}

func TestScenesAgreeWithTheSlowOracle(t *testing.T) {
	for i, s := range scenes {
		if testing.Short() && i%4 > 0 {
			continue
		}
		t.Run(s.name, func(t *testing.T) {
			pilots := s.drive(t)
			field := boxField(t, testPlane(t), 150, 150)
			in := Input{Field: field, Tolerance: 0.1, HasShallow: true, Shallow: 0.05}
			var sw cover.Input
			var values []swathValue
			for i, p := range pilots {
				in.Drives = append(in.Drives, p.drive(string(rune('a'+i))))
				for _, q := range p.quads {
					q.From += float64(i) * 1e4
					q.To += float64(i) * 1e4
					sw.Swaths = append(sw.Swaths, q)
				}
				values = append(values, p.values...)
			}
			r, err := Reconcile(in)
			require.NoError(t, err)
			f := newField(&in)
			sw.Layers = f.layers()
			std := standard{values: values, tolerance: 0.1, shallowM: 0.05}
			j := std.newJudge().(*judge)
			slow.Sweep(sw, j)
			want := j.row(cover.None).area
			t.Logf("covered %.6f doubled %.6f lapped %.6f missed %.6f", r.Area.Covered, r.Area.Doubled, r.Area.Lapped, r.Area.Missed)
			for i, v := range r.Area.fields() {
				require.InDelta(t, *want.fields()[i], *v, 1e-6, "field %d of Areas", i)
			}
			if s.closed != nil {
				s.closed(t, r.Area)
			}
		})
	}
}
