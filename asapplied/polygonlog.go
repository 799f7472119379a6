package asapplied

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"ratewright/geo/cover"
)

// followPolygons takes a track whose log gives the ground of each record. The
// odometer runs through the middles of the polygons; it jumps where the machine
// is out of work, at a gap, and where the next polygon lies behind, for then the
// machine has turned.
func (d *driver) followPolygons(t *track, f *field) error {
	d.odo += 10
	d.unit = visitWidths * t.width
	if d.unit <= 0 {
		return fmt.Errorf("a log of polygons needs the machine's width, to tell a second visit from a turn; give `width` of machine %s", t.name())
	}
	interval, _ := t.medians()
	for i := range t.fixes {
		fx := &t.fixes[i]
		if fx.state != works {
			d.odo += 2
			continue
		}
		log := &d.drives[fx.log].Log
		region, err := f.plane.Region(log.Polygons[fx.rec])
		if err != nil {
			return inputFault(log.Files[log.File[fx.rec]], fmt.Sprintf("record %d", log.Line[fx.rec]), err.Error(), "")
		}
		from := d.odo
		if i > 0 {
			if fx.gap || i > 1 && turnBetween(t.fixes, i-2, i-1, i) > cuspDeg {
				from += 2
			} else {
				from += dist(t.fixes[i-1].at, fx.at) / d.unit
			}
		}
		d.odo = from
		seconds := interval // of the last before a gap: as long as most
		if t.timed && i+1 < len(t.fixes) && !t.fixes[i+1].gap {
			seconds = t.fixes[i+1].seconds - fx.seconds
		}
		if d.polygon(fx, region.Polygons(), from, seconds) {
			d.counts.used++
		} else {
			d.counts.drop(DropNoGround, 1)
		}
	}
	return nil
}

// polygon adds the ground of one record, which stands for so many seconds where
// the log gives no duration. It is false where there is none, or it is too thin to
// take a flow, which then was put down standing.
func (d *driver) polygon(fx *fix, mp orb.MultiPolygon, odo, seconds float64) bool {
	log, v := &d.drives[fx.valuesIn].Log, int(fx.values)
	var rings orb.Polygon
	for _, p := range mp {
		rings = append(rings, p...)
	}
	area := cover.ShapeArea(rings)
	flowKg := 0.0
	if log.Flow != nil {
		flowKg = d.flowKg(fx, seconds)
	}
	if len(rings) == 0 || log.Flow != nil && area <= thinM*edgeM(rings)/2 {
		d.out.standingKg += flowKg
		return false
	}
	d.out.shapes = append(d.out.shapes, rings)
	s := cover.Swath{Shape: int32(len(d.out.shapes)), From: odo, To: odo}
	val := unknown
	if log.Rate.N > 0 {
		val.kgPerM2 = mean(log.Rate.Row(v)) / m2PerHa
	}
	if log.Depth.N > 0 {
		val.depthM = least(log.Depth.Row(v))
	}
	if log.Flow != nil {
		val.kgPerM2 = flowKg / area
	}
	d.out.add(s, val, area)
	d.out.tracer.note(len(d.out.swaths), fx)
	return true
}

// edgeM is the length of all edges of a polygon.
func edgeM(p orb.Polygon) float64 {
	var m float64
	for _, r := range p {
		for i := 1; i < len(r); i++ {
			m += dist(r[i-1], r[i])
		}
	}
	return m
}

// mean is the mean of a polygon's rates over its lanes.
func mean(v []float64) float64 {
	var sum float64
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// least is the shallowest of a polygon's depths; unknown where one is.
func least(v []float64) float64 {
	m := v[0]
	for _, x := range v[1:] {
		m = math.Min(m, x)
	}
	return m
}

// name is the machine's name as people gave it.
func (t *track) name() string {
	for i, r := range t.machine {
		if r == 0 {
			return t.machine[:i] + " " + t.machine[i+1:]
		}
	}
	return t.machine
}
