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
	// From and To are the stretch of the machine's odometer on which this swath
	// was covered, in units of the distance that parts two visits.
	From, To float64
	// Follows is how many places before this one in the input the swath stands
	// that this one goes on from: the same section run of the record before, with
	// the same values, its front bar the back bar of this one. 0 where there is
	// none. Only quads follow.
	Follows int32
	// Shape, where not 0, says which of the input's shapes is the covered ground,
	// counted from 1. A number and no pointer: the garbage collector need not look
	// at millions of swaths.
	Shape int32
}

// Layer is a partition of the plane: polygons that do not overlap, grouped by
// label. Label i belongs to the i-th element. Shells turn counter-clockwise and
// holes clockwise. Where two labels overlap by rounding, the lower one holds.
type Layer []orb.MultiPolygon

// Face is ground with the same swaths and labels all over. It is valid during one
// call only.
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
	// Face is called with each face and its area in square metres. The ground of a
	// block with the same swaths and labels over it is told as one. Where patches are
	// asked for, a face is first shown with an area of 0, for its verdict.
	Face(f *Face, areaM2 float64) Verdict
}

// Input is what a sweep measures.
type Input struct {
	// Swaths ascend by From.
	Swaths []Swath
	// Shapes are the ground of swaths that are no quads: rings closed or not, in any
	// turning sense as long as holes turn against their shell.
	Shapes []orb.Polygon
	// Layers are at most MaxLayers.
	Layers []Layer
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

// shape returns the ground of a swath that is no quad.
func (in *Input) shape(s *Swath) orb.Polygon { return in.Shapes[s.Shape-1] }

// bound returns a swath's bounding box.
func (in *Input) bound(s *Swath) orb.Bound {
	if s.Shape == 0 {
		q := &s.Quad
		return orb.Bound{
			Min: orb.Point{min(q[0][0], q[1][0], q[2][0], q[3][0]), min(q[0][1], q[1][1], q[2][1], q[3][1])},
			Max: orb.Point{max(q[0][0], q[1][0], q[2][0], q[3][0]), max(q[0][1], q[1][1], q[2][1], q[3][1])},
		}
	}
	p := in.shape(s)
	b := p[0].Bound()
	for _, r := range p[1:] {
		b = b.Union(r.Bound())
	}
	return b
}
