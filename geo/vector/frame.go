package vector

import (
	"strings"

	"github.com/paulmach/orb"

	"ratewright/geo"
	"ratewright/geo/crs"
)

// frame turns shapes in the coordinates of a file into outlines in degrees.
type frame struct {
	system crs.CRS
	// degrees says that x and y are degrees already, so that nothing is computed
	// and geo.NewOutline explains what is out of range.
	degrees bool
}

func newFrame(system crs.CRS) frame {
	f := frame{system: system}
	if system.IsGeographic() {
		x, y, err := system.ToDegrees(1, 2)
		f.degrees = err == nil && x == 1 && y == 2
	}
	return f
}

// outline turns g, which it may change, into degrees.
func (f frame) outline(g orb.Geometry) (geo.Outline, *fault) {
	if !f.degrees {
		var err error
		if g, err = f.convert(g); err != nil {
			return geo.Outline{}, faultOf(err)
		}
	}
	o, err := geo.NewOutline(g)
	if err != nil {
		return geo.Outline{}, faultOf(err)
	}
	return o, nil
}

// convert turns every position into degrees, in place.
func (f frame) convert(g orb.Geometry) (orb.Geometry, error) {
	var err error
	switch g := g.(type) {
	case orb.Point:
		g[0], g[1], err = f.system.ToDegrees(g[0], g[1])
		return g, err
	case orb.MultiPoint:
		err = f.points(g)
	case orb.LineString:
		err = f.points(g)
	case orb.MultiLineString:
		for _, l := range g {
			if err = f.points(l); err != nil {
				break
			}
		}
	case orb.Polygon:
		err = f.rings(g)
	case orb.MultiPolygon:
		for _, p := range g {
			if err = f.rings(p); err != nil {
				break
			}
		}
	}
	return g, err
}

func (f frame) rings(p orb.Polygon) error {
	for _, r := range p {
		if err := f.points(r); err != nil {
			return err
		}
	}
	return nil
}

func (f frame) points(ps []orb.Point) error {
	for i, p := range ps {
		x, y, err := f.system.ToDegrees(p[0], p[1])
		if err != nil {
			return err
		}
		ps[i] = orb.Point{x, y}
	}
	return nil
}

// faultOf takes apart the message of a lower floor, which gives the remedy behind
// its last semicolon.
func faultOf(err error) *fault {
	s := err.Error()
	if i := strings.LastIndex(s, "; "); i >= 0 {
		return &fault{s[:i], s[i+2:]}
	}
	return &fault{what: s}
}
