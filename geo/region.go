package geo

import (
	"errors"
	"sync"

	"github.com/paulmach/orb"

	"ratewright/geo/unit"
)

// Region is ground in one plane: valid polygons that do not overlap, outer
// rings counter-clockwise, holes clockwise, every ring closed, in metres. It
// never changes once made. The zero value is empty and goes with any plane.
type Region struct{ ground *ground }

// ground is what a Region points at, so that copies of a Region are cheap and
// share one index of edges.
type ground struct {
	plane  Plane
	polys  orb.MultiPolygon
	areaM2 float64
	bound  orb.Bound
	edges  edgeIndex

	crowded   sync.Once // before the first answer to isCrowded
	isCrowded bool
}

// newRegion takes valid polygons, turns their rings the right way and drops
// what is thinner than noise.
func newRegion(p Plane, mp orb.MultiPolygon) Region {
	g := &ground{plane: p}
	for _, poly := range mp {
		clean, area := tidyPolygon(poly)
		if clean == nil {
			continue
		}
		g.polys = append(g.polys, clean)
		g.areaM2 += area
	}
	if g.polys != nil {
		g.bound = g.polys.Bound()
	}
	return Region{g}
}

// Plane returns the plane of the region; the zero Plane for the zero Region.
func (r Region) Plane() Plane {
	if r.ground == nil {
		return Plane{}
	}
	return r.ground.plane
}

// Area returns the area in the plane.
func (r Region) Area() unit.Area {
	if r.ground == nil {
		return 0
	}
	return unit.SquareMetres(r.ground.areaM2)
}

// IsEmpty reports whether the region has no ground.
func (r Region) IsEmpty() bool { return r.ground == nil || len(r.ground.polys) == 0 }

// Polygons returns the polygons in metres; they must not be changed.
func (r Region) Polygons() orb.MultiPolygon {
	if r.ground == nil {
		return nil
	}
	return r.ground.polys
}

// Bound returns the box around the region in metres; for an empty region the
// zero box.
func (r Region) Bound() orb.Bound {
	if r.ground == nil {
		return orb.Bound{}
	}
	return r.ground.bound
}

// Outline returns the region in degrees. Equal vertices of neighbours stay
// equal.
func (r Region) Outline() Outline {
	if r.IsEmpty() {
		return Outline{}
	}
	mp := make(orb.MultiPolygon, len(r.ground.polys))
	for i, poly := range r.ground.polys {
		mp[i] = make(orb.Polygon, len(poly))
		for j, ring := range poly {
			out := make(orb.Ring, len(ring))
			for k, q := range ring {
				out[k] = orb.Point(r.ground.plane.Unproject(q))
			}
			mp[i][j] = out
		}
	}
	return Outline{mp}
}

// commonPlane returns the plane of two regions that are to be combined.
func commonPlane(a, b Region) (Plane, error) {
	if a.ground == nil {
		return b.Plane(), nil
	}
	if b.ground == nil || a.ground.plane.same(b.ground.plane) {
		return a.ground.plane, nil
	}
	return Plane{}, errors.New("two regions of different planes cannot be combined; make both with the plane of one field")
}
