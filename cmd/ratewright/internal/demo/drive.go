package demo

import (
	"math"
	"math/rand/v2"
	"time"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// How the made-up machine works.
const (
	speed        = 2.5 // m/s, one record a second
	usualSlow    = 2.0 // s in which the rate follows a change
	usualDepth   = 4 * 0.0254
	shallowDepth = 2 * 0.0254
	stuckRate    = 95 * lbAc
	lbAc         = 0.45359237 / 0.40468564224 // kg/ha
)

// record is one row of the log.
type record struct {
	time         time.Time
	bar          orb.Point
	heading      float64 // degrees clockwise from north
	working      bool
	on           [sections]bool
	rate, target float64 // kg N/ha
	depth        float64 // m
}

type driver struct {
	now     time.Time
	rate    float64
	noise   *rand.Rand
	records []record
}

// drive works through the plan, one record a second.
func drive(plan []pass) []record {
	d := &driver{
		now:   time.Date(2026, 6, 5, 13, 0, 0, 0, time.UTC),
		noise: rand.New(rand.NewPCG(60, 2026)),
	}
	for i, p := range plan {
		if i > 0 {
			d.turn(p.a)
		}
		d.work(p)
	}
	return d.records
}

// work drives one pass; one that has to be resumed is driven in two pieces.
func (d *driver) work(p pass) {
	length := planar.Distance(p.a, p.b)
	if p.again.to == 0 {
		d.straight(p, 0, length)
		return
	}
	d.straight(p, 0, p.again.to)
	d.now = d.now.Add(25 * time.Minute) // the refill
	d.straight(p, p.again.from, length)
}

func (d *driver) straight(p pass, from, to float64) {
	along := direction(p.a, p.b)
	var wantedBefore [][sections]bool
	for m := from; m < to; m += speed {
		bar := orb.Point{p.a[0] + along[0]*m + along[1]*p.drift, p.a[1] + along[1]*m - along[0]*p.drift}
		want := sectionsOver(p.ground, onward(bar, along, speed/2), along)
		wantedBefore = append(wantedBefore, want)
		r := record{time: d.now, bar: bar, heading: bearing(along), working: !p.lifted.has(m)}
		r.on = wantedBefore[max(0, len(wantedBefore)-1-p.late)]
		if p.leftOn.has(m) {
			r.on = allOn()
		}
		r.target = targetLbAc(bar) * lbAc
		r.rate = d.pump(p, m, r.target)
		r.depth = usualDepth + 0.004*d.jitter()
		if p.shallow.has(m) {
			r.depth = shallowDepth + 0.004*d.jitter()
		}
		d.add(r)
	}
	last := onward(orb.Point{p.a[0] + along[1]*p.drift, p.a[1] - along[0]*p.drift}, along, to)
	d.add(record{time: d.now, bar: last, heading: bearing(along)})
}

// pump follows the target like a controller: a share of the difference each
// second, and 2 % of noise.
func (d *driver) pump(p pass, m, target float64) float64 {
	if p.stuck.has(m) {
		d.rate = stuckRate
		return d.rate
	}
	slow := p.slow
	if slow == 0 {
		slow = usualSlow
	}
	if d.rate == 0 {
		d.rate = target
	}
	d.rate += (target - d.rate) * (1 - math.Exp(-1/slow))
	return d.rate * (1 + 0.02*d.jitter())
}

// jitter is even noise from -1 to 1.
func (d *driver) jitter() float64 { return 2*d.noise.Float64() - 1 }

// turn goes to the start of the next pass with the bar up: half a circle where
// the next pass is beside this one, else straight.
func (d *driver) turn(to orb.Point) {
	last := d.records[len(d.records)-1]
	from := last.bar
	gap := planar.Distance(from, to)
	if gap > 2*barWidth {
		along := direction(from, to)
		for m := 2 * speed; m < gap; m += 2 * speed {
			d.add(record{time: d.now, bar: onward(from, along, m), heading: bearing(along)})
		}
		return
	}
	// The half circle bulges the way the machine was going.
	sin, cos := math.Sincos(last.heading * math.Pi / 180)
	mid := orb.Point{(from[0] + to[0]) / 2, (from[1] + to[1]) / 2}
	steps := math.Ceil(math.Pi * gap / 2 / speed)
	for i := 1.0; i < steps; i++ {
		s, c := math.Sincos(math.Pi * i / steps)
		bar := orb.Point{
			mid[0] + (from[0]-mid[0])*c + sin*s*gap/2,
			mid[1] + (from[1]-mid[1])*c + cos*s*gap/2,
		}
		d.add(record{time: d.now, bar: bar, heading: bearing(direction(d.records[len(d.records)-1].bar, bar))})
	}
}

func (d *driver) add(r record) {
	d.records = append(d.records, r)
	d.now = d.now.Add(time.Second)
}

func sectionsOver(ground func(orb.Point) bool, bar, along orb.Point) (on [sections]bool) {
	for i := range on {
		right := (float64(i)+0.5)*barWidth/sections - barWidth/2
		on[i] = ground(orb.Point{bar[0] + along[1]*right, bar[1] - along[0]*right})
	}
	return on
}

func allOn() (on [sections]bool) {
	for i := range on {
		on[i] = true
	}
	return on
}

func direction(a, b orb.Point) orb.Point {
	length := planar.Distance(a, b)
	return orb.Point{(b[0] - a[0]) / length, (b[1] - a[1]) / length}
}

// onward is the point m metres on.
func onward(p, along orb.Point, m float64) orb.Point {
	return orb.Point{p[0] + along[0]*m, p[1] + along[1]*m}
}

// bearing is the heading of a direction in degrees clockwise from north. The
// plane's north is true north within 0.005 degrees over the field.
func bearing(along orb.Point) float64 {
	deg := math.Atan2(along[0], along[1]) * 180 / math.Pi
	if deg < 0 {
		deg += 360
	}
	return deg
}

// heading is the direction of a bearing.
func heading(deg float64) orb.Point {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return orb.Point{sin, cos}
}
