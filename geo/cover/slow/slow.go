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
	sort.Slice(sides, func(i, j int) bool { return sides[i].low() < sides[j].low() })
	ys := heights(sides)
	var there []side // sides that reach the present row
	next := 0
	for i := 1; i < len(ys); i++ {
		if ys[i] == ys[i-1] {
			continue
		}
		there = slices.DeleteFunc(there, func(s side) bool { return s.high() <= ys[i-1] })
		for ; next < len(sides) && sides[next].low() < ys[i]; next++ {
			there = append(there, sides[next])
		}
		row(in, there, ys[i-1], ys[i], j)
	}
}

func (s side) low() float64  { return math.Min(s.a[1], s.b[1]) }
func (s side) high() float64 { return math.Max(s.a[1], s.b[1]) }

func collect(in cover.Input) []side {
	var sides []side
	ring := func(r []orb.Point, s side) {
		for i := range r {
			s.a, s.b = r[i], r[(i+1)%len(r)]
			sides = append(sides, s)
		}
	}
	for i, s := range in.Swaths {
		if s.Shape == 0 {
			ring(s.Quad[:], side{swath: i})
			continue
		}
		for _, r := range in.Shapes[s.Shape-1] {
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

// heights returns, sorted, for sides sorted by their lower ends, every y at which an edge ends or two edges cross.
func heights(sides []side) []float64 {
	var ys []float64
	for i, s := range sides {
		ys = append(ys, s.a[1], s.b[1])
		for _, o := range sides[i+1:] {
			if o.low() > s.high() {
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
	wind := make(map[int]int)
	labels := map[[2]int]int{}
	var over []int32 // swaths of winding other than zero, ascending
	for i := 0; i+1 < len(hits); i++ {
		s := hits[i].s
		if s.swath >= 0 {
			before := wind[s.swath]
			wind[s.swath] += hits[i].w
			if at, found := slices.BinarySearch(over, int32(s.swath)); found && wind[s.swath] == 0 {
				over = slices.Delete(over, at, at+1)
			} else if before == 0 {
				over = slices.Insert(over, at, int32(s.swath))
			}
		} else {
			k := [2]int{s.layer, s.label}
			if labels[k] += hits[i].w; labels[k] == 0 {
				delete(labels, k)
			}
		}
		if f, ok := face(in, over, labels); ok {
			if a := (hits[i+1].x - hits[i].x) * (y1 - y0); a > 0 {
				j.Face(&f, a)
			}
		}
	}
}

// face describes the present place.
func face(in cover.Input, over []int32, labels map[[2]int]int) (cover.Face, bool) {
	f := cover.Face{Labels: [cover.MaxLayers]int32{cover.None, cover.None, cover.None, cover.None}}
	for k := range labels {
		if f.Labels[k[0]] == cover.None || int32(k[1]) < f.Labels[k[0]] {
			f.Labels[k[0]] = int32(k[1])
		}
	}
	for _, i := range over {
		f.Over = append(f.Over, cover.Over{Swath: i, Times: 1})
	}
	f.Visits = visits(in, over)
	return f, len(f.Over) > 0 || f.Labels != [cover.MaxLayers]int32{cover.None, cover.None, cover.None, cover.None}
}

// visits counts the groups into which the stretches of the odometer fall when
// those no more than one unit apart are joined.
func visits(in cover.Input, over []int32) int {
	starts := make([]float64, 0, len(over))
	stops := make([]float64, 0, len(over))
	for _, i := range over {
		// A stretch grown by half a unit on both sides touches its neighbour.
		starts = append(starts, in.Swaths[i].From-0.5)
		stops = append(stops, in.Swaths[i].To+0.5)
	}
	sort.Float64s(starts)
	sort.Float64s(stops)
	groups := 0
	for i := range stops {
		// A group ends where every stretch begun so far has stopped before the
		// next begins.
		if i+1 == len(starts) || starts[i+1] > stops[i] {
			groups++
		}
	}
	return groups
}
