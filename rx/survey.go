package rx

import (
	"math"

	"github.com/paulmach/orb"

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

// sharesGround reports whether region i has ground that a region before it has.
func (s survey) sharesGround(i int, r geo.Region) bool {
	return float64(r.Area()-s.held[i]) > noGround*float64(r.Area())
}

// sweepScale is what lengths are multiplied with for the sweep, whose blocks are
// at most 64 m wide: by it a block holds a few polygons, however small they are. It
// is a power of two, so that nothing is rounded.
func sweepScale(regions []geo.Region) float64 {
	const wanted, most = 40, 64 // m
	area, n := 0.0, 0
	for _, r := range regions {
		area += r.Area().SquareMetres()
		n += len(r.Polygons())
	}
	if !(area > 0) {
		return 1
	}
	ratio := wanted / math.Sqrt(area/float64(n))
	return math.Exp2(math.Round(math.Log2(min(max(ratio, 1), most))))
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
