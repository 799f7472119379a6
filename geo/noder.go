package geo

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"github.com/paulmach/orb"
)

// noder holds the vertices of all parts, each once, sorted by their place on a
// line of an odd direction: on the x axis, the thousands of vertices of a
// boundary that runs straight north would all be neighbours.
type noder struct {
	near   orb.Bound
	points []orb.Point
	places []float64 // of the points on that line
	tree   func() *PointIndex
	moved  map[orb.Point]orb.Point // vertex -> the one it is taken for
}

// oddX and oddY are a direction of length one, about 28 degrees from east; no
// boundary is set out along it.
const (
	oddX = 0.8845
	oddY = 0.46654876486
)

// oddPlace is the place of q on that line, in metres.
func oddPlace(q orb.Point) float64 {
	return q[0]*oddX + q[1]*oddY
}

func newNoder(parts []orb.MultiPolygon, near orb.Bound) *noder {
	var all []orb.Point
	for _, mp := range parts {
		for _, poly := range mp {
			for _, ring := range poly {
				for _, q := range ring {
					if near.Contains(q) {
						all = append(all, q)
					}
				}
			}
		}
	}
	return noderOf(all, near)
}

func noderOf(all []orb.Point, near orb.Bound) *noder {
	n := &noder{
		near: near, moved: map[orb.Point]orb.Point{},
		points: make([]orb.Point, 0, len(all)), places: make([]float64, 0, len(all)),
	}
	for _, q := range byPlace(all) {
		if to, ok := n.sameAs(q); ok {
			if to != q.Point {
				n.moved[q.Point] = to
			}
			continue
		}
		n.points = append(n.points, q.Point)
		n.places = append(n.places, q.place)
	}
	n.tree = sync.OnceValue(func() *PointIndex { return NewPointIndex(n.points) })
	return n
}

// placed is a point with its place on the line of the odd direction.
type placed struct {
	orb.Point
	place float64
}

func byPlace(points []orb.Point) []placed {
	out := make([]placed, len(points))
	for i, q := range points {
		out[i] = placed{q, oddPlace(q)}
	}
	slices.SortFunc(out, func(a, b placed) int {
		if a.place != b.place {
			return cmp.Compare(a.place, b.place)
		}
		return comparePoints(a.Point, b.Point)
	})
	return out
}

// sameAs looks among the points kept so far, which come before q on the line.
func (n *noder) sameAs(q placed) (orb.Point, bool) {
	for i := len(n.points) - 1; i >= 0 && q.place-n.places[i] <= 2*noiseM; i-- {
		if math.Abs(q.Point[0]-n.points[i][0]) <= noiseM && math.Abs(q.Point[1]-n.points[i][1]) <= noiseM {
			return n.points[i], true
		}
	}
	return q.Point, false
}

// polygon nodes every ring; nil where nothing is left of the shell.
func (n *noder) polygon(p orb.Polygon) orb.Polygon {
	var out orb.Polygon
	for i, r := range p {
		r = n.ring(r)
		if r == nil {
			if i == 0 {
				return nil
			}
			continue
		}
		out = append(out, r)
	}
	return out
}

func (n *noder) ring(r orb.Ring) orb.Ring {
	out := make(orb.Ring, 0, len(r)+4)
	for k := 0; k+1 < len(r); k++ {
		a, b := n.node(r[k]), n.node(r[k+1])
		out = append(out, a)
		out = n.appendPassed(out, a, b)
	}
	return withoutSpikes(out)
}

func (n *noder) node(q orb.Point) orb.Point {
	if to, ok := n.moved[q]; ok {
		return to
	}
	return q
}

// appendPassed appends the points that the edge from a to b passes within the
// noise, in the order from a.
func (n *noder) appendPassed(out orb.Ring, a, b orb.Point) orb.Ring {
	box := segment{a, b}.bound().Pad(noiseM)
	if a == b || !box.Intersects(n.near) {
		return out
	}
	start := len(out)
	dx, dy := b[0]-a[0], b[1]-a[1]
	length := math.Hypot(dx, dy)
	along := func(q orb.Point) float64 { return (dx*(q[0]-a[0]) + dy*(q[1]-a[1])) / length }
	n.eachAlong(a, b, func(i int) {
		q := n.points[i]
		if q == a || q == b || !box.Contains(q) {
			return
		}
		off := (dx*(q[1]-a[1]) - dy*(q[0]-a[0])) / length
		if t := along(q); math.Abs(off) <= noiseM && t > 0 && t < length {
			out = append(out, q)
		}
	})
	slices.SortFunc(out[start:], func(p, q orb.Point) int { return cmp.Compare(along(p), along(q)) })
	return out
}

// eachAlong calls f with the points near an edge and others, by the line where few
// have their place beside the edge's.
func (n *noder) eachAlong(a, b orb.Point, f func(i int)) {
	const few = 512 // which take no longer than a look at a tree, let alone building one
	from, to := oddPlace(a), oddPlace(b)
	if from > to {
		from, to = to, from
	}
	first, _ := slices.BinarySearch(n.places, from-2*noiseM)
	last, _ := slices.BinarySearch(n.places, to+2*noiseM)
	if last-first > few {
		n.tree().Along(a, b, noiseM, f)
		return
	}
	for i := first; i < last; i++ {
		f(i)
	}
}
