package geo

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// LonLat is a position in degrees: longitude first, then latitude.
type LonLat orb.Point

// Lon returns the longitude in degrees, east positive.
func (l LonLat) Lon() float64 { return l[0] }

// Lat returns the latitude in degrees, north positive.
func (l LonLat) Lat() float64 { return l[1] }

// Outline is a shape in degrees, as a file gave it: points, lines or polygons.
// Degrees have no area and no length; [Plane.Region] gives a shape that has.
// The zero value is empty.
type Outline struct{ g orb.Geometry }

// NewOutline checks a shape in degrees and wraps it; the shape must not be
// changed afterwards. Longitudes lie in [-180, 180] and latitudes in [-90, 90],
// rings are closed and have at least four points. The error names the part, the
// value and the remedy. A nil shape is the empty outline.
func NewOutline(g orb.Geometry) (Outline, error) {
	if g == nil {
		return Outline{}, nil
	}
	if b, ok := g.(orb.Bound); ok {
		g = b.ToPolygon()
	}
	if r, ok := g.(orb.Ring); ok {
		g = orb.Polygon{r}
	}
	if err := checkGeometry(g); err != nil {
		return Outline{}, err
	}
	return Outline{g}, nil
}

// Geometry returns the shape; it must not be changed.
func (o Outline) Geometry() orb.Geometry { return o.g }

// IsEmpty reports whether the outline has no points at all.
func (o Outline) IsEmpty() bool {
	if p, ok := o.g.(orb.Polygon); ok && len(p) > 0 {
		return false // its rings have been checked
	}
	_, ok := o.Bounds()
	return !ok
}

// Bounds returns the box around the outline in degrees, and false if the
// outline is empty.
func (o Outline) Bounds() (orb.Bound, bool) {
	if o.g == nil {
		return orb.Bound{}, false
	}
	b := o.g.Bound()
	return b, !b.IsEmpty()
}

// Polygons returns the polygons of the outline, those inside collections
// included; points and lines are left out. It must not be changed.
func (o Outline) Polygons() orb.MultiPolygon {
	return appendPolygons(nil, o.g)
}

func appendPolygons(mp orb.MultiPolygon, g orb.Geometry) orb.MultiPolygon {
	switch g := g.(type) {
	case orb.Ring:
		return append(mp, orb.Polygon{g})
	case orb.Bound:
		return append(mp, g.ToPolygon())
	case orb.Polygon:
		if len(g) > 0 {
			mp = append(mp, g)
		}
	case orb.MultiPolygon:
		for _, p := range g {
			mp = appendPolygons(mp, p)
		}
	case orb.Collection:
		for _, part := range g {
			mp = appendPolygons(mp, part)
		}
	}
	return mp
}

// checkGeometry checks every position and the closing of every ring.
func checkGeometry(g orb.Geometry) error {
	switch g := g.(type) {
	case orb.Point:
		return checkPositions("", g)
	case orb.MultiPoint:
		return checkPositions("", g...)
	case orb.LineString:
		return checkLine("", g)
	case orb.MultiLineString:
		for i, l := range g {
			if err := checkLine(fmt.Sprintf("line %d: ", i+1), l); err != nil {
				return err
			}
		}
	case orb.Ring:
		return checkRing("", g)
	case orb.Bound:
		return checkPositions("", g.Min, g.Max)
	case orb.Polygon:
		return checkRings("", g)
	case orb.MultiPolygon:
		for i, p := range g {
			if err := checkRings(fmt.Sprintf("polygon %d, ", i+1), p); err != nil {
				return err
			}
		}
	case orb.Collection:
		for i, part := range g {
			if err := checkGeometry(part); err != nil {
				return fmt.Errorf("part %d: %w", i+1, err)
			}
		}
	default:
		return fmt.Errorf("a shape of kind %T is not known; use points, lines or polygons", g)
	}
	return nil
}

func checkLine(where string, l orb.LineString) error {
	if len(l) == 1 {
		return fmt.Errorf("%sa line of one point; give at least two points or make it a point", where)
	}
	return checkPositions(where, l...)
}

func checkRings(where string, p orb.Polygon) error {
	for i, r := range p {
		if err := checkRing(fmt.Sprintf("%sring %d: ", where, i+1), r); err != nil {
			return err
		}
	}
	return nil
}

func checkRing(where string, r orb.Ring) error {
	if err := checkPositions(where, r...); err != nil {
		return err
	}
	if len(r) == 0 {
		return fmt.Errorf("%sthe ring has no points; remove it", where)
	}
	if r[0] != r[len(r)-1] {
		return fmt.Errorf("%sthe ring is not closed: it starts at %s and ends at %s; repeat the first point at the end",
			where, place(r[0]), place(r[len(r)-1]))
	}
	if len(r) < 4 {
		return fmt.Errorf("%sthe ring has %d points near %s; a ring needs at least 4, the last equal to the first",
			where, len(r), place(r[0]))
	}
	return nil
}

func checkPositions(where string, ps ...orb.Point) error {
	for i, p := range ps {
		x, y := p[0], p[1]
		if math.Abs(x) <= 180 && math.Abs(y) <= 90 { // false for NaN
			continue
		}
		at := fmt.Sprintf("%spoint %d is (%v, %v)", where, i+1, x, y)
		switch {
		case math.IsNaN(x) || math.IsNaN(y) || math.IsInf(x, 0) || math.IsInf(y, 0):
			return fmt.Errorf("%s, which is not a number; remove the point or repair the file", at)
		case math.Abs(x) <= 90 && math.Abs(y) <= 180:
			return fmt.Errorf("%s: longitude and latitude look swapped; write longitude first", at)
		case math.Abs(x) > 360 || math.Abs(y) > 360:
			return fmt.Errorf("%s: these look like metres or feet, not degrees; name the coordinate system of the file", at)
		default:
			return fmt.Errorf("%s, outside longitude -180 to 180 and latitude -90 to 90; repair the file", at)
		}
	}
	return nil
}

// place prints a position in degrees for a message: longitude, latitude.
func place(p orb.Point) string { return fmt.Sprintf("(%.7f, %.7f)", p[0], p[1]) }
