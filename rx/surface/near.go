package surface

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// tree finds the samples nearest to a place: the middle of every span of its order splits
// the others of the span by one coordinate, which takes turns (Bentley 1975, Commun. ACM
// 18:509-517, from memory).
type tree struct {
	samples []Sample
	order   []int
	found   []neighbour
}

type neighbour struct {
	i  int
	d2 float64
}

// leaf is the length of a span that is not split.
const leaf = 8

func newTree(samples []Sample) *tree {
	t := &tree{samples: samples, order: make([]int, len(samples))}
	for i := range t.order {
		t.order[i] = i
	}
	t.split(t.order, 0)
	return t
}

func (t *tree) split(span []int, axis int) {
	if len(span) <= leaf {
		return
	}
	slices.SortFunc(span, func(a, b int) int {
		return cmp.Or(cmp.Compare(t.samples[a].At[axis], t.samples[b].At[axis]), cmp.Compare(a, b))
	})
	mid := len(span) / 2
	t.split(span[:mid], 1-axis)
	t.split(span[mid+1:], 1-axis)
}

// nearest are the samples nearest to a place but one, by their index. Those as far as the
// last of them belong to them, for on a grid of samples chance would choose among them;
// only where that would double their number do the first stand for all. There are none
// for a place so far away that squares are no numbers.
func (t *tree) nearest(p orb.Point, but, near int) []int {
	s := search{tree: t, at: p, but: but, near: near, worst: math.MaxFloat64}
	t.found = t.found[:0]
	s.span(t.order, 0)
	chosen := make([]int, len(t.found))
	for j, n := range t.found {
		chosen[j] = n.i
	}
	slices.Sort(chosen)
	return chosen
}

// search is one look for neighbours.
type search struct {
	*tree
	at        orb.Point
	but, near int
	worst     float64 // square of the distance beyond which none is wanted
}

func (s *search) span(span []int, axis int) {
	if len(span) <= leaf {
		for _, i := range span {
			s.offer(i)
		}
		return
	}
	mid := len(span) / 2
	s.offer(span[mid])
	d := s.at[axis] - s.samples[span[mid]].At[axis]
	this, other := span[:mid], span[mid+1:]
	if d > 0 {
		this, other = other, this
	}
	s.span(this, 1-axis)
	if d*d <= s.worst {
		s.span(other, 1-axis)
	}
}

// offer keeps a sample that is near enough, by distance and then by index.
func (s *search) offer(i int) {
	const asFar = 1 + 1e-9 // of squares of distances
	d2 := square(s.samples[i].At, s.at)
	if i == s.but || !(d2 <= s.worst) {
		return
	}
	list := append(s.found, neighbour{})
	k := len(list) - 1
	for ; k > 0 && (list[k-1].d2 > d2 || list[k-1].d2 == d2 && list[k-1].i > i); k-- {
		list[k] = list[k-1]
	}
	list[k] = neighbour{i, d2}
	if len(list) >= s.near {
		s.worst = list[s.near-1].d2 * asFar
		for len(list) > s.near && (list[len(list)-1].d2 > s.worst || len(list) > 2*s.near) {
			list = list[:len(list)-1]
		}
	}
	s.found = list
}

func square(a, b orb.Point) float64 {
	dx, dy := a[0]-b[0], a[1]-b[1]
	return dx*dx + dy*dy
}

func dist(a, b orb.Point) float64 { return math.Sqrt(square(a, b)) }
