package rx

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"ratewright/geo"
	"ratewright/geo/cover"
	"ratewright/geo/unit"
)

// noGround is the share of an area below which what a sweep misses or finds twice
// is its rounding: a tenth of what the areas of a prescription may miss.
const noGround = 1e-10

// survey is how regions share ground, measured in one sweep: in time that grows
// with their vertices, where comparing each with its neighbours by overlay takes
// seconds for thousands of them.
type survey struct {
	held   []unit.Area // of each region: its ground that none before it has
	bare   []unit.Area // of each ground: what no region has
	beyond []unit.Area // ground of regions outside each ground
	faces  int         // what the sweep looked at
}

// surveyOf measures regions against each other and against grounds, at most two.
func surveyOf(regions []geo.Region, grounds ...geo.Region) survey {
	if len(grounds) == 0 {
		if s, ok := surveyOfIntricate(regions); ok {
			return s
		}
	}
	scale := sweepScale(regions)
	in := cover.Input{Layers: []cover.Layer{make(cover.Layer, len(regions))}}
	for i, r := range regions {
		in.Layers[0][i] = scaled(r, scale)
	}
	for _, g := range grounds {
		in.Layers = append(in.Layers, cover.Layer{scaled(g, scale)})
	}
	swept := cover.Sweep(in, func() cover.Judge { return newSurveyor(len(grounds)) }, cover.Options{})
	s := survey{
		held: make([]unit.Area, len(regions)),
		bare: make([]unit.Area, len(grounds)), beyond: make([]unit.Area, len(grounds)),
	}
	square := func(a float64) unit.Area { return unit.SquareMetres(a / (scale * scale)) }
	for _, j := range swept.Judges {
		row := j.(*surveyor)
		for label, a := range row.held {
			s.held[label] += square(a)
		}
		for g := range grounds {
			s.bare[g] += square(row.bare[g])
			s.beyond[g] += square(row.beyond[g])
		}
		s.faces += row.faces
	}
	return s
}

// areIntricate reports whether regions have so many vertices a polygon that joining
// them takes less time than a sweep, which looks at all long teeth at every height.
func areIntricate(regions []geo.Region) bool {
	const many = 1000
	polygons, vertices := 0, 0
	for _, r := range regions {
		polygons += len(r.Polygons())
		for _, poly := range r.Polygons() {
			vertices += pointsIn(poly)
		}
	}
	return vertices > many*polygons
}

// surveyOfIntricate measures intricate regions that share no ground; ok is false for
// all others.
func surveyOfIntricate(regions []geo.Region) (s survey, ok bool) {
	if !areIntricate(regions) {
		return survey{}, false
	}
	if _, ok := geo.JoinApart(regions); !ok {
		return survey{}, false
	}
	for _, r := range regions {
		s.held = append(s.held, r.Area())
	}
	return s, true
}

// sharesGround reports whether region i has ground that a region before it has.
func (s survey) sharesGround(i int, r geo.Region) bool {
	return float64(r.Area()-s.held[i]) > noGround*float64(r.Area())
}

// sweepScale is what lengths are multiplied with for the sweep, whose blocks are
// at most 64 m wide: by it they are as wide as costs least. A block costs a face for
// each of its edges and vertices between two, some time for itself, and each edge a
// little in every block that it passes, eight on the mean at most. The
// scale is a power of two, so that nothing is rounded.
func sweepScale(regions []geo.Region) float64 {
	const widest, most, perBlock, passed = 64, 64, 4, 8
	var area, vertices, length float64
	for _, r := range regions {
		area += r.Area().SquareMetres()
		for _, poly := range r.Polygons() {
			vertices += float64(pointsIn(poly))
			length += planar.Length(poly)
		}
	}
	best, least := 1.0, math.Inf(1)
	for scale := 1.0; scale <= most && area > 0; scale *= 2 {
		side := widest / scale
		blocks := area/(side*side) + 1
		if cost := (vertices/blocks+1)*(vertices+length/side) + perBlock*blocks; cost < least && (scale == 1 || length <= passed*side*vertices) {
			best, least = scale, cost
		}
	}
	return best
}

func pointsIn(p orb.Polygon) (n int) {
	for _, ring := range p {
		n += len(ring)
	}
	return n
}

func scaled(r geo.Region, by float64) orb.MultiPolygon {
	if by == 1 {
		return r.Polygons()
	}
	out := make(orb.MultiPolygon, len(r.Polygons()))
	for i, poly := range r.Polygons() {
		out[i] = make(orb.Polygon, len(poly))
		for j, ring := range poly {
			out[i][j] = make(orb.Ring, len(ring))
			for k, q := range ring {
				out[i][j][k] = orb.Point{q[0] * by, q[1] * by}
			}
		}
	}
	return out
}

// surveyor adds up the faces of one row of blocks.
type surveyor struct {
	held         map[int32]float64
	bare, beyond []float64
	faces        int
}

func newSurveyor(grounds int) *surveyor {
	return &surveyor{held: map[int32]float64{}, bare: make([]float64, grounds), beyond: make([]float64, grounds)}
}

// Face counts ground for the first region over it.
func (s *surveyor) Face(f *cover.Face, areaM2 float64) cover.Verdict {
	s.faces++
	first := f.Labels[0]
	if first != cover.None {
		s.held[first] += areaM2
	}
	for g := range s.bare {
		switch inside := f.Labels[1+g] != cover.None; {
		case inside && first == cover.None:
			s.bare[g] += areaM2
		case !inside && first != cover.None:
			s.beyond[g] += areaM2
		}
	}
	return cover.Verdict{Label: cover.None}
}
