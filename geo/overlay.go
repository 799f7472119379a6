package geo

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

// Union returns the ground of either region.
func (r Region) Union(o Region) (Region, error) {
	return together("union", r, o, inEither, geom.Union)
}

// Intersect returns the ground of both regions.
func (r Region) Intersect(o Region) (Region, error) {
	p, err := commonPlane(r, o)
	if err != nil {
		return Region{}, err
	}
	switch relate(r, o) {
	case apart:
		return newRegion(p, nil), nil
	case within:
		return r, nil
	}
	return together("intersection", r, o, inBoth, geom.Intersection)
}

// Subtract returns the ground of r that is not in o.
func (r Region) Subtract(o Region) (Region, error) {
	p, err := commonPlane(r, o)
	if err != nil {
		return Region{}, err
	}
	switch relate(r, o) {
	case apart:
		return r, nil
	case within:
		return newRegion(p, nil), nil
	}
	return together("difference", r, o, inFirst, geom.Difference)
}

// UnionAll returns the ground of any of the regions; of none, the empty region.
func UnionAll(rs []Region) (Region, error) {
	plane, some, err := notEmpty(rs)
	if err != nil {
		return Region{}, err
	}
	switch len(some) {
	case 0:
		return plane, nil
	case 1:
		return some[0], nil
	}
	parts := polygonsOf(some)
	if r, ok := dissolve(plane.Plane(), parts); ok {
		return r, nil
	}
	gs := make([]geom.Geometry, 0, len(parts))
	for _, mp := range noded(parts) {
		gs = append(gs, toGeom(mp))
	}
	g, err := geom.UnionMany(gs)
	u, err := ofOverlay(plane.Plane(), g, err)
	if err == nil {
		return u, nil
	}
	if u, ok := joinedInTurn(some); ok {
		return u, nil
	}
	return Region{}, fmt.Errorf("union of %d regions, the first %s, failed: %w; simplify the outlines or draw them again",
		len(rs), some[0].describe(), err)
}

// joinedInTurn is the union of regions that the overlay library fails on, as it does
// where many overlap and their vertices differ by about the noise.
func joinedInTurn(rs []Region) (all Region, ok bool) {
	all = rs[0]
	for _, r := range rs[1:] {
		if all, ok = combine(all, r, inEither); !ok {
			return Region{}, false
		}
	}
	return all, true
}

// SubtractAll returns the ground of r that is in none of the regions.
func (r Region) SubtractAll(rs []Region) (Region, error) {
	if rest, ok := r.SubtractApart(rs); ok {
		return rest, nil
	}
	all, err := UnionAll(rs)
	if err != nil {
		return Region{}, err
	}
	return r.Subtract(all)
}

// SubtractApart returns the ground of r that is in none of the regions, which lie in r
// and share no ground, as zones of a field do; ok is false where they do not, or nearly
// so that it takes an overlay to tell. It takes time in proportion to n log² n of all
// vertices.
func (r Region) SubtractApart(rs []Region) (rest Region, ok bool) {
	plane, some, err := notEmpty(append([]Region{r}, rs...))
	if err != nil || r.IsEmpty() {
		return plane, err == nil && len(some) == 0
	}
	parts := polygonsOf(some)
	return leaveOut(plane.Plane(), parts[:1], parts[1:])
}

// JoinApart returns the ground of regions that share none, as zones of a field do;
// ok is false where two share ground, or nearly so that it takes an overlay to tell.
// It takes time in proportion to n log² n of their vertices.
func JoinApart(rs []Region) (all Region, ok bool) {
	plane, some, err := notEmpty(rs)
	if err != nil || len(some) == 0 {
		return plane, err == nil
	}
	return dissolve(plane.Plane(), polygonsOf(some))
}

// notEmpty returns the regions that have ground, and an empty one in their plane.
func notEmpty(rs []Region) (plane Region, some []Region, err error) {
	for _, r := range rs {
		p, err := commonPlane(plane, r)
		if err != nil {
			return Region{}, nil, err
		}
		if plane.ground == nil && r.ground != nil {
			plane = Region{&ground{plane: p}}
		}
		if !r.IsEmpty() {
			some = append(some, r)
		}
	}
	return plane, some, nil
}

func polygonsOf(rs []Region) []orb.MultiPolygon {
	out := make([]orb.MultiPolygon, len(rs))
	for i, r := range rs {
		out[i] = r.Polygons()
	}
	return out
}

// together combines two regions: those that are small, crowded or have few edges near
// each other here, and others, or where that fails, by the overlay library.
func together(name string, a, b Region, keep rule, op func(a, b geom.Geometry) (geom.Geometry, error)) (Region, error) {
	if c := contestOf(a, b); c.isLocal() || a.isCrowded() || b.isCrowded() {
		if r, ok := c.combine(keep); ok {
			return r, nil
		}
	}
	return overlay(name, a, b, op)
}

// overlay combines two regions by the library; an error names both.
func overlay(name string, a, b Region, op func(a, b geom.Geometry) (geom.Geometry, error)) (Region, error) {
	p, err := commonPlane(a, b)
	if err != nil {
		return Region{}, err
	}
	both := noded([]orb.MultiPolygon{a.Polygons(), b.Polygons()})
	g, err := op(toGeom(both[0]), toGeom(both[1]))
	r, err := ofOverlay(p, g, err)
	if err == nil {
		return r, nil
	}
	return Region{}, fmt.Errorf("%s of %s and %s failed: %w; simplify the outlines or draw them again",
		name, a.describe(), b.describe(), err)
}

// describe names a region in a message.
func (r Region) describe() string {
	if r.IsEmpty() {
		return "an empty region"
	}
	c := r.ground.plane.Unproject(r.ground.bound.Center())
	return fmt.Sprintf("a region of %.0f m2 around %s (%d polygons, %d vertices)",
		math.Round(r.ground.areaM2), place(orb.Point(c)), len(r.ground.polys), vertices(r.ground.polys))
}
