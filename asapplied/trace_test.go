package asapplied

import (
	"math"
	"testing"
	"unsafe"

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

func TestATraceChangesNothingAndTellsWhatWasPutDown(t *testing.T) {
	in, _ := work(t, 5)
	second := in.Drives[0]
	second.Machine.Name = "n"
	in.Drives = append(in.Drives, second)
	want := mustReconcile(t, in)
	require.Empty(t, want.Trace.Machines)
	in.Trace = true
	got := mustReconcile(t, in)
	trace := got.Trace
	got.Trace = Trace{}
	require.Equal(t, want, got)

	require.Len(t, trace.Machines, 2)
	require.Equal(t, "m", trace.Machines[0].Machine)
	require.Equal(t, "n", trace.Machines[1].Machine)
	require.Zero(t, trace.LeftOut)
	var kg float64
	depths := map[float32]bool{}
	for _, m := range trace.Machines {
		before := m.Strides[0]
		require.Equal(t, float64(in.Drives[0].Log.TimeNS[0])/1e9, before.Time)
		for i := range m.Strides {
			s := &m.Strides[i]
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
	require.LessOrEqual(t, unsafe.Sizeof(Stride{}), uintptr(64))
}

func TestATraceOfALogWithoutValuesOrTimes(t *testing.T) {
	in, _ := work(t, 6)
	log := &in.Drives[0].Log
	log.Rate, log.Depth, log.TimeNS = Lanes{}, Lanes{}, nil
	in.Trace = true
	r := mustReconcile(t, in)
	require.NotEmpty(t, r.Trace.Machines[0].Strides)
	for _, s := range r.Trace.Machines[0].Strides {
		require.True(t, math.IsNaN(s.Time) && math.IsNaN(float64(s.KgHa)) && math.IsNaN(float64(s.DepthM)))
	}
}

func TestATraceOfPolygons(t *testing.T) {
	in, log := polygonLog(t, 10)
	in.Trace = true
	o := log.Polygons[4].Polygons()
	ring := o[0][0]
	n := len(ring) - 1
	middle := orb.Point{(ring[0][0] + ring[1][0]) / 2, (ring[0][1] + ring[1][1]) / 2}
	o[0][0] = append(orb.Ring{middle}, append(ring[1:n:n], ring[0], middle)...) // a corner more
	r := mustReconcile(t, in)
	require.Equal(t, 1, r.Trace.LeftOut)
	require.Len(t, r.Trace.Machines[0].Strides, 9)
	for i, s := range r.Trace.Machines[0].Strides {
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
