package geo

import (
	"math"
	"sync"

	"github.com/paulmach/orb"

	"ratewright/geo/unit"
)

// edgeIndex holds the edges of a region in bands of y, built at the first
// question.
type edgeIndex struct {
	once  sync.Once
	y0    float64
	step  float64
	bands [][]segment
}

// segment is an edge in metres.
type segment struct{ a, b orb.Point }

// maxBands bounds the memory: an edge is listed in every band it meets.
const maxBands = 4096

func (g *ground) index() *edgeIndex {
	g.edges.once.Do(func() { g.edges.build(g.polys, g.bound) })
	return &g.edges
}

func (x *edgeIndex) build(mp orb.MultiPolygon, b orb.Bound) {
	n := 0
	for _, p := range mp {
		for _, r := range p {
			n += len(r)
		}
	}
	count := min(max(n/4, 1), maxBands)
	x.y0, x.step = b.Min[1], math.Max((b.Max[1]-b.Min[1])/float64(count), 1e-9)
	x.bands = make([][]segment, count)
	for _, p := range mp {
		for _, r := range p {
			for k := 0; k+1 < len(r); k++ {
				s := segment{r[k], r[k+1]}
				lo, hi := x.band(math.Min(s.a[1], s.b[1])), x.band(math.Max(s.a[1], s.b[1]))
				for i := lo; i <= hi; i++ {
					x.bands[i] = append(x.bands[i], s)
				}
			}
		}
	}
}

// band is the band of y, the nearest one where y lies beyond all.
func (x *edgeIndex) band(y float64) int {
	i := int(math.Floor((y - x.y0) / x.step))
	return min(max(i, 0), len(x.bands)-1)
}

// Contains reports whether a point in metres lies in the region; on its edge
// the answer is either.
func (r Region) Contains(q orb.Point) bool {
	if r.IsEmpty() || !r.ground.bound.Contains(q) {
		return false
	}
	x := r.ground.index()
	in := false
	for _, s := range x.bands[x.band(q[1])] {
		if s.rightOf(q) {
			in = !in
		}
	}
	return in
}

// rightOf reports whether a ray from q to the east meets the segment.
func (s segment) rightOf(q orb.Point) bool {
	if (s.a[1] > q[1]) == (s.b[1] > q[1]) {
		return false
	}
	return q[0] < s.a[0]+(q[1]-s.a[1])/(s.b[1]-s.a[1])*(s.b[0]-s.a[0])
}

// DistanceTo returns how far a point in metres lies from the region: 0 inside,
// and infinite from an empty region.
func (r Region) DistanceTo(q orb.Point) unit.Length {
	if r.IsEmpty() {
		return unit.Metres(math.Inf(1))
	}
	if r.Contains(q) {
		return 0
	}
	x := r.ground.index()
	best := math.Inf(1)
	home := x.band(q[1])
	for out := 0; out < len(x.bands); out++ {
		below, above := home-out, home+out
		if below < 0 && above >= len(x.bands) {
			break
		}
		// Bands further out are at least this far away.
		if float64(out-1)*x.step > best {
			break
		}
		if below >= 0 {
			best = nearest(x.bands[below], q, best)
		}
		if above < len(x.bands) && out > 0 {
			best = nearest(x.bands[above], q, best)
		}
	}
	return unit.Metres(best)
}

func nearest(ss []segment, q orb.Point, best float64) float64 {
	for _, s := range ss {
		best = math.Min(best, s.distance(q))
	}
	return best
}

// distance is the distance of q from the segment.
func (s segment) distance(q orb.Point) float64 {
	dx, dy := s.b[0]-s.a[0], s.b[1]-s.a[1]
	t := 0.0
	if l2 := dx*dx + dy*dy; l2 > 0 {
		t = math.Min(math.Max(((q[0]-s.a[0])*dx+(q[1]-s.a[1])*dy)/l2, 0), 1)
	}
	return math.Hypot(s.a[0]+t*dx-q[0], s.a[1]+t*dy-q[1])
}

// ringContains is the plain test of one ring.
func ringContains(r orb.Ring, q orb.Point) bool {
	in := false
	for k := 0; k+1 < len(r); k++ {
		if (segment{r[k], r[k+1]}).rightOf(q) {
			in = !in
		}
	}
	return in
}

func distanceToRing(r orb.Ring, q orb.Point) float64 {
	best := math.Inf(1)
	for k := 0; k+1 < len(r); k++ {
		best = math.Min(best, segment{r[k], r[k+1]}.distance(q))
	}
	return best
}
