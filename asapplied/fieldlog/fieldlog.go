// Package fieldlog makes up a field and the log of a machine that worked it, of
// any size, for tests and benchmarks: two laps around the field, then passes to
// and fro between them, with skips, laps, sections off and, where asked for,
// rates, depths and sections that change with every record.
package fieldlog

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"

	"ratewright/geo"
)

// The machine of every made-up log.
const (
	WidthM   = 18.0
	Sections = 24  // unless the spec says otherwise
	StepM    = 2.5 // at 1 Hz
)

// Spec says what to make up.
type Spec struct {
	// Records is about how many records the log has; the field grows with it.
	Records int
	// Vary changes rate and depth at every record, as pumps and knives do: by some
	// 4 % and 0.5 cm, with stretches of half a minute that are 15 % off or too
	// shallow, and a few sections off now and then.
	Vary bool
	// Wild changes them at every record by so much that every other record is beyond
	// tolerance; with Vary.
	Wild bool
	// CoverageOnly leaves rate and depth out.
	CoverageOnly bool
	// Chatter switches every section at random at every record.
	Chatter bool
	// JitterDeg is the standard deviation of the heading; from some 30 degrees on
	// nearly every quad is folded.
	JitterDeg float64
	// AlternateDeg turns the heading to one side and the other in turns by so much.
	AlternateDeg float64
	// Step is the way between two records in metres; 0 is StepM.
	Step float64
	// SpinDeg turns the machine at each record that it is logged standing, on the
	// spot.
	SpinDeg float64
	// Standing is how many records are logged with sections on and the machine
	// standing, at one place, with a position noise of 2 cm and that of the heading.
	Standing int
	// Sections is the number of sections where it is not 24; at most 64.
	Sections int
	// Origin is the field's south-west corner in degrees.
	Origin geo.LonLat
	Seed   uint64
}

// Record is one entry of the log.
type Record struct {
	Seconds  float64
	At       geo.LonLat
	Heading  float64 // degrees from the plane's y axis, which is true north at the origin
	Sections uint64  // bit 0 leftmost
	DepthCm  float64
	RateKgHa float64
}

// Work is a made-up field and its log.
type Work struct {
	Spec     Spec
	Plane    geo.Plane
	SideM    float64     // of the square field, its south-west corner at the plane's origin
	Boundary orb.Polygon // degrees
	Records  []Record
}

// Make makes up a field and its log; the same spec gives the same work.
func Make(s Spec) (Work, error) {
	if s.Sections == 0 {
		s.Sections = Sections
	}
	if s.Origin == (geo.LonLat{}) {
		s.Origin = geo.LonLat{-93.6, 42.03}
	}
	p, err := geo.NewPlane(s.Origin)
	if err != nil {
		return Work{}, err
	}
	if s.Step == 0 {
		s.Step = StepM
	}
	// A record covers about a step times the width.
	side := math.Sqrt(float64(s.Records) * s.Step * WidthM)
	side = max(math.Round(side/WidthM), 8) * WidthM
	w := Work{Spec: s, Plane: p, SideM: side}
	ring := orb.Ring{{0, 0}, {side, 0}, {side, side}, {0, side}, {0, 0}}
	for i := range ring {
		ring[i] = orb.Point(p.Unproject(ring[i]))
	}
	w.Boundary = orb.Polygon{ring}
	d := driver{w: &w, rng: rand.New(rand.NewPCG(s.Seed, 42)), full: ^uint64(0) >> (64 - s.Sections), depth: 10, rate: 190}
	d.laps(side)
	d.passes(side)
	d.stand(side)
	return w, nil
}

// driver logs as it goes.
type driver struct {
	w           *Work
	rng         *rand.Rand
	full        uint64
	seconds     float64
	depth, rate float64
	odd         int // records left of a stretch that is off
}

// laps drives two rounds along the boundary, sections on, lifted in the corners.
func (d *driver) laps(side float64) {
	for lap := range 2 {
		in := WidthM * (float64(lap) + 0.5)
		c := []orb.Point{{in, in}, {in, side - in}, {side - in, side - in}, {side - in, in}}
		for i := range c {
			d.line(c[i], c[(i+1)%4], d.full)
			d.stop(5)
		}
	}
}

// passes goes to and fro between the laps. Every pass is a little off its line,
// and one in twenty is driven again.
func (d *driver) passes(side float64) {
	low, high := 2*WidthM, side-2*WidthM
	up := true
	for x := low + WidthM/2; x < high; x += WidthM {
		off := (d.rng.Float64() - 0.5) * 1.2
		if d.rng.IntN(8) > 0 {
			off *= 0.1
		}
		again := d.rng.IntN(20) == 0
		for {
			a, b := orb.Point{x + off, low}, orb.Point{x + off, high}
			if !up {
				a, b = b, a
			}
			d.line(a, b, d.full)
			d.stop(8)
			up = !up
			if !again {
				break
			}
			again = false
		}
	}
}

// stop logs the machine turning with all sections off.
func (d *driver) stop(records int) {
	last := d.w.Records[len(d.w.Records)-1]
	for range records {
		last.Seconds, last.Sections = d.seconds, 0
		last.At[0] += 1e-5
		d.w.Records = append(d.w.Records, last)
		d.seconds++
	}
}

// stand logs the machine standing in the middle of the field with its sections on.
func (d *driver) stand(side float64) {
	noise := func() float64 { return d.rng.NormFloat64() * 0.02 }
	for i := range d.w.Spec.Standing {
		d.w.Records = append(d.w.Records, Record{
			Seconds: d.seconds, At: d.w.Plane.Unproject(orb.Point{side/2 + noise(), side/2 + noise()}),
			Heading:  math.Mod(360+d.rng.NormFloat64()*d.w.Spec.JitterDeg+float64(i)*d.w.Spec.SpinDeg, 360),
			Sections: d.full, DepthCm: d.depth, RateKgHa: d.rate,
		})
		d.seconds++
	}
}

// varied is the rate and the depth of one record.
func (d *driver) varied() (rateKgHa, depthCm float64) {
	if d.w.Spec.Wild {
		return 150 + 80*d.rng.Float64(), 7 + 4*d.rng.Float64()
	}
	if d.odd--; d.odd < -400 && d.rng.IntN(200) == 0 {
		d.odd = 30
	}
	rateKgHa, depthCm = 190*(1+0.04*d.rng.NormFloat64()), 9.5+0.5*d.rng.NormFloat64()
	if d.odd > 0 {
		rateKgHa, depthCm = rateKgHa*0.85, depthCm-2
	}
	return rateKgHa, depthCm
}

// line drives from a to b.
func (d *driver) line(a, b orb.Point, on uint64) {
	length := math.Hypot(b[0]-a[0], b[1]-a[1])
	n := max(int(length/d.w.Spec.Step), 1)
	heading := math.Atan2(b[0]-a[0], b[1]-a[1]) * 180 / math.Pi
	s := &d.w.Spec
	for i := range n + 1 {
		f := float64(i) / float64(n)
		r := Record{
			Seconds: d.seconds, At: d.w.Plane.Unproject(orb.Point{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])}),
			Heading: math.Mod(heading+360+d.rng.NormFloat64()*s.JitterDeg, 360), Sections: on, DepthCm: d.depth, RateKgHa: d.rate,
		}
		if s.Vary {
			r.RateKgHa, r.DepthCm = d.varied()
			if d.rng.IntN(30) == 0 {
				r.Sections = on &^ (0xf << d.rng.IntN(s.Sections))
			}
		} else if d.rng.IntN(400) == 0 {
			d.depth = 10 - 4*float64(d.rng.IntN(2))
		}
		if s.AlternateDeg != 0 {
			r.Heading = math.Mod(r.Heading+360+s.AlternateDeg*float64(1-2*(i%2)), 360)
		}
		if s.Chatter {
			r.Sections = d.rng.Uint64() & d.full
		}
		if i == n {
			r.Sections = 0
		}
		d.w.Records = append(d.w.Records, r)
		d.seconds++
	}
}

// WriteCSV writes the log as a machine would.
func (w *Work) WriteCSV(out io.Writer) error {
	b := bufio.NewWriterSize(out, 1<<16)
	head := "time,lon,lat,speed_mps,heading_deg,sections"
	if !w.Spec.CoverageOnly {
		head += ",depth_cm,rate_kg_ha"
	}
	fmt.Fprintln(b, head)
	bar := make([]byte, w.Spec.Sections)
	for i := range w.Records {
		r := &w.Records[i]
		for k := range bar {
			bar[k] = '0' + byte(r.Sections>>k&1)
		}
		fmt.Fprintf(b, "%.3f,%.10f,%.10f,%.3f,%.6f,%s", 1715000000+r.Seconds, r.At[0], r.At[1], w.Spec.Step, r.Heading, bar)
		if !w.Spec.CoverageOnly {
			fmt.Fprintf(b, ",%.2f,%.1f", r.DepthCm, r.RateKgHa)
		}
		b.WriteByte('\n')
	}
	return b.Flush()
}

// WriteBoundary writes the field's outline as GeoJSON.
func (w *Work) WriteBoundary(out io.Writer) error {
	b := bufio.NewWriter(out)
	fmt.Fprint(b, `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"made up"},"geometry":{"type":"Polygon","coordinates":[[`)
	for i, p := range w.Boundary[0] {
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(b, "[%.10f,%.10f]", p[0], p[1])
	}
	fmt.Fprintln(b, `]]}}]}`)
	return b.Flush()
}
