package asapplied

import (
	"math"

	"github.com/paulmach/orb"

	"ratewright/geo/cover"
)

// Stride is a swath in short, for drawing. No figure comes from it.
type Stride struct {
	// Quad has the corners back left, back right, front right, front left, in metres
	// of the field's plane. It may be folded.
	Quad [4][2]float32
	// From and To are its stretch of the odometer, in units of the distance that
	// parts two visits.
	From, To float64
	Time     float64 // of its record, seconds since 1970 UTC; NaN without
	KgHa     float32 // N put down, kg/ha; NaN unknown
	DepthM   float32 // NaN unknown
}

// tracer notes on the way what a swath does not say: when it was covered, and by
// which machine. A nil one notes nothing.
type tracer struct {
	times    []float64 // of each swath, as in Stride
	machines []tracedMachine
	began    float64 // time of the present track's first record
}

type tracedMachine struct {
	name  string
	first int // of its swaths
}

// begin says that the swaths from first on are of a track.
func (tr *tracer) begin(t *track, drives []Drive, first int) {
	if tr == nil {
		return
	}
	tr.machines = append(tr.machines, tracedMachine{t.name(), first})
	tr.began = math.NaN()
	if t.timed && len(t.fixes) > 0 {
		tr.began = float64(t.timeNS(drives, 0)) / 1e9
	}
}

// note gives all swaths up to so many that have no time yet that of a fix.
func (tr *tracer) note(swaths int, f *fix) {
	if tr == nil {
		return
	}
	for len(tr.times) < swaths {
		tr.times = append(tr.times, tr.began+f.seconds)
	}
}

// trace tells the strides of what was driven and returns how many records it leaves
// out.
func (d *driven) trace(tell func(machine string, s Stride)) (leftOut int) {
	for i, m := range d.tracer.machines {
		end := len(d.swaths)
		if i+1 < len(d.tracer.machines) {
			end = d.tracer.machines[i+1].first
		}
		for j := m.first; j < end; j++ {
			quad, ok := d.swaths[j].Quad, true
			if d.swaths[j].Shape != 0 {
				if quad, ok = d.shapeQuad(j, m.first, end); !ok {
					leftOut++
					continue
				}
			}
			tell(m.name, d.stride(j, &quad))
		}
	}
	return leftOut
}

func (d *driven) stride(j int, quad *[4]orb.Point) Stride {
	v := unknown
	if d.values != nil {
		v = d.values[j]
	}
	s := Stride{
		From: d.swaths[j].From, To: d.swaths[j].To, Time: d.tracer.times[j],
		KgHa: float32(v.kgPerM2 * m2PerHa), DepthM: float32(v.depthM),
	}
	for k, p := range quad {
		s.Quad[k] = [2]float32{float32(p[0]), float32(p[1])}
	}
	return s
}

// shapeQuad returns the corners of a polygon of four, its back first: the side that
// lies furthest against the way from the polygon before, or to the next one where
// the machine has jumped. first and end are the bounds of its machine's swaths.
func (d *driven) shapeQuad(j, first, end int) (quad [4]orb.Point, ok bool) {
	s := &d.swaths[j]
	rings := d.shapes[s.Shape-1]
	if len(rings) != 1 || len(rings[0]) != 5 {
		return quad, false
	}
	at, from, to := d.centre(s), orb.Point{}, orb.Point{}
	switch follows := j > first && s.From-d.swaths[j-1].To < 2; {
	case !follows && j+1 < end:
		from, to = at, d.centre(&d.swaths[j+1])
	case j > first:
		from, to = d.centre(&d.swaths[j-1]), at
	}
	ring, back, least := rings[0], 0, math.Inf(1)
	for k := range 4 {
		x, y := (ring[k][0]+ring[k+1][0])/2-at[0], (ring[k][1]+ring[k+1][1])/2-at[1]
		if along := x*(to[0]-from[0]) + y*(to[1]-from[1]); along < least {
			back, least = k, along
		}
	}
	for k := range quad {
		quad[k] = ring[(back+k)%4]
	}
	return quad, true
}

// centre is the middle of the corners of a polygon.
func (d *driven) centre(s *cover.Swath) orb.Point {
	var c orb.Point
	ring := d.shapes[s.Shape-1][0]
	for _, p := range ring[1:] {
		c[0] += p[0] / float64(len(ring)-1)
		c[1] += p[1] / float64(len(ring)-1)
	}
	return c
}
