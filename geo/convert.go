package geo

import (
	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

// toGeom copies polygons into the overlay library's type.
func toGeom(mp orb.MultiPolygon) geom.Geometry {
	polys := make([]geom.Polygon, len(mp))
	for i, p := range mp {
		polys[i] = toGeomPolygon(p)
	}
	return geom.NewMultiPolygon(polys).AsGeometry()
}

func toGeomPolygon(p orb.Polygon) geom.Polygon {
	rings := make([]geom.LineString, len(p))
	for j, r := range p {
		rings[j] = toGeomLine(r)
	}
	return geom.NewPolygon(rings)
}

func toGeomLine(ps []orb.Point) geom.LineString {
	xy := make([]float64, 0, 2*len(ps))
	for _, q := range ps {
		xy = append(xy, q[0], q[1])
	}
	return geom.NewLineString(geom.NewSequence(xy, geom.DimXY))
}

// fromGeom appends the polygons of g; points and lines, which an overlay of
// regions that only touch leaves behind, are no ground.
func fromGeom(mp orb.MultiPolygon, g geom.Geometry) orb.MultiPolygon {
	switch g.Type() {
	case geom.TypePolygon:
		return appendGeomPolygon(mp, g.MustAsPolygon())
	case geom.TypeMultiPolygon:
		for _, p := range g.MustAsMultiPolygon().Dump() {
			mp = appendGeomPolygon(mp, p)
		}
	case geom.TypeGeometryCollection:
		for _, part := range g.MustAsGeometryCollection().Dump() {
			mp = fromGeom(mp, part)
		}
	}
	return mp
}

func appendGeomPolygon(mp orb.MultiPolygon, p geom.Polygon) orb.MultiPolygon {
	if p.IsEmpty() {
		return mp
	}
	var out orb.Polygon
	for _, s := range p.Coordinates() {
		ring := make(orb.Ring, s.Length())
		for k := range ring {
			xy := s.GetXY(k)
			ring[k] = orb.Point{xy.X, xy.Y}
		}
		out = append(out, ring)
	}
	return append(mp, out)
}
