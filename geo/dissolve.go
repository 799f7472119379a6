package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// dissolve joins polygons of several regions that share edges and no ground, as
// zones of one field do, by leaving out every edge that runs both ways. It takes
// time in proportion to the edges, where an overlay of thousands of polygons takes
// seconds.
//
// The edges left over go round every spot as often as the polygons cover it, less those
// whose rings run backward. So where they make valid polygons, no spot was covered
// twice, nor taken away where nothing was, and these are the union; where they do not,
// ok is false and the union needs an overlay. The parts are noded.
func dissolve(p Plane, parts []orb.MultiPolygon) (r Region, ok bool) {
	o := outlineOf(parts)
	if o == nil {
		return Region{}, false
	}
	mp, ok := nest(o.rings())
	if !ok || !isValid(mp) {
		return Region{}, false
	}
	r = newRegion(p, mp)
	return r, vertices(r.Polygons()) == vertices(mp) || isValid(r.Polygons())
}

// outlineEdges are directed edges over numbered points, their ground on the left.
type outlineEdges struct {
	points []orb.Point
	edges  [][2]int32
	out    [][]int32 // point -> edges that begin there
	taken  []bool
}

// outlineOf gathers the edges of all rings but those that run both ways; nil
// where two run the same way, which only polygons that overlap have.
func outlineOf(parts []orb.MultiPolygon) *outlineEdges {
	o := &outlineEdges{}
	number := map[orb.Point]int32{}
	of := func(q orb.Point) int32 {
		i, known := number[q]
		if !known {
			i = int32(len(o.points))
			number[q] = i
			o.points = append(o.points, q)
		}
		return i
	}
	var all [][2]int32
	there := map[[2]int32]bool{}
	for _, mp := range parts {
		for _, poly := range mp {
			for _, ring := range poly {
				from := of(ring[0])
				for _, q := range ring[1:] {
					e := [2]int32{from, of(q)}
					if there[e] {
						return nil
					}
					there[e] = true
					all = append(all, e)
					from = e[1]
				}
			}
		}
	}
	o.out = make([][]int32, len(o.points))
	for _, e := range all {
		if !there[[2]int32{e[1], e[0]}] {
			o.out[e[0]] = append(o.out[e[0]], int32(len(o.edges)))
			o.edges = append(o.edges, e)
		}
	}
	o.taken = make([]bool, len(o.edges))
	return o
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
	var bounds []orb.Bound
	for _, r := range rings {
		if isThin(r) {
			continue
		}
		if ringAreaM2(r) > 0 {
			mp = append(mp, orb.Polygon{r})
			bounds = append(bounds, r.Bound())
			continue
		}
		holes = append(holes, r)
	}
	for _, h := range holes {
		box := h.Bound()
		best, least := -1, math.Inf(1)
		for i, p := range mp {
			if b := bounds[i]; !b.Contains(box.Min) || !b.Contains(box.Max) || !holeInside(p[0], h) {
				continue
			}
			if a := ringAreaM2(p[0]); a < least {
				best, least = i, a
			}
		}
		if best < 0 {
			return nil, false
		}
		mp[best] = append(mp[best], h)
	}
	return mp, true
}
