package geo

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"ratewright/geo/unit"
)

// sharedM is how near two edges must run to count as one: 1 mm.
const sharedM = 1e-3

// cornerM is the length of shared boundary that is none, in metres: what rounding leaves
// where regions meet at corners.
const cornerM = 1e-6

// SharedEdge returns the length of r's boundary that runs within 1 mm of o's
// boundary, and along it (within 6 degrees). Regions that meet at corners only have none;
// those that overlap have one too, where their boundaries do.
func (r Region) SharedEdge(o Region) unit.Length {
	if r.IsEmpty() || o.IsEmpty() {
		return 0
	}
	reach := o.ground.bound.Pad(sharedM)
	if !reach.Intersects(r.ground.bound) {
		return 0
	}
	x := o.ground.index()
	total := 0.0
	// By a tree over its own edges as well, for a gap of ten thousand holes is asked about
	// every zone that lies in one.
	r.ground.index().visit(reach.Intersects, func(s segment) { total += x.shared(s) })
	if total <= cornerM {
		return 0
	}
	return unit.Metres(total)
}

// shared is the length of s that runs along edges of the index.
func (x *edgeIndex) shared(s segment) float64 {
	var spans [][2]float64
	near := s.bound().Pad(sharedM)
	x.visit(near.Intersects, func(f segment) {
		if span, ok := along(s, f); ok {
			spans = append(spans, span)
		}
	})
	slices.SortFunc(spans, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	sum, end := 0.0, math.Inf(-1)
	for _, sp := range spans {
		from := math.Max(sp[0], end)
		if sp[1] > from {
			sum += sp[1] - from
			end = sp[1]
		}
	}
	return sum
}

// along gives the span of s, in metres from its start, over which f runs within
// sharedM of it and along it.
func along(s, f segment) ([2]float64, bool) {
	dx, dy := s.b[0]-s.a[0], s.b[1]-s.a[1]
	l := math.Hypot(dx, dy)
	if l == 0 {
		return [2]float64{}, false
	}
	local := func(q orb.Point) (t, off float64) {
		ex, ey := q[0]-s.a[0], q[1]-s.a[1]
		return (ex*dx + ey*dy) / l, (ey*dx - ex*dy) / l
	}
	t0, o0 := local(f.a)
	t1, o1 := local(f.b)
	if t0 > t1 {
		t0, o0, t1, o1 = t1, o1, t0, o0
	}
	from, to := math.Max(t0, 0), math.Min(t1, l)
	if to <= from || math.Abs(o1-o0) > 0.1*(t1-t0) {
		return [2]float64{}, false
	}
	at := func(t float64) float64 { return o0 + (t-t0)/(t1-t0)*(o1-o0) }
	return [2]float64{from, to}, math.Abs(at(from)) <= sharedM && math.Abs(at(to)) <= sharedM
}
