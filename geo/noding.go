package geo

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// noded makes edges that run on each other to within the noise run on each
// other exactly: vertices nearer than noiseM become one, and an edge that passes
// a vertex within noiseM gets it. Overlay needs this. An edge cut from another
// region lies on it to the last digits and not exactly, and the overlay library
// then sometimes leaves out a whole piece, without an error.
//
// Ground moves by less than noiseM.
func noded(parts []orb.MultiPolygon) []orb.MultiPolygon {
	near := contested(parts)
	n := newNoder(parts, near)
	if len(n.points) == 0 {
		return parts
	}
	out := make([]orb.MultiPolygon, len(parts))
	for i, mp := range parts {
		for _, poly := range mp {
			if q := n.polygon(poly); q != nil {
				out[i] = append(out[i], q)
			}
		}
	}
	return out
}

// contested is the box in which two of the parts can meet. For two it is what
// their boxes have in common; for more, all.
func contested(parts []orb.MultiPolygon) orb.Bound {
	all := orb.Bound{Min: orb.Point{math.Inf(-1), math.Inf(-1)}, Max: orb.Point{math.Inf(1), math.Inf(1)}}
	if len(parts) != 2 || len(parts[0]) == 0 || len(parts[1]) == 0 {
		return all
	}
	a, b := parts[0].Bound(), parts[1].Bound()
	return orb.Bound{
		Min: orb.Point{math.Max(a.Min[0], b.Min[0]), math.Max(a.Min[1], b.Min[1])},
		Max: orb.Point{math.Min(a.Max[0], b.Max[0]), math.Min(a.Max[1], b.Max[1])},
	}.Pad(2 * noiseM)
}

// nodedEdges does so with the edges of two regions near the box in which they can
// meet. What comes to run both ways bounds nothing any more.
func nodedEdges(edges []borderEdge, near orb.Bound) []borderEdge {
	var all []orb.Point
	for _, e := range edges {
		for _, q := range []orb.Point{e.a, e.b} {
			if near.Contains(q) {
				all = append(all, q)
			}
		}
	}
	n := noderOf(all, near)
	if len(n.points) == 0 {
		return edges
	}
	out := make([]borderEdge, 0, len(edges)+8)
	var passed orb.Ring
	for _, e := range edges {
		a, b := n.node(e.a), n.node(e.b)
		passed = n.appendPassed(passed[:0], a, b)
		for _, q := range append(passed, b) {
			if q != a {
				out = append(out, borderEdge{segment{a, q}, e.net})
				a = q
			}
		}
	}
	return out
}

// noder holds the vertices of all parts, each once, sorted by their place on a
// line of an odd direction: on the x axis, the thousands of vertices of a
// boundary that runs straight north would all be neighbours.
type noder struct {
	near   orb.Bound
	points []orb.Point
	index  *PointIndex
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

func newNoder(parts []orb.MultiPolygon, near orb.Bound) noder {
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

func noderOf(all []orb.Point, near orb.Bound) noder {
	n := noder{near: near, moved: map[orb.Point]orb.Point{}}
	slices.SortFunc(all, byPlace)
	for _, q := range slices.Compact(all) {
		if to, ok := n.sameAs(q); ok {
			n.moved[q] = to
			continue
		}
		n.points = append(n.points, q)
	}
	n.index = NewPointIndex(n.points)
	return n
}

func byPlace(a, b orb.Point) int {
	return cmp.Or(cmp.Compare(oddPlace(a), oddPlace(b)), cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
}

// sameAs looks among the points kept so far, which come before q on the line.
func (n noder) sameAs(q orb.Point) (orb.Point, bool) {
	for i := len(n.points) - 1; i >= 0 && oddPlace(q)-oddPlace(n.points[i]) <= 2*noiseM; i-- {
		if math.Abs(q[0]-n.points[i][0]) <= noiseM && math.Abs(q[1]-n.points[i][1]) <= noiseM {
			return n.points[i], true
		}
	}
	return q, false
}

// polygon nodes every ring; nil where nothing is left of the shell.
func (n noder) polygon(p orb.Polygon) orb.Polygon {
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

func (n noder) ring(r orb.Ring) orb.Ring {
	out := make(orb.Ring, 0, len(r)+4)
	for k := 0; k+1 < len(r); k++ {
		a, b := n.node(r[k]), n.node(r[k+1])
		out = append(out, a)
		out = n.appendPassed(out, a, b)
	}
	return withoutSpikes(out)
}

func (n noder) node(q orb.Point) orb.Point {
	if to, ok := n.moved[q]; ok {
		return to
	}
	return q
}

// appendPassed appends the points that the edge from a to b passes within the
// noise, in the order from a.
func (n noder) appendPassed(out orb.Ring, a, b orb.Point) orb.Ring {
	box := orb.MultiPoint{a, b}.Bound().Pad(noiseM)
	if a == b || !box.Intersects(n.near) {
		return out
	}
	start := len(out)
	dx, dy := b[0]-a[0], b[1]-a[1]
	length := math.Hypot(dx, dy)
	along := func(q orb.Point) float64 { return (dx*(q[0]-a[0]) + dy*(q[1]-a[1])) / length }
	n.index.Along(a, b, noiseM, func(i int) {
		q := n.points[i]
		if q == a || q == b {
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

// withoutSpikes closes a ring given without its last point and takes out
// repeated points and steps out and straight back; nil where fewer than three
// points are left.
func withoutSpikes(open orb.Ring) orb.Ring {
	out := make(orb.Ring, 0, len(open)+1)
	for _, q := range open {
		out = append(out, q)
		for len(out) >= 2 {
			k := len(out) - 1
			if out[k] == out[k-1] {
				out = out[:k]
			} else if k >= 2 && out[k] == out[k-2] {
				out = out[:k-1]
			} else {
				break
			}
		}
	}
	for len(out) >= 3 {
		k := len(out) - 1
		if out[0] == out[k] {
			out = out[:k]
		} else if out[1] == out[k] {
			out = out[1:]
		} else if out[0] == out[k-1] {
			out = out[:k]
		} else {
			return append(out, out[0])
		}
	}
	return nil
}
