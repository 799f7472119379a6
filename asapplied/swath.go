package asapplied

import (
	"math"

	"github.com/paulmach/orb"

	"ratewright/geo/cover"
)

const (
	// standM is how far both bar tips may move and the machine still stands.
	standM = 0.05
	// visitWidths is the distance on the odometer that parts two visits, in full
	// widths: just over the half turn in which an inner section folds back on
	// itself.
	visitWidths = 1.6
	m2PerHa     = 1e4
	// thinM is how thin ground, on average over its length, can be and still take
	// what a flow measured. No receiver knows a place to a millimetre; at 2 m a
	// record the bar then stands within 0.03 degrees of the way. Spread over that,
	// a flow would be a thousand times its rate, and the sweep, which leaves 1e-10 m
	// open at a crossing, could not add it up again.
	thinM = 1e-3
	// alongSin is the sine of the angle to its way, 30 degrees, within which a bar
	// stands along it rather than square to it.
	alongSin = 0.5
)

// swathValue is what one swath put down, and how deep.
type swathValue struct {
	kgPerM2 float64 // NaN where the log has neither rate nor flow
	depthM  float64 // NaN unknown
}

// driven is the ground that all machines covered.
type driven struct {
	swaths     []cover.Swath
	shapes     []orb.Polygon // of swaths that are no quads
	values     []swathValue  // one a swath; nil where no log has a rate, a flow or a depth
	appliedKg  float64       // sum of rate times area of each swath by itself
	standingKg float64       // measured with no ground to go to
	notes      []string      // what a reader must know of how the tracks were made
	tracer     *tracer       // nil unless a trace is wanted
}

// unknown is the value of all swaths of logs that say nothing of rate and depth.
var unknown = swathValue{kgPerM2: math.NaN(), depthM: math.NaN()}

// add takes in a swath that has an area of so much.
func (d *driven) add(s cover.Swath, v swathValue, areaM2 float64) {
	d.swaths = append(d.swaths, s)
	if d.values != nil {
		d.values = append(d.values, v)
	}
	if !math.IsNaN(v.kgPerM2) {
		d.appliedKg += v.kgPerM2 * areaM2
	}
}

// bar is a bar segment: its tips and how far its middle has come.
type bar struct {
	left, right orb.Point
	odometer    float64 // in units of the distance that parts two visits
}

func (b bar) at(f float64) orb.Point {
	return orb.Point{b.left[0] + f*(b.right[0]-b.left[0]), b.left[1] + f*(b.right[1]-b.left[1])}
}

// movedFrom tells whether a tip moved far enough for a swath.
func (b bar) movedFrom(a bar) bool {
	return dist2(a.left, b.left) >= standM*standM || dist2(a.right, b.right) >= standM*standM
}

// driver turns tracks into swaths.
type driver struct {
	drives  []Drive
	layouts []layout // one a drive
	// standReach2 is for each drive how far, squared, a position can be from the
	// middle of its bar and the bar still stand there.
	standReach2 []float64
	out         driven
	counts      *counts

	unit float64 // metres that part two visits of the present machine
	odo  float64 // odometer of the present machine, in units

	wayM, alongM float64 // way, and of it that with the bar along the way

	parts     parts
	perRecord float64 // swaths, about
	before    int     // where the swaths of the step before begin
	step      int     // and those of the present one
}

// course is how far a run has come.
type course struct {
	kept   bar     // the bar that the next ground begins at; its odometer is the run's
	since  int     // records since
	flowKg float64 // what flow measured since
}

// run follows the machine from a fix at work to the end of the run. It returns
// the first fix that does not belong to the run.
func (d *driver) run(t *track, i int) int {
	kept, reason := d.bar(&t.fixes[i])
	if reason != "" {
		d.counts.drop(reason, 1)
		return i + 1
	}
	kept.odometer = d.odo
	c := course{kept: kept}
	for t.fixes[i].state == works {
		if end := d.standsUntil(t, i, c.kept); end > i {
			d.stand(&c, t, i, end)
			i = end
		}
		if i+1 == len(t.fixes) || t.fixes[i+1].gap {
			d.take(&c, t, i, math.NaN())
			i++
			break
		}
		d.take(&c, t, i, t.fixes[i+1].seconds-t.fixes[i].seconds)
		next, reason := d.bar(&t.fixes[i+1])
		if reason != "" {
			i++
			break
		}
		if next.movedFrom(c.kept) || t.fixes[i+1].state != works && d.endsOn(&t.fixes[i], c.kept, next) {
			d.cover(&c, &t.fixes[i], c.kept, next)
		}
		i++
	}
	d.odo = c.kept.odometer
	d.counts.drop(DropNoGround, c.since)
	d.out.standingKg += c.flowKg
	return i
}

// take adds a record, that stands for so many seconds, to those that wait for ground.
func (d *driver) take(c *course, t *track, i int, seconds float64) {
	c.since++
	c.flowKg += d.flowKg(&t.fixes[i], seconds)
}

// cover lets the bar of a fix cover the ground between two places, and the course go
// on from the second.
func (d *driver) cover(c *course, f *fix, from, to bar) {
	from.odometer = c.kept.odometer
	to.odometer = from.odometer + d.travel(from, to)/d.unit
	if d.quads(f, from, to, c.flowKg) {
		d.counts.used += c.since
	} else {
		d.counts.drop(DropNoGround, c.since)
		d.out.standingKg += c.flowKg
	}
	*c = course{kept: to}
}

// travel is how far the middle of the bar came. It keeps count of what of it the
// bar went along itself.
func (d *driver) travel(from, to bar) float64 {
	a, b := from.at(0.5), to.at(0.5)
	way := dist(a, b)
	across := (from.right[0]-from.left[0])*(b[1]-a[1]) - (from.right[1]-from.left[1])*(b[0]-a[0])
	d.wayM += way
	if across*across < alongSin*alongSin*dist2(from.left, from.right)*way*way {
		d.alongM += way
	}
	return way
}

// endsOn tells whether the last bit of a run, shorter than a standing machine may
// move, is covered all the same: it is where rate times area says what was put
// down. What a flow measured there would be heaped on a few centimetres, so it
// counts as put down standing.
func (d *driver) endsOn(f *fix, kept, end bar) bool {
	return d.drives[f.valuesIn].Log.Flow == nil && kept.left != end.left && kept.right != end.right
}

// bar places the bar of a fix, or says why it cannot.
func (d *driver) bar(f *fix) (bar, string) {
	m := &d.drives[f.log].Machine
	width := workingWidth(&d.drives[f.log], int(f.rec))
	if width <= 0 {
		return bar{}, DropNoWidth
	}
	if math.IsNaN(f.heading) {
		return bar{}, DropNoHeading
	}
	sin, cos := math.Sincos(f.heading * math.Pi / 180)
	// Ahead is (sin, cos); to the right of it is (cos, -sin).
	behind, right := m.Behind.Metres(), m.Right.Metres()
	mid := orb.Point{f.at[0] - behind*sin + right*cos, f.at[1] - behind*cos - right*sin}
	half := width / 2
	return bar{
		left:  orb.Point{mid[0] - half*cos, mid[1] + half*sin},
		right: orb.Point{mid[0] + half*cos, mid[1] - half*sin},
	}, ""
}

// workingWidth is the width of a record in metres: its own where it has one that a
// bar can have, else the machine's; 0 where neither is known.
func workingWidth(d *Drive, rec int) float64 {
	if w := valueAt(d.Log.Width, rec); w > 0 && !tooWide(d.Machine.Width.Metres(), w) {
		return w
	}
	return d.Machine.Width.Metres()
}

const (
	// widestM is wider than any bar there is (common practice: up to some 60 m).
	widestM = 150
	// furthestBarM is further from the logged position than any bar is (common practice: a
	// tank and a bar behind the tractor make some 25 m).
	furthestBarM = 100
	// widerThanMachine is how much wider than its machine a record may say it is.
	widerThanMachine = 1.25
)

// tooWide tells whether a record's width cannot be that of its machine, whose own
// is 0 where it is not known.
func tooWide(machine, record float64) bool {
	return record > widestM || machine > 0 && record > widerThanMachine*machine
}

// flowKg is what a record's flow put down in the time it stands for: its own
// duration where the log has one, else the time to the next record.
func (d *driver) flowKg(f *fix, seconds float64) float64 {
	flow := valueAt(d.drives[f.valuesIn].Log.Flow, int(f.values))
	if own := valueAt(d.drives[f.log].Log.Duration, int(f.rec)); !math.IsNaN(own) {
		seconds = own
	}
	if kg := flow * seconds; kg > 0 {
		return kg
	}
	return 0
}

// quads covers the ground between two bars: one quad for each run of
// neighbouring cells equal in state, rate and depth. flowKg, where the log has a
// flow, is spread evenly over them. It is false where they are too thin to take a
// flow; nothing is covered then.
func (d *driver) quads(f *fix, from, to bar, flowKg float64) bool {
	log, v := &d.drives[f.valuesIn].Log, int(f.values)
	first := len(d.out.swaths)
	d.before, d.step = d.step, first
	var area, on float64
	for _, p := range d.parts.of(f.valuesIn, log, v, d.layouts[f.valuesIn].cells) {
		area += d.quad(log, v, p, from, to)
		on += p.to - p.from
	}
	if log.Flow != nil && area <= thinM*on*dist(from.left, from.right) {
		d.out.swaths, d.out.values = d.out.swaths[:first], d.out.values[:first]
		return false
	}
	d.out.tracer.note(len(d.out.swaths), f)
	if log.Flow == nil {
		return true
	}
	for i := first; i < len(d.out.swaths); i++ {
		d.out.values[i].kgPerM2 = flowKg / area // which add did not know
		d.out.swaths[i].Follows = 0             // no two flows are equal
	}
	d.out.appliedKg += flowKg
	return true
}

// quad covers the ground of a part of the bar and returns its area.
func (d *driver) quad(log *Log, v int, c cell, from, to bar) float64 {
	s := cover.Swath{
		Quad: [4]orb.Point{from.at(c.from), from.at(c.to), to.at(c.to), to.at(c.from)},
		From: from.odometer, To: to.odometer,
	}
	val, area := unknown, 0.0
	if d.out.values != nil {
		val, area = swathValue{kgPerM2: log.cellRate(v, c) / m2PerHa, depthM: log.cellDepth(v, c)}, cover.QuadArea(&s.Quad)
	}
	s.Follows = d.follows(&s, val)
	if log.Flow != nil {
		val.kgPerM2 = math.NaN()
	}
	d.out.add(s, val, area)
	return area
}

// follows finds the swath of the step before that a new one goes on from, as
// places back; 0 for none.
func (d *driver) follows(s *cover.Swath, v swathValue) int32 {
	for i := d.before; i < d.step; i++ {
		b := &d.out.swaths[i]
		if b.Quad[3] == s.Quad[0] && b.Quad[2] == s.Quad[1] && (d.out.values == nil || d.out.values[i].equal(v)) {
			return int32(len(d.out.swaths) - i)
		}
	}
	return 0
}

func (v swathValue) equal(o swathValue) bool {
	return equalOrNaN(v.kgPerM2, o.kgPerM2) && equalOrNaN(v.depthM, o.depthM)
}
