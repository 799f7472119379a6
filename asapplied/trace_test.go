package asapplied

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo/cover"
)

// quad64 is the quad of a stride as the sweep would measure it.
func quad64(s *Stride) (q [4]orb.Point) {
	for k, p := range s.Quad {
		q[k] = orb.Point{float64(p[0]), float64(p[1])}
	}
	return q
}

// machineTrace is what a trace told of one machine.
type machineTrace struct {
	machine string
	strides []Stride
}

// traced makes a reconciliation keep what it tells.
func traced(in *Input) *[]machineTrace {
	var all []machineTrace
	in.Trace = func(machine string, s Stride) {
		if n := len(all); n == 0 || all[n-1].machine != machine {
			all = append(all, machineTrace{machine: machine})
		}
		m := &all[len(all)-1]
		m.strides = append(m.strides, s)
	}
	return &all
}

func TestATraceChangesNothingAndTellsWhatWasPutDown(t *testing.T) {
	in, _ := work(t, 5)
	second := in.Drives[0]
	second.Machine.Name = "n"
	in.Drives = append(in.Drives, second)
	want := mustReconcile(t, in)
	trace := traced(&in)
	require.Equal(t, want, mustReconcile(t, in))

	require.Len(t, *trace, 2)
	require.Equal(t, "m", (*trace)[0].machine)
	require.Equal(t, "n", (*trace)[1].machine)
	var kg float64
	depths := map[float32]bool{}
	for _, m := range *trace {
		before := m.strides[0]
		require.Equal(t, float64(in.Drives[0].Log.TimeNS[0])/1e9, before.Time)
		for i := range m.strides {
			s := &m.strides[i]
			require.GreaterOrEqual(t, s.Time, before.Time)
			require.GreaterOrEqual(t, s.From, before.From)
			require.Greater(t, s.To, s.From)
			q := quad64(s)
			kg += float64(s.KgHa) / 1e4 * cover.QuadArea(&q)
			depths[s.DepthM] = true
			before = *s
		}
	}
	require.InEpsilon(t, want.Nitrogen.Applied, kg, 1e-4)
	require.Len(t, depths, 4)
}

func TestATraceOfALogWithoutValuesOrTimes(t *testing.T) {
	in, _ := work(t, 6)
	log := &in.Drives[0].Log
	log.Rate, log.Depth, log.TimeNS = Lanes{}, Lanes{}, nil
	trace := traced(&in)
	mustReconcile(t, in)
	require.NotEmpty(t, (*trace)[0].strides)
	for _, s := range (*trace)[0].strides {
		require.True(t, math.IsNaN(s.Time) && math.IsNaN(float64(s.KgHa)) && math.IsNaN(float64(s.DepthM)))
	}
}

func TestATraceOfPolygons(t *testing.T) {
	in, log := polygonLog(t, 10)
	trace := traced(&in)
	o := log.Polygons[4].Polygons()
	ring := o[0][0]
	n := len(ring) - 1
	middle := orb.Point{(ring[0][0] + ring[1][0]) / 2, (ring[0][1] + ring[1][1]) / 2}
	o[0][0] = append(orb.Ring{middle}, append(ring[1:n:n], ring[0], middle)...) // a corner more
	r := mustReconcile(t, in)
	require.Equal(t, 1, r.NotTraced)
	require.Len(t, (*trace)[0].strides, 9)
	for i, s := range (*trace)[0].strides {
		n := float64(i)
		if i > 3 {
			n++
		}
		for k, want := range []orb.Point{{0, 10 * n}, {10, 10 * n}, {10, 10*n + 10}, {0, 10*n + 10}} {
			require.InDelta(t, want[0], s.Quad[k][0], 1e-3)
			require.InDelta(t, want[1], s.Quad[k][1], 1e-3)
		}
		require.InEpsilon(t, 36, s.KgHa, 1e-4, "0.36 kg on 100 m2")
		require.Equal(t, n, s.Time)
	}
}
