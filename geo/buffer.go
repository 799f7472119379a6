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
	quarterSegments = 24
	// bufferLeanRad bounds, in radians, how far a piece leans off the arc at its
	// ends. The library rounds the number of pieces, so that one may have 1.5
	// times an even share, 0.0491 on each side of its middle, and gives a corner
	// that turns by less than 0.05 no arc but one vertex.
	bufferLeanRad = 0.05
	// bufferMarginM makes up for the rounding of the buffer's vertices, in metres.
	bufferMarginM = 1e-6
)

// Buffer returns the ground within a distance of an outline: of its points,
// lines and polygons, round everywhere. It is never smaller than asked: arcs
// become straight pieces outside the arc, so that the edge lies between d and
// 1.0013 d (plus a thousandth of a millimetre). The full circle around a point
// becomes a polygon of 96 sides with 0.18 % more area than pi d^2. A distance of
// 0 gives the polygons alone; a negative one is an error.
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
	// The vertices lie at r, the rest of a piece at r cos(lean) or further.
	r := m/math.Cos(bufferLeanRad) + bufferMarginM
	g, err := geom.Buffer(geom.NewGeometryCollection(gs).AsGeometry(), r,
		geom.BufferQuadSegments(quarterSegments), geom.BufferSimplifyFactor(0)) // filling dents first would take ground away
	wide, err := ofOverlay(p, g, err)
	if err == nil {
		return wide, nil
	}
	b, _ := o.Bounds()
	return Region{}, fmt.Errorf("the ground within %v m of the outline around %s could not be drawn: %w; simplify the outline",
		m, place(b.Center()), err)
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
