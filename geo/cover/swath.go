package cover

import "github.com/paulmach/orb"

// MaxLayers is the number of layers a sweep can carry.
const MaxLayers = 4

// None is the label of a face that lies in no polygon of a layer.
const None int32 = -1

// Swath is the strip that one record's equal sections cover: a quad between two
// bar segments, or any polygon. Coordinates are metres in one plane.
type Swath struct {
	// Quad has the corners back left, back right, front right, front left. It
	// may be folded: both lobes are covered. Unused when Shape is set.
	Quad [4]orb.Point
	// Shape, where not nil, is the covered ground: rings closed or not, in any
	// turning sense as long as holes turn against their shell.
	Shape *orb.Polygon
	// From and To are the stretch of the machine's odometer on which this swath
	// was covered, in units of the distance that parts two visits.
	From, To float64
	// Follows is how many places before this one in the input the swath stands
	// that this one goes on from: the same section run of the record before, with
	// the same values, its front bar the back bar of this one. 0 where there is
	// none. Only quads follow.
	Follows int32
}

// Layer is a partition of the plane: polygons that do not overlap, grouped by
// label. Label i belongs to the i-th element. Shells turn counter-clockwise and
// holes clockwise. Where two labels overlap by rounding, the lower one holds.
type Layer []orb.MultiPolygon

// Face is a piece of ground with the same swaths and labels all over. It is
// valid during one call only.
type Face struct {
	// Labels has one label for each layer, None where no polygon covers the face.
	Labels [MaxLayers]int32
	// Over are the swaths over the face. Swaths that follow one another are
	// equal in every value, so one may stand for all of them.
	Over []Over
	// Visits is how many separate times the face was covered: with its swaths in
	// the order of the odometer, a new visit begins where one starts more than a
	// unit beyond the end of all before it.
	Visits int
}

// Over is a swath over a face.
type Over struct {
	Swath int32 // index in the input
	Times int32 // how many swaths it stands for
}

// Verdict is what a judge says of a face.
type Verdict struct {
	// Kinds marks the face as part of the patches of these kinds, a bit each.
	Kinds uint32
	// Amounts are summed over each patch, per square metre of the face.
	Amounts [2]float64
	// Label is the label whose share of a patch is kept (None for none).
	Label int32
}

// Judge is told every face of one row of blocks.
type Judge interface {
	// Face is called once for each face with its area in square metres.
	Face(f *Face, areaM2 float64) Verdict
}

// Input is what a sweep measures.
type Input struct {
	// Swaths ascend by From.
	Swaths []Swath
	// Layers are at most MaxLayers.
	Layers []Layer
}

// eachEdge calls f for each edge of the swath.
func (s *Swath) eachEdge(f func(a, b orb.Point)) {
	if s.Shape == nil {
		for i := range s.Quad {
			f(s.Quad[i], s.Quad[(i+1)&3])
		}
		return
	}
	for _, r := range *s.Shape {
		eachRingEdge(r, f)
	}
}

// eachRingEdge calls f for each edge of a ring, closing it where it is open.
func eachRingEdge(r orb.Ring, f func(a, b orb.Point)) {
	for i := range r {
		b := r[(i+1)%len(r)]
		if r[i] != b {
			f(r[i], b)
		}
	}
}

// bound returns the swath's bounding box.
func (s *Swath) bound() orb.Bound {
	if s.Shape == nil {
		q := &s.Quad
		return orb.Bound{
			Min: orb.Point{min(q[0][0], q[1][0], q[2][0], q[3][0]), min(q[0][1], q[1][1], q[2][1], q[3][1])},
			Max: orb.Point{max(q[0][0], q[1][0], q[2][0], q[3][0]), max(q[0][1], q[1][1], q[2][1], q[3][1])},
		}
	}
	b := (*s.Shape)[0].Bound()
	for _, r := range (*s.Shape)[1:] {
		b = b.Union(r.Bound())
	}
	return b
}
