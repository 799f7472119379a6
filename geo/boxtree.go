package geo

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// boxTree is a tree of boxes over numbered things that lie near each other where
// their numbers do.
type boxTree struct {
	n int
	// levels[0] holds the boxes of fan things each, levels[i+1] of fan boxes of
	// levels[i]; the last level has one box.
	levels [][]orb.Bound
}

// fan is how many children a box has.
const fan = 8

func newBoxTree(n int, box func(i int) orb.Bound) boxTree {
	t := boxTree{n: n}
	for t.levels == nil || len(t.levels[len(t.levels)-1]) > 1 {
		up := make([]orb.Bound, 0, n/fan+1)
		for i := 0; i < n; i += fan {
			b := box(i)
			for c := i + 1; c < min(i+fan, n); c++ {
				b = around(b, box(c))
			}
			up = append(up, b)
		}
		t.levels = append(t.levels, up)
		n, box = len(up), func(i int) orb.Bound { return up[i] }
	}
	return t
}

// around is the box around two, neither of them empty.
func around(b, c orb.Bound) orb.Bound {
	return orb.Bound{
		Min: orb.Point{min(b.Min[0], c.Min[0]), min(b.Min[1], c.Min[1])},
		Max: orb.Point{max(b.Max[0], c.Max[0]), max(b.Max[1], c.Max[1])},
	}
}

// visit calls f with everything whose boxes all satisfy want.
func (t *boxTree) visit(want func(orb.Bound) bool, f func(i int)) {
	if t.n > 0 {
		t.visitBelow(len(t.levels)-1, 0, want, f)
	}
}

func (t *boxTree) visitBelow(level, i int, want func(orb.Bound) bool, f func(i int)) {
	if !want(t.levels[level][i]) {
		return
	}
	if level == 0 {
		for k := i * fan; k < min((i+1)*fan, t.n); k++ {
			f(k)
		}
		return
	}
	for c := i * fan; c < min((i+1)*fan, len(t.levels[level-1])); c++ {
		t.visitBelow(level-1, c, want, f)
	}
}

// PointIndex finds the points near a line, in time that does not grow with how
// many lie elsewhere.
type PointIndex struct {
	points []orb.Point
	order  []int32
	tree   boxTree
}

// NewPointIndex indexes points, which must not change afterwards.
func NewPointIndex(points []orb.Point) *PointIndex {
	x := &PointIndex{points: points, order: make([]int32, len(points))}
	for i := range x.order {
		x.order[i] = int32(i)
	}
	by := func(axis int) func(a, b int32) int {
		return func(a, b int32) int {
			return cmp.Or(cmp.Compare(points[a][axis], points[b][axis]), cmp.Compare(a, b))
		}
	}
	// Strips from west to east, each from south to north, so that boxes come out
	// about square.
	slices.SortFunc(x.order, by(0))
	strip := fan * max(int(math.Sqrt(float64(len(points))/fan)), 1)
	for i := 0; i < len(points); i += strip {
		slices.SortFunc(x.order[i:min(i+strip, len(points))], by(1))
	}
	x.tree = newBoxTree(len(points), func(i int) orb.Bound {
		p := points[x.order[i]]
		return orb.Bound{Min: p, Max: p}
	})
	return x
}

// Along calls f with the number of every point within reach of the line from a
// to b, in metres, and of some that lie somewhat farther; in no useful order.
func (x *PointIndex) Along(a, b orb.Point, reach float64, f func(i int)) {
	box := orb.Bound{Min: a, Max: a}.Extend(b).Pad(reach)
	dx, dy := b[0]-a[0], b[1]-a[1]
	length := math.Hypot(dx, dy)
	x.tree.visit(
		func(near orb.Bound) bool {
			if !near.Intersects(box) {
				return false
			}
			// The box's middle lies no farther from the line than half its extent
			// square to it, and the reach.
			c := near.Center()
			off := math.Abs(dx*(c[1]-a[1]) - dy*(c[0]-a[0]))
			half := (math.Abs(dx)*(near.Max[1]-near.Min[1]) + math.Abs(dy)*(near.Max[0]-near.Min[0])) / 2
			return off <= half+reach*length*(1+1e-9)+1e-9*length
		},
		func(i int) {
			if p := x.points[x.order[i]]; box.Contains(p) {
				f(int(x.order[i]))
			}
		})
}
