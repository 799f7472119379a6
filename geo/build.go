package geo

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

// Region projects the polygons of an outline; points and lines are left out.
// Rings may turn either way. Polygons that overlap or share an edge become one
// ground, counted once. A ring that crosses itself or another ring of its
// polygon, encloses nothing, or is a hole outside its polygon is an error that
// names the ring, the place and the remedy.
func (p Plane) Region(o Outline) (Region, error) {
	b, ok := o.Bounds()
	if !ok {
		return newRegion(p, nil), nil
	}
	if err := p.checkFits(b); err != nil {
		return Region{}, err
	}
	return RegionFromPolygons(p, p.projectPolygons(o.Polygons()))
}

// RegionFromPolygons makes a region from polygons in metres of the plane, under
// the rules of [Plane.Region]; unclosed rings and numbers that are not finite
// are errors too.
func RegionFromPolygons(p Plane, mp orb.MultiPolygon) (Region, error) {
	valid := make(orb.MultiPolygon, 0, len(mp))
	for i, poly := range mp {
		repaired, err := checkPolygon(p, i, poly)
		if err != nil {
			return Region{}, err
		}
		valid = append(valid, repaired...)
	}
	if len(valid) < 2 {
		return newRegion(p, valid), nil
	}
	if isValid(valid) {
		return newRegion(p, valid), nil
	}
	if r, ok := dissolve(p, []orb.MultiPolygon{newRegion(p, valid).Polygons()}); ok {
		return r, nil
	}
	gs := make([]geom.Geometry, 0, len(valid))
	for _, poly := range noded([]orb.MultiPolygon{valid})[0] {
		gs = append(gs, toGeomPolygon(poly).AsGeometry())
	}
	g, err := geom.UnionMany(gs)
	r, err := ofOverlay(p, g, err)
	if err == nil {
		return r, nil
	}
	return Region{}, fmt.Errorf("joining the %d polygons of %s failed: %w; draw them so that they do not overlap",
		len(valid), newRegion(p, valid).describe(), err)
}

// checkPolygon names what is wrong with polygon i, or returns it as valid
// polygons: a ring that only touches itself is cut there.
func checkPolygon(p Plane, i int, poly orb.Polygon) (orb.MultiPolygon, error) {
	for j, r := range poly {
		if err := checkPlaneRing(p, ringName(i, j), r); err != nil {
			return nil, err
		}
	}
	if all := (orb.MultiPolygon{windRings(poly)}); isValid(all) {
		return all, thinRing(p, i, poly)
	}
	if c, found := findCrossing(poly); found {
		return nil, c.describe(p, i)
	}
	outer := shell{ring: poly[0]}
	for j, h := range poly[1:] {
		if !outer.hold(h) {
			return nil, fmt.Errorf("%s is a hole outside its polygon, near %s; make it a polygon of its own or remove it",
				ringName(i, j+1), p.placeOf(h[0]))
		}
	}
	return cutAtTouches(p, i, poly)
}

// windRings turns the shell to the left and holes to the right.
func windRings(p orb.Polygon) orb.Polygon {
	out := make(orb.Polygon, len(p))
	for i, r := range p {
		out[i] = wound(r, i == 0)
	}
	return out
}

// cutAtTouches makes valid polygons of one whose rings only touch, themselves or
// each other. Then the ground is what the rings' own areas say; where it is not,
// a ring crosses at a point that it passes twice, or holes overlap.
func cutAtTouches(p Plane, i int, poly orb.Polygon) (orb.MultiPolygon, error) {
	shell := toGeomPolygon(poly[:1]).AsGeometry()
	u, err := geom.Union(shell, shell) // with one operand the library does nothing
	due, length := math.Abs(ringAreaM2(poly[0])), ringLengthM(poly[0])
	for _, h := range poly[1:] {
		if err == nil {
			u, err = geom.Difference(u, toGeomPolygon(orb.Polygon{h}).AsGeometry())
		}
		due -= math.Abs(ringAreaM2(h))
		length += ringLengthM(h)
	}
	if err == nil && math.Abs(u.Area()-due) <= noiseM*length {
		return fromGeom(nil, u), thinRing(p, i, poly)
	}
	return nil, fmt.Errorf("polygon %d is not valid: a ring crosses itself at a point that it passes twice, or its holes overlap, near %s; draw it again as separate polygons",
		i+1, p.placeOf(passedTwice(poly)))
}

// passedTwice finds a point that the rings pass twice, else their first point.
func passedTwice(poly orb.Polygon) orb.Point {
	seen := map[orb.Point]bool{}
	for _, r := range poly {
		for _, q := range r[1:] {
			if seen[q] {
				return q
			}
			seen[q] = true
		}
	}
	return poly[0][0]
}

func checkPlaneRing(p Plane, name string, r orb.Ring) error {
	for _, q := range r {
		if s := q[0] + q[1]; math.IsNaN(s) || math.IsInf(s, 0) {
			return fmt.Errorf("%s has a coordinate that is not a finite number; remove the point", name)
		}
	}
	switch {
	case len(r) == 0:
		return fmt.Errorf("%s has no points; remove it", name)
	case r[0] != r[len(r)-1]:
		return fmt.Errorf("%s is not closed: it starts at %s and ends at %s; repeat the first point at the end",
			name, p.placeOf(r[0]), p.placeOf(r[len(r)-1]))
	case len(r) < 4:
		return fmt.Errorf("%s has fewer than 3 different points in a row near %s; draw it again or remove it", name, p.placeOf(r[0]))
	}
	return nil
}

// thinRing names a ring that encloses nothing; it comes last, because the halves
// of a ring that crosses itself may cancel.
func thinRing(p Plane, i int, poly orb.Polygon) error {
	for j, r := range poly {
		if isThin(r) {
			return fmt.Errorf("%s has no area near %s; draw it again or remove it", ringName(i, j), p.placeOf(r[0]))
		}
	}
	return nil
}

func ringName(polygon, ring int) string {
	return fmt.Sprintf("polygon %d, ring %d", polygon+1, ring+1)
}

// placeOf prints a place of the plane in degrees.
func (p Plane) placeOf(m orb.Point) string { return place(orb.Point(p.Unproject(m))) }
