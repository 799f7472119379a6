package asapplied

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/cover"
	"ratewright/geo/unit"
	"ratewright/rx"
)

// pilot drives a machine through a scene. It writes the log that a machine would
// and, by itself, the quads that its sections cover and where its odometer stands.
type pilot struct {
	plane   geo.Plane
	width   float64
	x, y    float64
	heading float64 // degrees clockwise from north
	step    float64
	jitter  func() float64 // added to the logged heading, degrees

	on       bool
	sections []bool
	rate     float64 // kg N/ha
	depth    float64 // m

	seconds float64
	log     Log
	quads   []cover.Swath
	values  []swathValue
	last    *pilotBar
	odo     float64
}

type pilotBar struct {
	left, right orb.Point
	on          []bool
	kgM2, depth float64
	odo         float64
}

func testPlane(t testing.TB) geo.Plane {
	t.Helper()
	p, err := geo.NewPlane(geo.LonLat{-93.6, 42.03})
	require.NoError(t, err)
	return p
}

// newPilot starts at (x, y) with n sections on.
func newPilot(t testing.TB, width float64, n int, x, y, heading float64) *pilot {
	p := &pilot{plane: testPlane(t), width: width, x: x, y: y, heading: heading, step: 1, on: true, rate: 100, depth: 0.1, jitter: func() float64 { return 0 }}
	for range n {
		p.sections = append(p.sections, true)
	}
	p.log = Log{Files: []string{"scene"}, Sections: Bits{N: n}, Rate: Lanes{N: 1}, Depth: Lanes{N: 1}}
	return p
}

// record logs the present state and covers the ground since the record before.
func (p *pilot) record() {
	ll := p.plane.Unproject(orb.Point{p.x, p.y})
	h := p.heading + p.jitter()
	l := &p.log
	l.File = append(l.File, 0)
	l.Line = append(l.Line, int32(len(l.Line)+2))
	l.TimeNS = append(l.TimeNS, int64(math.Round(p.seconds*1e9)))
	l.Lon, l.Lat = append(l.Lon, ll[0]), append(l.Lat, ll[1])
	// The log has true north; the scene is drawn in the plane.
	l.Heading = append(l.Heading, h-p.plane.GridAzimuth(ll, 0))
	var w uint64
	on := make([]bool, len(p.sections))
	for i, s := range p.sections {
		if s && p.on {
			w |= 1 << i
			on[i] = true
		}
	}
	l.Sections.Words = append(l.Sections.Words, w)
	l.Rate.V = append(l.Rate.V, p.rate)
	l.Depth.V = append(l.Depth.V, p.depth)
	l.Read++
	sin, cos := math.Sincos(h * math.Pi / 180)
	b := &pilotBar{
		left:  orb.Point{p.x - cos*p.width/2, p.y + sin*p.width/2},
		right: orb.Point{p.x + cos*p.width/2, p.y - sin*p.width/2},
		on:    on, kgM2: p.rate / 1e4, depth: p.depth, odo: p.odo,
	}
	if p.last != nil {
		p.cover(p.last, b)
	}
	p.last = b
	if !p.on {
		p.odo += 10 * p.width
	}
	p.seconds++
}

// cover adds a quad for every section that was on: one each, not joined, which
// covers the same ground.
func (p *pilot) cover(a, b *pilotBar) {
	n := len(a.on)
	at := func(s *pilotBar, i int) orb.Point {
		f := float64(i) / float64(n)
		return orb.Point{s.left[0] + f*(s.right[0]-s.left[0]), s.left[1] + f*(s.right[1]-s.left[1])}
	}
	for i, on := range a.on {
		if on {
			p.quads = append(p.quads, cover.Swath{
				Quad: [4]orb.Point{at(a, i), at(a, i+1), at(b, i+1), at(b, i)},
				From: a.odo / (1.6 * p.width), To: b.odo / (1.6 * p.width),
			})
			p.values = append(p.values, swathValue{a.kgM2, a.depth})
		}
	}
}

// straight drives d metres, backwards where d is negative.
func (p *pilot) straight(d float64) {
	n := int(math.Round(math.Abs(d) / p.step))
	sin, cos := math.Sincos(p.heading * math.Pi / 180)
	for range n {
		p.x += sin * d / float64(n)
		p.y += cos * d / float64(n)
		p.odo += math.Abs(d) / float64(n)
		p.record()
	}
}

// arc turns by deg, positive to the right, on a circle of radius r.
func (p *pilot) arc(r, deg float64) {
	n := max(int(math.Round(math.Abs(deg)*math.Pi/180*r/p.step)), 8)
	side := math.Copysign(1, deg)
	for range n {
		h := p.heading * math.Pi / 180
		cx, cy := p.x+side*r*math.Cos(h), p.y-side*r*math.Sin(h)
		p.heading += deg / float64(n)
		h = p.heading * math.Pi / 180
		nx, ny := cx-side*r*math.Cos(h), cy+side*r*math.Sin(h)
		p.odo += math.Hypot(nx-p.x, ny-p.y)
		p.x, p.y = nx, ny
		p.record()
	}
}

// lift drives on with the bar up: d metres without a record at work.
func (p *pilot) lift(d float64) {
	p.on = false
	p.record()
	p.straight(d)
	p.on = true
	p.record()
}

// box is a field of half sides w and h around the origin of the plane.
func boxField(t testing.TB, p geo.Plane, w, h float64) rx.Field {
	t.Helper()
	r, err := geo.RegionFromPolygons(p, orb.MultiPolygon{{{{-w, -h}, {w, -h}, {w, h}, {-w, h}, {-w, -h}}}})
	require.NoError(t, err)
	return rx.Field{Name: "scene", Plane: p, Boundary: r, Ground: r}
}

func (p *pilot) drive(name string) Drive {
	return Drive{Log: p.log, Machine: Machine{Name: name, Width: unit.Metres(p.width), SectionCount: len(p.sections)}}
}
