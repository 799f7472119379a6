package geo

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"ratewright/geo/unit"
)

const (
	// quarterSegments is how many straight pieces stand for a quarter circle.
	quarterSegments = 16
	// bufferMarginM makes up for the rounding of the buffer's vertices.
	bufferMarginM = 1e-6
)

// Buffer returns the ground within a distance of an outline: of its points,
// lines and polygons, round everywhere. It is never smaller than asked: a circle
// becomes a polygon of 64 sides drawn around it, so that the edge lies between d
// and 1.0013 d (plus a thousandth of a millimetre) and a full circle has 0.09 %
// too much area. A distance of 0 gives the polygons alone; a negative one is an
// error.
func (p Plane) Buffer(o Outline, d unit.Length) (Region, error) {
	m := d.Metres()
	if !(m >= 0) || math.IsInf(m, 0) {
		return Region{}, fmt.Errorf("a distance of %v m is not usable; give a distance of 0 or more", m)
	}
	areas, err := p.Region(o)
	if err != nil || m == 0 || o.IsEmpty() {
		return areas, err
	}
	gs := p.appendThin(nil, o.g)
	if !areas.IsEmpty() {
		gs = append(gs, toGeom(areas.ground.polys))
	}
	if len(gs) == 0 {
		return areas, nil
	}
	// The library's arcs have their vertices on the circle, so that the middle
	// of a side is too near by cos(half the angle of a side).
	r := m/math.Cos(math.Pi/(4*quarterSegments)) + bufferMarginM
	g, err := geom.Buffer(geom.NewGeometryCollection(gs).AsGeometry(), r,
		geom.BufferQuadSegments(quarterSegments), geom.BufferSimplifyFactor(0))
	if err != nil {
		b, _ := o.Bounds()
		return Region{}, fmt.Errorf("the ground within %v m of the outline around %s could not be drawn: %w; simplify the outline",
			m, place(b.Center()), err)
	}
	return newRegion(p, fromGeom(nil, g)), nil
}

// appendThin appends the points and lines of an outline in metres.
func (p Plane) appendThin(gs []geom.Geometry, g orb.Geometry) []geom.Geometry {
	switch g := g.(type) {
	case orb.Point:
		return append(gs, p.thin(g))
	case orb.MultiPoint:
		for _, q := range g {
			gs = append(gs, p.thin(q))
		}
	case orb.LineString:
		if len(g) > 0 {
			gs = append(gs, p.thin(g...))
		}
	case orb.MultiLineString:
		for _, l := range g {
			gs = p.appendThin(gs, l)
		}
	case orb.Collection:
		for _, part := range g {
			gs = p.appendThin(gs, part)
		}
	}
	return gs
}

// thin projects a point or a line; a line that stays in place is a point.
func (p Plane) thin(ps ...orb.Point) geom.Geometry {
	line := p.projectRing(ps)
	if len(line) == 1 {
		return geom.NewPointXY(line[0][0], line[0][1]).AsGeometry()
	}
	return toGeomLine(line).AsGeometry()
}
