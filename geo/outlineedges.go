package geo

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// outlineEdges are directed edges over numbered points, their ground on the left.
type outlineEdges struct {
	points []orb.Point
	edges  [][2]int32
	out    [][]int32 // point -> edges that begin there
	taken  []bool
}

// join gathers the edges by where they begin; ok is false where as many do not leave
// a point as come to it.
func (o *outlineEdges) join() (ok bool) {
	o.out = make([][]int32, len(o.points))
	open := make([]int32, len(o.points)) // point -> edges that come less those that go
	for i, e := range o.edges {
		o.out[e[0]] = append(o.out[e[0]], int32(i))
		open[e[0]]--
		open[e[1]]++
	}
	o.taken = make([]bool, len(o.edges))
	return !slices.ContainsFunc(open, func(n int32) bool { return n != 0 })
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
