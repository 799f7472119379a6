package vector

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// nestRings makes polygons of rings that may stand in any order and turn either
// way: a ring inside an even number of others is a shell, and one inside an odd
// number is a hole of the smallest that holds it. Polygons come in the order of
// their shells, holes in their own order.
func nestRings(rings []orb.Ring) orb.MultiPolygon {
	parent, depth := ringTree(rings)
	polygonOf := make([]int, len(rings))
	var mp orb.MultiPolygon
	for i, r := range rings {
		if depth[i]%2 == 0 {
			polygonOf[i] = len(mp)
			mp = append(mp, orb.Polygon{r})
		}
	}
	for i, r := range rings {
		if depth[i]%2 == 1 {
			at := polygonOf[parent[i]]
			mp[at] = append(mp[at], r)
		}
	}
	return mp
}

// ringTree finds the smallest ring around each ring, -1 without one, and how many
// rings are around it.
func ringTree(rings []orb.Ring) (parent, depth []int) {
	n := len(rings)
	parent, depth = make([]int, n), make([]int, n)
	area, box, order := make([]float64, n), make([]orb.Bound, n), make([]int, n)
	for i, r := range rings {
		area[i], box[i], order[i] = math.Abs(signedArea(r)), r.Bound(), i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case area[a] > area[b]:
			return -1
		case area[a] < area[b]:
			return 1
		}
		return 0
	})
	for k, i := range order {
		parent[i] = -1
		for j := k - 1; j >= 0; j-- {
			o := order[j]
			if holdsBox(box[o], box[i]) && holdsRing(rings[o], rings[i]) {
				parent[i], depth[i] = o, depth[o]+1
				break
			}
		}
	}
	return parent, depth
}

func holdsBox(outer, inner orb.Bound) bool {
	return outer.Min[0] <= inner.Min[0] && outer.Min[1] <= inner.Min[1] &&
		outer.Max[0] >= inner.Max[0] && outer.Max[1] >= inner.Max[1]
}

// holdsRing reports whether inner lies in outer. Rings may touch, so that a vertex
// on the other ring says nothing; the first that is not on it decides, and the
// middles of the edges where all of them are.
func holdsRing(outer, inner orb.Ring) bool {
	for _, p := range inner[1:] {
		if side := sideOf(outer, p); side != 0 {
			return side > 0
		}
	}
	for i, p := range inner[1:] {
		q := inner[i]
		mid := orb.Point{(p[0] + q[0]) / 2, (p[1] + q[1]) / 2}
		if side := sideOf(outer, mid); side != 0 {
			return side > 0
		}
	}
	return false
}

// sideOf is 1 where p is in the ring, -1 where it is outside and 0 where it is on
// it, by counting the edges that a ray to the right crosses.
func sideOf(r orb.Ring, p orb.Point) int {
	in := false
	for i := range r[1:] {
		a, b := r[i], r[i+1]
		if a[1] > b[1] {
			a, b = b, a
		}
		if p[1] < a[1] || p[1] > b[1] {
			continue
		}
		turn := (b[0]-a[0])*(p[1]-a[1]) - (p[0]-a[0])*(b[1]-a[1])
		switch {
		case turn == 0:
			if min(a[0], b[0]) <= p[0] && p[0] <= max(a[0], b[0]) {
				return 0
			}
		case p[1] < b[1] && turn > 0: // the upper end does not count
			in = !in
		}
	}
	if in {
		return 1
	}
	return -1
}
