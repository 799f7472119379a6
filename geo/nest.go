package geo

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

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
			shells = append(shells, shell{ring: r, areaM2: a, bound: r.Bound()})
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
		at := slices.IndexFunc(wider, func(i int) bool { return shells[i].hold(h) })
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
	ring   orb.Ring
	areaM2 float64
	bound  orb.Bound
	edges  edgeIndex
}

// hold reports whether a hole that crosses nothing lies in the shell, judged by the
// middle of an edge that is not on the shell.
func (s *shell) hold(hole orb.Ring) bool {
	s.edges.once.Do(func() { s.edges.build(orb.MultiPolygon{{s.ring}}) })
	for k := 1; k < len(hole); k++ {
		m := segment{hole[k-1], hole[k]}.middle()
		if s.edges.nearest(m, math.Inf(1)) > noiseM {
			return s.edges.contains(m)
		}
	}
	return true
}
