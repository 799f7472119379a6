package geo

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// dissolve joins polygons of several regions that share edges and no ground, as
// zones of one field do, by leaving out every edge that runs both ways. It takes
// time in proportion to the edges, where an overlay of thousands of polygons takes
// seconds.
//
// The edges left over go round every spot as often as the polygons cover it. So
// where they make valid polygons, no spot was covered twice and these are the
// union; where they do not, ok is false and the union needs an overlay.
func dissolve(p Plane, parts []orb.MultiPolygon) (r Region, ok bool) {
	return leaveOut(p, parts, nil)
}

// leaveOut is dissolve with polygons that are taken away: their edges count the other
// way round, and a spot that they cover is to be covered by one of the others.
func leaveOut(p Plane, parts, away []orb.MultiPolygon) (r Region, ok bool) {
	all := 0
	for _, mp := range append(parts[:len(parts):len(parts)], away...) {
		all += vertices(mp)
	}
	edges := borders(borders(make([]borderEdge, 0, all), parts, 1), away, -1)
	// Most run on each other exactly where zones were cut from one outline. They go
	// first, so that few are looked at for others that nearly do.
	o, ok := outlinesOf(nodedEdges(unpaired(edges), anywhere)).once()
	if !ok {
		return Region{}, false
	}
	mp, ok := nest(o.rings())
	if !ok || !isValid(mp) {
		return Region{}, false
	}
	r = newRegion(p, mp)
	return r, vertices(r.Polygons()) == vertices(mp) || isValid(r.Polygons())
}

// borders appends the edges of polygons.
func borders(edges []borderEdge, parts []orb.MultiPolygon, net int32) []borderEdge {
	for _, mp := range parts {
		for _, poly := range mp {
			for _, ring := range poly {
				for k, q := range ring[1:] {
					edges = append(edges, borderEdge{segment{ring[k], q}, [2]int32{net}})
				}
			}
		}
	}
	return edges
}

// once is the outline of the first region; ok is false where an edge bounds it twice.
func (t *twoOutlines) once() (o *outlineEdges, ok bool) {
	o = &outlineEdges{points: t.points.list}
	for i, e := range t.edges {
		switch t.net[i][0] {
		case 0:
		case 1:
			o.edges = append(o.edges, e)
		case -1:
			o.edges = append(o.edges, [2]int32{e[1], e[0]})
		default:
			return nil, false
		}
	}
	return o, o.join()
}

// outlineEdges are directed edges over numbered points, their ground on the left.
type outlineEdges struct {
	points []orb.Point
	edges  [][2]int32
	out    [][]int32 // point -> edges that begin there
	taken  []bool
}

// rings walks along the edges, keeping the same ground on the left, and cuts each
// walk where it comes back to a point.
func (o *outlineEdges) rings() []orb.Ring {
	var rings []orb.Ring
	at := make([]int, len(o.points)) // point -> one more than its place in the path
	for first := range o.edges {
		if o.taken[first] {
			continue
		}
		var path []int32
		for e := int32(first); e >= 0; e = o.next(e) {
			o.taken[e] = true
			path = append(path, o.edges[e][0])
			at[o.edges[e][0]] = len(path)
			end := o.edges[e][1]
			start := at[end] - 1
			if start < 0 {
				continue
			}
			rings = append(rings, o.ring(path[start:]))
			for _, q := range path[start:] {
				at[q] = 0
			}
			path = path[:start]
		}
	}
	return rings
}

func (o *outlineEdges) ring(path []int32) orb.Ring {
	r := make(orb.Ring, 0, len(path)+1)
	for _, q := range path {
		r = append(r, o.points[q])
	}
	return append(r, r[0])
}

// next is the edge that goes on from e: of those not taken, the one that turns
// most to the left; -1 where the walk is closed. As many edges leave a point as
// come to it, so a walk ends where it began.
func (o *outlineEdges) next(e int32) int32 {
	from, p := o.points[o.edges[e][0]], o.points[o.edges[e][1]]
	best, least := int32(-1), math.Inf(1)
	back := math.Atan2(from[1]-p[1], from[0]-p[0])
	for _, f := range o.out[o.edges[e][1]] {
		if o.taken[f] {
			continue
		}
		q := o.points[o.edges[f][1]]
		turn := math.Mod(back-math.Atan2(q[1]-p[1], q[0]-p[0])+4*math.Pi, 2*math.Pi)
		if turn < least {
			best, least = f, turn
		}
	}
	return best
}

// nest makes polygons of rings: those that turn left are shells, the others holes
// of the smallest shell around them. Rings that enclose only noise are left out. ok
// is false for a hole without a shell.
func nest(rings []orb.Ring) (mp orb.MultiPolygon, ok bool) {
	var holes []orb.Ring
	var shells []shell
	for _, r := range rings {
		if isThin(r) {
			continue
		}
		if a := ringAreaM2(r); a > 0 {
			mp = append(mp, orb.Polygon{r})
			shells = append(shells, shell{areaM2: a, bound: r.Bound()})
			continue
		}
		holes = append(holes, r)
	}
	if len(holes) == 0 {
		return mp, true
	}
	tree := newBoxTree(len(shells), func(i int) orb.Bound { return shells[i].bound })
	var wider []int // shells whose box is around a hole's
	for _, h := range holes {
		box := h.Bound()
		around := func(b orb.Bound) bool { return b.Contains(box.Min) && b.Contains(box.Max) }
		wider = wider[:0]
		tree.visit(around, func(i int) {
			if around(shells[i].bound) {
				wider = append(wider, i)
			}
		})
		// From the smallest up, so that of rings in rings few are asked.
		slices.SortFunc(wider, func(i, j int) int {
			return cmp.Or(cmp.Compare(shells[i].areaM2, shells[j].areaM2), cmp.Compare(i, j))
		})
		at := slices.IndexFunc(wider, func(i int) bool { return shells[i].hold(mp[i][0], h) })
		if at < 0 {
			return nil, false
		}
		mp[wider[at]] = append(mp[wider[at]], h)
	}
	return mp, true
}

// shell is the outer ring of a polygon, with a tree of its edges once it is asked
// about a hole.
type shell struct {
	areaM2 float64
	bound  orb.Bound
	edges  edgeIndex
}

// hold reports whether a hole that crosses nothing lies in the shell, judged by the
// middle of an edge that is not on the shell.
func (s *shell) hold(ring, hole orb.Ring) bool {
	s.edges.once.Do(func() { s.edges.build(orb.MultiPolygon{{ring}}) })
	for k := 1; k < len(hole); k++ {
		m := segment{hole[k-1], hole[k]}.middle()
		if s.edges.nearest(m, math.Inf(1)) > noiseM {
			return s.edges.contains(m)
		}
	}
	return true
}
