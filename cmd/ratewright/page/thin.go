package page

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// ranked is a ring whose vertices know by which tolerance they go, so that it can be
// thinned by several.
type ranked struct {
	line line
	upTo []float64 // square of the tolerance up to which a vertex stays; nil where all do
	far  int       // the vertex farthest from the first
}

// thinned leaves vertices of a ring out that lie within a tolerance of the line
// without them (Douglas and Peucker 1973). At least a triangle stays of a ring that
// had one.
func thinned(l line, tolerance float64) line { return rank(l, tolerance).thinned(tolerance) }

// rank finds out by which tolerances from a finest one on the vertices of a ring go.
func rank(l line, finest float64) ranked {
	if len(l) <= 4 {
		return ranked{line: l}
	}
	// The ring is cut in two at its first vertex and the one farthest from it.
	r := ranked{line: l, upTo: make([]float64, len(l))}
	best := -1.0
	for i, p := range l {
		if d := distance2(p, l[0]); d > best {
			r.far, best = i, d
		}
	}
	r.upTo[0], r.upTo[r.far] = math.Inf(1), math.Inf(1)
	closed := append(append(make(line, 0, len(l)+1), l...), l[0])
	type stretch struct {
		a, b, depth int
		upTo        float64 // by which tolerance it is there
	}
	stack := []stretch{{0, r.far, 0, math.Inf(1)}, {r.far, len(l), 0, math.Inf(1)}}
	for len(stack) > 0 {
		s := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if at, off := farthest(closed[s.a:s.b+1], finest, evenly(s.b-s.a, s.depth)); at > 0 {
			at, upTo := s.a+at, min(s.upTo, off)
			r.upTo[at] = upTo
			stack = append(stack, stretch{s.a, at, s.depth + 1, upTo}, stretch{at, s.b, s.depth + 1, upTo})
		}
	}
	return r
}

// thinned returns the ring without what lies within a tolerance, no finer than the
// finest that it was ranked for.
func (r ranked) thinned(tolerance float64) line {
	if r.upTo == nil {
		return slices.Clone(r.line)
	}
	out := make(line, 0, 16)
	for i, p := range r.line {
		if r.upTo[i] > tolerance*tolerance {
			out = append(out, p)
		}
	}
	if len(out) < 3 { // a sliver thinner than the tolerance keeps its length
		mid := r.far / 2
		if mid == 0 {
			mid = (r.far + len(r.line)) / 2
		}
		out = append(out, r.line[mid])
	}
	return out
}

// The teeth of a comb are all as long: to part it at the first of them, and then again,
// takes time with their square.
const (
	evenAbove = 1000 // edges
	evenBelow = 40   // times that a stretch is a part of a part
)

// evenly tells whether a stretch is parted near its middle where that serves as well.
func evenly(edges, depth int) bool { return edges > evenAbove || depth > evenBelow }

// farthest returns the number of the vertex that lies farthest from the line between
// the first and the last, and the square of how far that is; 0 if none is off by more
// than a tolerance. Evenly, it is the middlemost of those about as far off.
func farthest(l line, tolerance float64, evenly bool) (at int, worst float64) {
	last := len(l) - 1
	away := awayFrom(l[0], l[last])
	worst = tolerance * tolerance
	for i := 1; i < last; i++ {
		if d := away.distance2(l[i]); d > worst {
			at, worst = i, d
		}
	}
	if at == 0 || !evenly {
		return at, worst
	}
	for off := 0; off < last/2; off++ {
		for _, i := range [2]int{last/2 - off, last/2 + off} {
			if i > 0 && i < last && away.distance2(l[i]) > 0.98*worst {
				return i, worst
			}
		}
	}
	return at, worst
}

func distance2(p, q orb.Point) float64 {
	dx, dy := p[0]-q[0], p[1]-q[1]
	return dx*dx + dy*dy
}

// segment is a stretch from which many places are measured.
type segment struct {
	a          orb.Point
	dx, dy     float64
	perLength2 float64 // 1 over its length squared; 0 where it has none
}

func awayFrom(a, b orb.Point) segment {
	s := segment{a: a, dx: b[0] - a[0], dy: b[1] - a[1]}
	if l := s.dx*s.dx + s.dy*s.dy; l > 0 {
		s.perLength2 = 1 / l
	}
	return s
}

// distance2 is the square of the distance of p from the segment.
func (s *segment) distance2(p orb.Point) float64 {
	x, y := p[0]-s.a[0], p[1]-s.a[1]
	t := max(0, min(1, (x*s.dx+y*s.dy)*s.perLength2))
	x, y = x-t*s.dx, y-t*s.dy
	return x*x + y*y
}
