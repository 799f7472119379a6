package asapplied

import (
	"ratewright/geo/cover"
	"ratewright/geo/parallel"
)

// stretchFixes is about how many fixes of a track are driven along by themselves, so
// that several processors can drive. It does not depend on how many of those there
// are, and so neither do the results.
const stretchFixes = 1 << 14

// room is how many swaths are provided for so many records: as many each as a few of
// them show, and some more.
func (d *driver) room(records int) int {
	n := int(float64(records) * d.perRecord)
	return n + n/8
}

// sampled is the stride of the records that are looked at for how many swaths one gives.
const sampled = 101

// density is about how many swaths a record gives, and at least one.
func (d *driver) density() float64 {
	records, swaths := 0, 0
	for i := range d.drives {
		log := &d.drives[i].Log
		for v := 0; v < log.Len(); v += sampled {
			records++
			swaths += len(d.parts.of(int32(i), log, v, d.layouts[i].cells))
		}
	}
	return max(1, float64(swaths)/float64(max(records, 1)))
}

// follow drives along one track.
func (d *driver) follow(t *track, workers int) {
	d.odo += 10 // machines lie on separate stretches of the odometer
	d.unit = visitWidths * t.width
	if d.unit <= 0 {
		d.unit = 1
	}
	cuts := t.cuts()
	own := make([]*driver, len(cuts)-1)
	parallel.Each(len(own), workers, func(i int) {
		own[i] = d.beside(cuts[i], cuts[i+1])
		own[i].drive(t, cuts[i], cuts[i+1])
	})
	d.join(own, cuts, workers)
	d.noteAlong(t, own)
}

// cuts are the ends of stretches of a track, the outer ones included. No run
// reaches over one: there is a gap, or the record before is out of work.
func (t *track) cuts() []int {
	cuts := []int{0}
	for i := stretchFixes; i < len(t.fixes); i++ {
		if t.fixes[i].gap || t.fixes[i-1].state != works {
			cuts = append(cuts, i)
			i += stretchFixes - 1
		}
	}
	return append(cuts, len(t.fixes))
}

// beside is a driver for fixes lo to hi of a track whose odometer begins at zero.
// What it finds has a place behind what was found before, as far as there is room.
func (d *driver) beside(lo, hi int) *driver {
	own := &driver{drives: d.drives, layouts: d.layouts, standReach2: d.standReach2, unit: d.unit, perRecord: d.perRecord}
	own.counts = &counts{dropped: make(map[string]int)}
	from, to := d.room(lo), d.room(hi)
	own.out.swaths = place(d.out.swaths, from, to)
	if d.out.values != nil {
		own.out.values = place(d.out.values, from, to)
	}
	if tr := d.out.tracer; tr != nil {
		own.out.tracer = &tracer{times: place(tr.times, from, to), began: tr.began}
	}
	return own
}

// place is the room from one place to another behind a slice, in its capacity.
func place[T any](s []T, from, to int) []T {
	if len(s)+to > cap(s) {
		return make([]T, 0, to-from)
	}
	return s[len(s)+from : len(s)+from : len(s)+to]
}

// drive follows the runs among fixes lo to hi.
func (d *driver) drive(t *track, lo, hi int) {
	for i := lo; i < hi; {
		if t.fixes[i].state != works {
			i++
			continue
		}
		d.before, d.step = len(d.out.swaths), len(d.out.swaths)
		i = d.run(t, i)
		d.odo += 2 // out of work, or at a gap, the odometer jumps
	}
}

// join takes in what was found along the stretches of a track, in their order.
func (d *driver) join(own []*driver, cuts []int, workers int) {
	found := make([]driven, len(own))
	ends := make([]int, len(own)) // of the stretches, in all swaths
	starts := make([]float64, len(own))
	n, crowded := len(d.out.swaths), false
	for i, o := range own {
		found[i] = o.out
		n += len(o.out.swaths)
		ends[i] = n
		crowded = crowded || len(o.out.swaths) > d.room(cuts[i+1])-d.room(cuts[i])
		d.counts.add(o.counts)
		d.out.appliedKg += o.out.appliedKg
		d.out.standingKg += o.out.standingKg
		starts[i] = d.odo
		d.odo += o.odo
	}
	d.out.swaths = joined(d.out.swaths, n, crowded, found, func(o *driven) []cover.Swath { return o.swaths })
	if d.out.values != nil {
		d.out.values = joined(d.out.values, n, crowded, found, func(o *driven) []swathValue { return o.values })
	}
	if tr := d.out.tracer; tr != nil {
		tr.times = joined(tr.times, n, crowded, found, func(o *driven) []float64 { return o.tracer.times })
	}
	parallel.Each(len(own), workers, func(i int) {
		for k := ends[i] - len(found[i].swaths); k < ends[i]; k++ {
			d.out.swaths[k].From += starts[i]
			d.out.swaths[k].To += starts[i]
		}
	})
}

// joined appends to a slice what the stretches found, to a length of n. What found
// a place in the capacity of the slice is moved down there, unless one took more
// than its place and would write over the next.
func joined[T any](s []T, n int, crowded bool, found []driven, of func(*driven) []T) []T {
	if crowded {
		s = append(make([]T, 0, n), s...)
	}
	for i := range found {
		s = append(s, of(&found[i])...)
	}
	return s
}

// add takes in other counts.
func (c *counts) add(o *counts) {
	c.read += o.read
	c.used += o.used
	c.notWorking += o.notWorking
	for reason, n := range o.dropped {
		c.drop(reason, n)
	}
}
