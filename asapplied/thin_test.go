package asapplied

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// flowing gives the log of a pilot a flow in place of its rate.
func flowing(p *pilot, rng *rand.Rand) {
	p.log.Rate = Lanes{}
	for range p.log.Len() {
		p.log.Flow = append(p.log.Flow, 0.2+rng.Float64())
	}
}

// TestFlowIsNeverLost drives with headings that are a right angle off, by next to
// nothing or a little more, on bars of every width: what the flow measured is in
// the field, outside, off limits or standing, whatever ground there is for it.
func TestFlowIsNeverLost(t *testing.T) {
	for seed := range uint64(24) {
		rng := rand.New(rand.NewPCG(seed, 11))
		p := newPilot(t, 0.2+30*rng.Float64(), 1+rng.IntN(6), -20, -60, 0)
		p.step = 0.3 + 3*rng.Float64()
		if rng.IntN(2) == 0 {
			p.heading = 360 * rng.Float64()
		}
		kind := rng.IntN(4)
		p.jitter = func() float64 {
			off := 90.0
			switch kind {
			case 1: // as near as makes no difference
				off += math.Pow(10, -12+11*rng.Float64())
			case 2: // about where ground is too thin
				off += 0.1 * (rng.Float64() - 0.5) / p.step
			case 3: // now and then right
				if rng.IntN(3) > 0 {
					off = 0
				}
			}
			return off
		}
		for pass := range 3 {
			p.record()
			for range 10 {
				for i := range p.sections {
					p.sections[i] = i == 0 || rng.IntN(4) > 0
				}
				p.straight(10)
			}
			p.lift(2)
			p.x, p.y = -20+12*float64(pass+1)+rng.Float64(), -60
			p.seconds += 60
		}
		flowing(p, rng)
		square := make([]float64, p.log.Len())
		for i := range square {
			square[i] = p.heading
		}
		f := boxField(t, p.plane, 30, 45)
		f.OffLimits = region(t, p.plane, -10, -10, 5, 8)
		in := Input{Field: f, Drives: []Drive{p.drive("m")}, Tolerance: 0.1, NoPatches: true}
		r, err := Reconcile(in)
		if kind == 0 {
			require.ErrorContains(t, err, "no record of the log covers ground", "seed %d", seed)
			require.ErrorContains(t, err, "Machine m: on 100 % of its way the bar stands along the way")
			continue
		}
		if err != nil { // all as thin as that
			require.ErrorContains(t, err, "bar stands along the way", "seed %d", seed)
			continue
		}
		n := r.Nitrogen
		require.InDelta(t, n.Applied, n.InField+n.Outside+n.OffLimits+n.Standing, 1e-9*n.Applied, "seed %d", seed)
		p.log.Heading = square // headings say where it went, not how much it was
		in.Drives = []Drive{p.drive("m")}
		right, err := Reconcile(in)
		require.NoError(t, err)
		require.InDelta(t, right.Nitrogen.Applied, n.Applied, 1e-9*n.Applied, "seed %d", seed)
	}
}

// TestBarAlongItsWayIsNoted turns the headings of a log with rates and of one of
// coverage alone.
func TestBarAlongItsWayIsNoted(t *testing.T) {
	for _, off := range []float64{0, 40, 50, 62, 90, 118, 130, 180, 270} {
		p := newPilot(t, 20, 2, 0, -20, 0)
		p.jitter = func() float64 { return off }
		p.record()
		p.straight(40)
		in := Input{Field: boxField(t, p.plane, 60, 60), Drives: []Drive{p.drive("m")}, Tolerance: 0.1}
		along := math.Abs(math.Mod(off, 180)-90) < 30
		for range 2 {
			r := mustReconcile(t, in)
			if along {
				require.Contains(t, r.Notes[0], "Machine m: on 100 % of its way the bar stands along the way", "off by %v", off)
			} else {
				require.NotContains(t, r.Notes[0], "along the way", "off by %v", off)
			}
			in.Drives[0].Log.Rate, in.Drives[0].Log.Depth = Lanes{}, Lanes{}
		}
	}
}

// TestPolygonsTooThinForAFlow makes one of ten polygons of a flow a sliver.
func TestPolygonsTooThinForAFlow(t *testing.T) {
	for _, thick := range []float64{1e-8, 1e-6, 0.9e-3, 1.1e-3, 0.1} {
		in, log := polygonLog(t, 10)
		p := testPlane(t)
		sliver := region(t, p, 0, 30, 10, 30+thick)
		log.Polygons[3] = sliver.Outline()
		in.Drives[0].Log = *log
		r := mustReconcile(t, in) // thinner ones have no area in degrees, and are refused
		require.InDelta(t, 3.6, r.Nitrogen.Applied, 1e-9)
		if thick > thinM {
			require.Zero(t, r.Nitrogen.Standing)
			require.Equal(t, 10, r.Records.Used)
		} else {
			require.InDelta(t, 0.36, r.Nitrogen.Standing, 1e-12, "%v", thick)
			require.Equal(t, map[string]int{DropNoGround: 1}, r.Records.Dropped)
		}
	}
}
