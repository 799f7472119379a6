package asapplied

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestLeftStaysLeftWhereTheMachineBacks drives with the left of four sections on:
// ahead, a stop that makes a gap, back and ahead again. Without logged headings
// and with some of them the covered strip is the same.
func TestLeftStaysLeftWhereTheMachineBacks(t *testing.T) {
	p := newPilot(t, 12, 4, 0, -60, 0)
	p.sections = []bool{true, false, false, false}
	p.record()
	p.straight(40)
	p.seconds += 60
	p.straight(-40)
	p.straight(100)
	in := Input{Field: boxField(t, p.plane, 80, 80), Drives: []Drive{p.drive("m")}, Tolerance: 0.1}
	want := mustReconcile(t, in)
	require.InDelta(t, 300, want.Area.Covered, 4, "a strip of 3 m over 100 m")

	for name, keep := range map[string]func(i int) bool{
		"none logged":      func(int) bool { return false },
		"every tenth":      func(i int) bool { return i%10 == 0 },
		"all but one back": func(i int) bool { return i != 60 },
	} {
		d := p.drive("m")
		d.Log.Heading = slices.Clone(d.Log.Heading)
		for i := range d.Log.Heading {
			if !keep(i) {
				d.Log.Heading[i] = math.NaN()
			}
		}
		in.Drives = []Drive{d}
		got := mustReconcile(t, in)
		require.InDelta(t, want.Area.Covered, got.Area.Covered, 1e-3, name)
	}
}

func TestRateThatIsMissingInPartOfTheBarIsNoRate(t *testing.T) {
	p := newPilot(t, 12, 4, 0, -20, 0)
	p.record()
	p.straight(40)
	d := p.drive("m")
	d.Log.Rate = Lanes{N: 4}
	for i := range p.log.Len() {
		d.Log.Rate.V = append(d.Log.Rate.V, 100, 100, 100, 100)
		if i == 20 {
			d.Log.Rate.V[4*i+1] = math.NaN()
		}
	}
	r := mustReconcile(t, Input{Field: boxField(t, p.plane, 60, 60), Drives: []Drive{d}, Tolerance: 0.1})
	require.InDelta(t, 480, r.Area.Covered, 1e-6, "the record before holds")
	require.Equal(t, 1, r.Records.Dropped[DropNoRate])
}

// polygonLog is a log of squares of 10 m side by side to the north, one a second.
func polygonLog(t *testing.T, n int) (Input, *Log) {
	t.Helper()
	p := testPlane(t)
	log := Log{Files: []string{"polygons"}, Read: n}
	for i := range n {
		r := region(t, p, 0, 10*float64(i), 10, 10*float64(i+1))
		o := r.Outline()
		b, _ := o.Bounds()
		log.Polygons = append(log.Polygons, o)
		log.Lon, log.Lat = append(log.Lon, b.Center()[0]), append(log.Lat, b.Center()[1])
		log.File, log.Line = append(log.File, 0), append(log.Line, int32(i+1))
		log.TimeNS = append(log.TimeNS, int64(i)*1e9)
		log.Flow = append(log.Flow, 0.36)
	}
	f := boxField(t, p, 100, 200)
	return Input{Field: f, Drives: []Drive{{Log: log, Machine: Machine{Name: "m", Width: 10}}}, Tolerance: 0.1}, &log
}

func TestPolygonsWithAFlow(t *testing.T) {
	in, log := polygonLog(t, 10)
	r := mustReconcile(t, in)
	require.InDelta(t, 1000, r.Area.Covered, 1e-3)
	require.InDelta(t, 3.6, r.Nitrogen.Applied, 1e-9, "flow times a second each")

	log.TimeNS = nil
	in.Drives[0].Log = *log
	r = mustReconcile(t, in)
	require.False(t, r.Known.Nitrogen)
	require.Contains(t, r.Notes[1], "The log has a flow but neither time nor duration")
}
