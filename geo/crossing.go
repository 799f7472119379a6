package geo

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// edge is one side of a ring.
type edge struct {
	ring, at int // ring within the polygon; the edge runs from point at to at+1
	a, b     orb.Point
}

func (e edge) minX() float64 { return math.Min(e.a[0], e.b[0]) }
func (e edge) maxX() float64 { return math.Max(e.a[0], e.b[0]) }

func edgesOf(p orb.Polygon) []edge {
	var es []edge
	for i, r := range p {
		for k := 0; k+1 < len(r); k++ {
			if r[k] != r[k+1] {
				es = append(es, edge{i, k, r[k], r[k+1]})
			}
		}
	}
	return es
}

// crossing is where two edges of a polygon cross, or run on each other.
type crossing struct {
	e, f edge
	at   orb.Point
	same bool // they run on each other
}

func (c crossing) describe(p Plane, polygon int) error {
	what := "crosses"
	remedy := "move or remove a point there, so that the ring does not cross (a bow-tie)"
	if c.same {
		what = "runs back along"
		remedy = "remove the spike or the doubled edge there"
	}
	if c.e.ring != c.f.ring {
		remedy = "move one of the rings, so that they do not cross"
		return fmt.Errorf("%s %s ring %d near %s; %s",
			ringName(polygon, c.e.ring), what, c.f.ring+1, p.placeOf(c.at), remedy)
	}
	return fmt.Errorf("%s %s itself near %s (edges %d and %d); %s",
		ringName(polygon, c.e.ring), what, p.placeOf(c.at), c.e.at+1, c.f.at+1, remedy)
}

// findCrossing finds a crossing of two edges of a polygon by a sweep over x.
// Touching at a point is no crossing, nor is a hole that follows its shell.
func findCrossing(p orb.Polygon) (crossing, bool) {
	es := edgesOf(p)
	slices.SortFunc(es, func(a, b edge) int { return cmp.Compare(a.minX(), b.minX()) })
	var active []edge
	for _, e := range es {
		x := e.minX()
		active = slices.DeleteFunc(active, func(f edge) bool { return f.maxX() < x })
		for _, f := range active {
			if at, same, ok := cross(f, e); ok {
				if e.ring < f.ring || e.ring == f.ring && e.at < f.at {
					return crossing{e, f, at, same}, true
				}
				return crossing{f, e, at, same}, true
			}
		}
		active = append(active, e)
	}
	return crossing{}, false
}

// cross tells whether two edges cross inside both, or, for edges of one ring,
// lie on each other over more than a point.
func cross(e, f edge) (at orb.Point, same, ok bool) {
	if math.Max(e.a[1], e.b[1]) < math.Min(f.a[1], f.b[1]) || math.Max(f.a[1], f.b[1]) < math.Min(e.a[1], e.b[1]) {
		return at, false, false
	}
	d1, d2 := side(e, f.a), side(e, f.b)
	d3, d4 := side(f, e.a), side(f, e.b)
	if d1 == 0 && d2 == 0 {
		at, ok = overlapMiddle(e, f)
		return at, true, ok && e.ring == f.ring
	}
	if d1*d2 < 0 && d3*d4 < 0 {
		t := d3 / (d3 - d4)
		return orb.Point{e.a[0] + t*(e.b[0]-e.a[0]), e.a[1] + t*(e.b[1]-e.a[1])}, false, true
	}
	return at, false, false
}

// side is the signed distance of q from the line through e in metres, left
// positive; 0 within the noise.
func side(e edge, q orb.Point) float64 {
	dx, dy := e.b[0]-e.a[0], e.b[1]-e.a[1]
	d := (dx*(q[1]-e.a[1]) - dy*(q[0]-e.a[0])) / math.Hypot(dx, dy)
	if math.Abs(d) < noiseM {
		return 0
	}
	return d
}

// overlapMiddle gives the middle of what two edges on one line have in common.
func overlapMiddle(e, f edge) (orb.Point, bool) {
	dx, dy := e.b[0]-e.a[0], e.b[1]-e.a[1]
	l := math.Hypot(dx, dy)
	along := func(q orb.Point) float64 { return (dx*(q[0]-e.a[0]) + dy*(q[1]-e.a[1])) / l }
	t0, t1 := along(f.a), along(f.b)
	if t0 > t1 {
		t0, t1 = t1, t0
	}
	t0, t1 = math.Max(t0, 0), math.Min(t1, l)
	if t1-t0 <= noiseM {
		return orb.Point{}, false
	}
	t := (t0 + t1) / 2 / l
	return orb.Point{e.a[0] + t*dx, e.a[1] + t*dy}, true
}
