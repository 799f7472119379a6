package geo

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

// Union returns the ground of either region.
func (r Region) Union(o Region) (Region, error) {
	return overlay("union", r, o, geom.Union)
}

// Intersect returns the ground of both regions.
func (r Region) Intersect(o Region) (Region, error) {
	return overlay("intersection", r, o, geom.Intersection)
}

// Subtract returns the ground of r that is not in o.
func (r Region) Subtract(o Region) (Region, error) {
	return overlay("difference", r, o, geom.Difference)
}

// UnionAll returns the ground of any of the regions; of none, the empty region.
func UnionAll(rs []Region) (Region, error) {
	var plane Region
	var gs []geom.Geometry
	for _, r := range rs {
		p, err := commonPlane(plane, r)
		if err != nil {
			return Region{}, err
		}
		if plane.ground == nil && r.ground != nil {
			plane = Region{&ground{plane: p}}
		}
		if !r.IsEmpty() {
			gs = append(gs, toGeom(r.ground.polys))
		}
	}
	if len(gs) == 0 {
		return plane, nil
	}
	g, err := geom.UnionMany(gs)
	if err != nil {
		return Region{}, fmt.Errorf("union of %d regions failed: %w", len(rs), err)
	}
	return newRegion(plane.Plane(), fromGeom(nil, g)), nil
}

// overlay combines two regions; an error names both.
func overlay(name string, a, b Region, op func(a, b geom.Geometry) (geom.Geometry, error)) (Region, error) {
	p, err := commonPlane(a, b)
	if err != nil {
		return Region{}, err
	}
	g, err := op(toGeom(a.Polygons()), toGeom(b.Polygons()))
	if err != nil {
		return Region{}, fmt.Errorf("%s of %s and %s failed: %w; simplify the outlines or draw them again",
			name, a.describe(), b.describe(), err)
	}
	return newRegion(p, fromGeom(nil, g)), nil
}

// describe names a region in a message.
func (r Region) describe() string {
	if r.IsEmpty() {
		return "an empty region"
	}
	n := 0
	for _, p := range r.ground.polys {
		for _, ring := range p {
			n += len(ring)
		}
	}
	c := r.ground.plane.Unproject(r.ground.bound.Center())
	return fmt.Sprintf("a region of %.0f m2 around %s (%d polygons, %d vertices)",
		math.Round(r.ground.areaM2), place(orb.Point(c)), len(r.ground.polys), n)
}
