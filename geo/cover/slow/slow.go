// Package slow measures what swaths and polygons cover in a plain way, to hold
// package cover against. It shares no code with it: rows exact in x between all
// heights at which any edge ends or any two edges cross, found by trying every
// pair. It is for tests of small scenes only.
package slow

import (
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"

	"ratewright/geo/cover"
)

// side is one edge of one owner.
type side struct {
	a, b         orb.Point
	swath        int // -1 for a layer's polygon
	layer, label int
}

// Sweep gives a judge every face of the input. Between two heights every width
// is linear, so the width at the middle is exact.
func Sweep(in cover.Input, j cover.Judge) {
	sides := collect(in)
	ys := heights(sides)
	for i := 1; i < len(ys); i++ {
		if ys[i] > ys[i-1] {
			row(in, sides, ys[i-1], ys[i], j)
		}
	}
}

func collect(in cover.Input) []side {
	var sides []side
	ring := func(r []orb.Point, s side) {
		for i := range r {
			s.a, s.b = r[i], r[(i+1)%len(r)]
			sides = append(sides, s)
		}
	}
	for i, s := range in.Swaths {
		if s.Shape == nil {
			ring(s.Quad[:], side{swath: i})
			continue
		}
		for _, r := range s.Shape {
			ring(r, side{swath: i})
		}
	}
	for l, layer := range in.Layers {
		for k, mp := range layer {
			for _, p := range mp {
				for _, r := range p {
					ring(r, side{swath: -1, layer: l, label: k})
				}
			}
		}
	}
	return sides
}

// heights returns, sorted, every y at which an edge ends or two edges cross.
func heights(sides []side) []float64 {
	order := slices.Clone(sides)
	low := func(s side) float64 { return math.Min(s.a[1], s.b[1]) }
	sort.Slice(order, func(i, j int) bool { return low(order[i]) < low(order[j]) })
	var ys []float64
	for i, s := range order {
		ys = append(ys, s.a[1], s.b[1])
		top := math.Max(s.a[1], s.b[1])
		for _, o := range order[i+1:] {
			if low(o) > top {
				break
			}
			if y, ok := meet(s, o); ok {
				ys = append(ys, y)
			}
		}
	}
	sort.Float64s(ys)
	return ys
}

// meet solves the two line equations for the crossing's y.
func meet(p, q side) (float64, bool) {
	rx, ry := p.b[0]-p.a[0], p.b[1]-p.a[1]
	sx, sy := q.b[0]-q.a[0], q.b[1]-q.a[1]
	den := rx*sy - ry*sx
	if den == 0 {
		return 0, false
	}
	t := ((q.a[0]-p.a[0])*sy - (q.a[1]-p.a[1])*sx) / den
	u := ((q.a[0]-p.a[0])*ry - (q.a[1]-p.a[1])*rx) / den
	if t < 0 || t > 1 || u < 0 || u > 1 {
		return 0, false
	}
	return p.a[1] + t*ry, true
}

// row judges the faces between two heights.
func row(in cover.Input, sides []side, y0, y1 float64, j cover.Judge) {
	type hit struct {
		x float64
		w int
		s *side
	}
	y := y0 + (y1-y0)/2
	var hits []hit
	for i := range sides {
		s := &sides[i]
		if (s.a[1] > y) == (s.b[1] > y) {
			continue
		}
		w := 1
		if s.b[1] > s.a[1] {
			w = -1
		}
		hits = append(hits, hit{s.a[0] + (y-s.a[1])*(s.b[0]-s.a[0])/(s.b[1]-s.a[1]), w, s})
	}
	sort.Slice(hits, func(a, b int) bool { return hits[a].x < hits[b].x })
	swaths := map[int]int{}
	labels := map[[2]int]int{}
	for i := 0; i+1 < len(hits); i++ {
		s := hits[i].s
		if s.swath >= 0 {
			swaths[s.swath] += hits[i].w
		} else {
			labels[[2]int{s.layer, s.label}] += hits[i].w
		}
		if f, ok := face(in, swaths, labels); ok {
			if a := (hits[i+1].x - hits[i].x) * (y1 - y0); a > 0 {
				j.Face(&f, a)
			}
		}
	}
}

// face describes the present place.
func face(in cover.Input, swaths map[int]int, labels map[[2]int]int) (cover.Face, bool) {
	f := cover.Face{Labels: [cover.MaxLayers]int32{cover.None, cover.None, cover.None, cover.None}}
	for k, w := range labels {
		if w != 0 && (f.Labels[k[0]] == cover.None || int32(k[1]) < f.Labels[k[0]]) {
			f.Labels[k[0]] = int32(k[1])
		}
	}
	for i, w := range swaths {
		if w != 0 {
			f.Swaths = append(f.Swaths, int32(i))
		}
	}
	slices.Sort(f.Swaths)
	f.Visits = visits(in, f.Swaths)
	return f, len(f.Swaths) > 0 || f.Labels != [cover.MaxLayers]int32{cover.None, cover.None, cover.None, cover.None}
}

// visits joins stretches of the odometer that lie no more than one unit apart,
// by marking and not by order.
func visits(in cover.Input, over []int32) int {
	group := make([]int, len(over))
	for i := range group {
		group[i] = i
	}
	for changed := true; changed; {
		changed = false
		for i, a := range over {
			for k, b := range over {
				s, t := in.Swaths[a], in.Swaths[b]
				apart := math.Max(t.From-s.To, s.From-t.To)
				if apart <= 1 && group[i] != group[k] {
					group[i] = min(group[i], group[k])
					group[k] = group[i]
					changed = true
				}
			}
		}
	}
	distinct := map[int]bool{}
	for _, g := range group {
		distinct[g] = true
	}
	return len(distinct)
}
