package vector

import (
	"fmt"

	"github.com/paulmach/orb"
)

// maxCollections is how deep one GeometryCollection may hold another.
const maxCollections = 8

func isGeometryType(t string) bool {
	_, ok := nestingOf[t]
	return ok || t == "GeometryCollection"
}

// nestingOf is the depth of the brackets of each type's coordinates (RFC 7946
// section 3.1).
var nestingOf = map[string]int{
	"Point": 1, "MultiPoint": 2, "LineString": 2, "MultiLineString": 3, "Polygon": 3, "MultiPolygon": 4,
}

// geometry reads one geometry object; nil where it is null or empty.
func (g *geojsonSource) geometry(depth int) (orb.Geometry, error) {
	c, err := g.s.next()
	if err != nil {
		return nil, err
	}
	if c == 'n' {
		return nil, g.s.word("null")
	}
	if c != '{' {
		return nil, g.s.fail("the geometry is not an object", "write it in braces, or null")
	}
	g.s.pos++
	var o jsonObject
	for first := true; ; first = false {
		ok, err := g.s.more(first, '}')
		if err != nil {
			return nil, err
		}
		if !ok {
			return g.build(&o)
		}
		name, err := g.s.key()
		if err != nil {
			return nil, err
		}
		switch n := string(name); n {
		case "type", "coordinates", "geometries", "crs":
			err = g.member(&o, n, depth)
		default:
			err = g.s.skip(0)
		}
		if err != nil {
			return nil, err
		}
	}
}

// collection reads the members of a GeometryCollection.
func (g *geojsonSource) collection(o *jsonObject, depth int) error {
	if depth == maxCollections {
		return g.s.fail(fmt.Sprintf("collections are nested deeper than %d", maxCollections), "flatten them")
	}
	if o.coordinates {
		return g.s.fail("a geometry has both coordinates and geometries", "keep one of them")
	}
	if err := g.s.take('['); err != nil {
		return err
	}
	for first := true; ; first = false {
		ok, err := g.s.more(first, ']')
		if err != nil || !ok {
			return err
		}
		part, err := g.geometry(depth + 1)
		if err != nil {
			return err
		}
		if part != nil {
			o.parts = append(o.parts, part)
		}
	}
}

// build makes the shape of a geometry object whose members have been read.
func (g *geojsonSource) build(o *jsonObject) (orb.Geometry, error) {
	if o.typ == "GeometryCollection" {
		return g.merge(o)
	}
	want, ok := nestingOf[o.typ]
	switch {
	case o.typ == "":
		return nil, g.s.fail("a geometry has no type", "name it")
	case !ok:
		return nil, g.s.fail(fmt.Sprintf("%.40q is no type of geometry", o.typ), "use points, lines or polygons")
	case o.geometries:
		return nil, g.s.fail(fmt.Sprintf("a %s has geometries", o.typ), "make it a GeometryCollection")
	case !o.coordinates:
		return nil, g.s.fail(fmt.Sprintf("a %s has no coordinates", o.typ), "give them")
	case g.nest.depth == 0:
		return nil, nil
	case g.nest.depth != want:
		return nil, g.s.fail(fmt.Sprintf("the coordinates of a %s are nested %d deep, not %d", o.typ, g.nest.depth, want), "repair the brackets")
	}
	return g.nest.shape(o.typ), nil
}

// merge makes one multipolygon of a collection of polygons.
func (g *geojsonSource) merge(o *jsonObject) (orb.Geometry, error) {
	if !o.geometries || o.coordinates {
		return nil, g.s.fail("a GeometryCollection needs geometries and no coordinates", "repair it")
	}
	if len(o.parts) == 0 {
		return nil, nil
	}
	var mp orb.MultiPolygon
	for _, part := range o.parts {
		switch part := part.(type) {
		case orb.Polygon:
			mp = append(mp, part)
		case orb.MultiPolygon:
			mp = append(mp, part...)
		default:
			return nil, g.s.fail(
				fmt.Sprintf("a GeometryCollection holds a %s, and only collections of polygons are read", part.GeoJSONType()),
				"make each part a feature of its own")
		}
	}
	return mp, nil
}
