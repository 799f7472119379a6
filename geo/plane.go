package geo

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"ratewright/geo/crs"
)

// reachM is how far from its origin a plane is used, in metres. The scale of
// the plane is off by x^2/(2R^2) there: 5e-4 at 200 km, 3e-9 at 500 m.
const reachM = 200e3

// Plane is the flat map of one field: transverse Mercator on WGS 84 with scale
// 1 at its origin, which is near the middle of the field. Its x axis points
// east and its y axis north, in metres from the origin. A field of 10 km keeps
// its geodesic area to 1e-6, one of 1 km to 2e-8.
//
// Two planes are the same if their origins are equal.
type Plane struct {
	origin LonLat
	tm     *crs.TransverseMercator
	near   *nearby // beside tm, for places near the origin
}

// NewPlane makes the plane around an origin in degrees.
func NewPlane(origin LonLat) (Plane, error) {
	if err := checkPositions("origin of the plane: ", orb.Point(origin)); err != nil {
		return Plane{}, err
	}
	if math.Abs(origin.Lat()) > 88 {
		return Plane{}, fmt.Errorf("origin of the plane: latitude %v is too near a pole; it must lie between -88 and 88", origin.Lat())
	}
	tm := crs.NewTransverseMercator(crs.WGS84Ellipsoid(), origin.Lon(), origin.Lat(), 1, 0, 0)
	near := fitNearby(&tm, origin)
	return Plane{origin: origin, tm: &tm, near: &near}, nil
}

// PlaneFor makes the plane around the centre of the outline's bounds, rounded
// to a millionth of a degree so that its origin can be printed exactly.
func PlaneFor(o Outline) (Plane, error) {
	b, ok := o.Bounds()
	if !ok {
		return Plane{}, errors.New("an empty outline has no plane; give a boundary with at least one polygon")
	}
	c := b.Center()
	p, err := NewPlane(LonLat{round6(c[0]), round6(c[1])})
	if err != nil {
		return Plane{}, err
	}
	return p, p.checkFits(b)
}

func round6(deg float64) float64 { return math.Round(deg*1e6) / 1e6 }

// Origin returns the place in degrees that is (0, 0) in the plane.
func (p Plane) Origin() LonLat { return p.origin }

// Fits reports whether a place is near enough, within 200 km of the origin, for
// [Plane.Project] to be of use.
func (p Plane) Fits(l LonLat) bool {
	// A degree of latitude has at most 111.7 km; this cheap test also keeps the
	// projection inside its domain.
	if !(math.Abs(l.Lat()-p.origin.Lat()) < reachM/110e3) {
		return false
	}
	q := p.Project(l)
	return math.Hypot(q[0], q[1]) <= reachM
}

func (p Plane) checkFits(b orb.Bound) error {
	for _, c := range b.ToRing()[:4] {
		if !p.Fits(LonLat(c)) {
			return fmt.Errorf("%s is more than 200 km from %s, the middle of the field; give the boundary of one field, with its parts on one side of the 180 degree meridian",
				place(c), place(orb.Point(p.origin)))
		}
	}
	return nil
}

// Project turns degrees into metres in the plane. It is the hot path and checks
// nothing: [Plane.Fits] tells which places it is meant for.
func (p Plane) Project(l LonLat) orb.Point {
	if q, ok := p.near.project(l[0]-p.origin[0], l[1]-p.origin[1]); ok {
		return q
	}
	x, y := p.tm.Forward(l[0], l[1])
	return orb.Point{x, y}
}

// Unproject turns metres in the plane into degrees.
func (p Plane) Unproject(m orb.Point) LonLat {
	if dLon, dLat, ok := p.near.unproject(m); ok {
		lon := p.origin[0] + dLon
		if math.Abs(lon) > 180 {
			lon = math.Remainder(lon, 360)
		}
		return LonLat{lon, p.origin[1] + dLat}
	}
	lon, lat := p.tm.Inverse(m[0], m[1])
	return LonLat{lon, lat}
}

// same reports whether two planes give the same metres.
func (p Plane) same(q Plane) bool { return p.origin == q.origin && (p.tm == nil) == (q.tm == nil) }

// projectRing gives the ring in metres without repeated points.
func (p Plane) projectRing(r orb.Ring) orb.Ring {
	out := make(orb.Ring, 0, len(r))
	for _, q := range r {
		m := p.Project(LonLat(q))
		if n := len(out); n == 0 || out[n-1] != m {
			out = append(out, m)
		}
	}
	return out
}

func (p Plane) projectPolygons(mp orb.MultiPolygon) orb.MultiPolygon {
	out := make(orb.MultiPolygon, len(mp))
	for i, poly := range mp {
		out[i] = make(orb.Polygon, len(poly))
		for j, r := range poly {
			out[i][j] = p.projectRing(r)
		}
	}
	return out
}
