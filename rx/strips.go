package rx

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// giveStripsAway takes loops narrower than the tolerance out of their contours and
// gives each to the one it has the longest border with, so that no gap is left. So it
// does with those that run clockwise: a strip turned inside out, where vertices moved
// over its other side, or a slit.
// A strip that borders on none is dropped.
func (n *nodes) giveStripsAway(contours [][][2]int) {
	owner := map[[2]int]int{}
	for i, edges := range contours {
		for _, e := range edges {
			owner[e] = i
		}
	}
	look := make([]int, len(contours))
	for i := range look {
		look[i] = i
	}
	for len(look) > 0 {
		changed := map[int]bool{}
		for _, i := range look {
			if !changed[i] {
				n.giveOneAway(contours, i, owner, changed)
			}
		}
		look = look[:0]
		for i := range changed {
			look = append(look, i)
		}
		slices.Sort(look)
	}
}

// giveOneAway gives the narrowest strip of contour i to a neighbour, and says which
// contours that changed.
func (n *nodes) giveOneAway(contours [][][2]int, i int, owner map[[2]int]int, changed map[int]bool) {
	var strip []int
	least := n.tolerance
	for _, l := range n.loops(contours[i]) {
		w, isOuter := n.width(l)
		if !isOuter {
			w = -w
		}
		if w <= least {
			strip, least = l, w
		}
	}
	if strip == nil {
		return
	}
	changed[i] = true
	border := map[int]float64{}
	taken := map[[2]int]bool{} // true until the contour has lost it
	for k, u := range strip {
		v := strip[(k+1)%len(strip)]
		taken[[2]int{u, v}] = true
		delete(owner, [2]int{u, v})
		if to, ok := owner[[2]int{v, u}]; ok {
			border[to] += planar.Distance(n.at[u], n.at[v])
		}
	}
	contours[i] = slices.DeleteFunc(contours[i], func(e [2]int) bool {
		goes, ofStrip := taken[e]
		if ofStrip {
			taken[e] = false
		}
		if ofStrip && !goes {
			owner[e] = i // an edge that the contour has twice stays once
		}
		return goes
	})
	if len(border) == 0 {
		return
	}
	to := longest(border)
	changed[to] = true
	for k, u := range strip {
		e := [2]int{u, strip[(k+1)%len(strip)]}
		contours[to] = append(contours[to], e)
		owner[e] = to
	}
	contours[to] = withoutPairs(contours[to])
	for k, u := range strip {
		v := strip[(k+1)%len(strip)]
		if owner[[2]int{u, v}] == to && owner[[2]int{v, u}] == to {
			delete(owner, [2]int{u, v})
			delete(owner, [2]int{v, u})
		}
	}
}

// longest is the key of the largest value, the smallest of equals.
func longest(of map[int]float64) int {
	best := -1
	for i, l := range of {
		if best < 0 || cmp.Or(cmp.Compare(of[best], l), cmp.Compare(i, best)) < 0 {
			best = i
		}
	}
	return best
}

// width is about how wide a loop is, in metres: twice its area over its length.
// Where edges are also drawn straight in degrees it is the smaller of the two, below
// zero where the loop comes out the wrong way round. isOuter is false for a hole.
func (n *nodes) width(loop []int) (w float64, isOuter bool) {
	w = widthOf(n.closed(loop))
	if isOuter = w > 0; isOuter && n.lonLat != nil {
		w = min(w, n.widthInDegrees(loop))
	}
	return w, isOuter
}

// widthInDegrees is the width of a loop with its edges straight in degrees, as a
// reader of the map takes it.
func (n *nodes) widthInDegrees(loop []int) float64 {
	const metresADegree = 111_195 // of latitude, on a sphere of 6,371 km
	at := n.lonLat[loop[0]]
	east := metresADegree * math.Cos(at[1]*math.Pi/180)
	ring := make(orb.Ring, 0, len(loop)+1)
	for _, v := range loop {
		ring = append(ring, orb.Point{east * (n.lonLat[v][0] - at[0]), metresADegree * (n.lonLat[v][1] - at[1])})
	}
	return widthOf(append(ring, ring[0]))
}

// widthOf is twice the area of a closed ring over its length, below zero for one
// that runs clockwise.
func widthOf(r orb.Ring) float64 {
	var twice, length float64
	for i := 0; i+1 < len(r); i++ {
		ax, ay := r[i][0]-r[0][0], r[i][1]-r[0][1]
		bx, by := r[i+1][0]-r[0][0], r[i+1][1]-r[0][1]
		twice += ax*by - bx*ay
		length += math.Hypot(bx-ax, by-ay)
	}
	return twice / length
}
