package geo

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

// mendTries is how often an outline is mended and put back on its grid; once is
// nearly always enough.
const mendTries = 4

// Mended returns polygons in degrees whose vertices lie on a grid of so many
// decimals, where putting them on the grid has made outlines cross themselves by
// a step of it. Polygons that are valid come back as they are. Otherwise the
// parts that a crossing has cut off, which are no wider than a step, are dropped.
// ok is false where that does not make them valid.
func Mended(mp orb.MultiPolygon, decimals int) (mended orb.MultiPolygon, ok bool) {
	if len(mp) == 0 {
		return nil, true
	}
	steps := math.Pow(10, float64(decimals))
	origin := mp[0][0][0]
	grid := gridSteps{origin: orb.Point{math.Round(origin[0] * steps), math.Round(origin[1] * steps)}, perDegree: steps}
	g := toGeom(grid.from(mp))
	if g.Validate() == nil {
		return mp, true
	}
	for range mendTries {
		clean, err := geom.Buffer(g, 0)
		if err != nil {
			return nil, false
		}
		on := grid.rounded(fromGeom(nil, clean))
		if g = toGeom(on); g.Validate() == nil {
			return grid.to(on), true
		}
	}
	return nil, false
}

// gridSteps counts degrees in steps of a grid from an origin, so that every
// vertex is a whole number.
type gridSteps struct {
	origin    orb.Point
	perDegree float64
}

func (s gridSteps) from(mp orb.MultiPolygon) orb.MultiPolygon {
	return eachVertex(mp, func(p orb.Point) orb.Point {
		return orb.Point{math.Round(p[0]*s.perDegree) - s.origin[0], math.Round(p[1]*s.perDegree) - s.origin[1]}
	})
}

func (s gridSteps) to(mp orb.MultiPolygon) orb.MultiPolygon {
	return eachVertex(mp, func(p orb.Point) orb.Point {
		return orb.Point{(p[0] + s.origin[0]) / s.perDegree, (p[1] + s.origin[1]) / s.perDegree}
	})
}

// rounded puts vertices back on the grid and drops rings thinner than its step.
func (s gridSteps) rounded(mp orb.MultiPolygon) orb.MultiPolygon {
	mp = eachVertex(mp, func(p orb.Point) orb.Point { return orb.Point{math.Round(p[0]), math.Round(p[1])} })
	var out orb.MultiPolygon
	for _, poly := range mp {
		var kept orb.Polygon
		for i, r := range poly {
			if math.Abs(ringAreaM2(r)) > ringLengthM(r)/2 {
				kept = append(kept, wound(r, i == 0))
			} else if i == 0 {
				break
			}
		}
		if kept != nil {
			out = append(out, kept)
		}
	}
	return out
}

// eachVertex maps every vertex and drops those that repeat the one before.
func eachVertex(mp orb.MultiPolygon, f func(orb.Point) orb.Point) orb.MultiPolygon {
	out := make(orb.MultiPolygon, 0, len(mp))
	for _, poly := range mp {
		q := make(orb.Polygon, 0, len(poly))
		for _, ring := range poly {
			r := make(orb.Ring, 0, len(ring))
			for _, p := range ring {
				if v := f(p); len(r) == 0 || r[len(r)-1] != v {
					r = append(r, v)
				}
			}
			q = append(q, r)
		}
		out = append(out, q)
	}
	return out
}
