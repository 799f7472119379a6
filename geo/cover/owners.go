package cover

import (
	"math"

	"github.com/paulmach/orb"
)

// owners are the swaths of one block, those that can be told from one another
// by nothing joined under one number.
//
// The block's swaths, in the order of the odometer, fall into groups where the
// odometer jumps by more than a unit. A group that spans at most a unit is one
// visit wherever it lies over the block, whichever of its swaths are there; so
// within it a swath and the one that follows it may share an owner, and the bar
// between them need not be drawn: crossing it would take one off the winding and
// put one on. The winding of such an owner is the number of its swaths over a
// spot. A folded quad turns the other way in one lobe and would cancel what lies
// over it, so it never shares.
type owners struct {
	list []owner
	of   []owned // for each of the block's swaths
}

// owner is one or more swaths of a block under one number.
type owner struct {
	swath    int32 // the first of them
	joined   bool  // their winding counts them
	from, to float64
}

// owned says how a swath of the block belongs to its owner.
type owned struct {
	owner                   int32
	sharesBack, sharesFront bool
}

// assign numbers the swaths of a block.
func (o *owners) assign(sw *sweep, swaths []int32) {
	o.list, o.of = o.list[:0], o.of[:0]
	for first := 0; first < len(swaths); {
		lo, hi := sw.in.Swaths[swaths[first]].From, sw.in.Swaths[swaths[first]].To
		end := first + 1
		for end < len(swaths) && sw.in.Swaths[swaths[end]].From <= hi+1 {
			hi = max(hi, sw.in.Swaths[swaths[end]].To)
			end++
		}
		short := hi-lo <= 1
		for k := first; k < end; k++ {
			if !short || !o.follow(sw, swaths, first, k) {
				o.add(sw, swaths[k], short, lo, hi)
			}
		}
		first = end
	}
}

// follow gives a swath the owner of the one it follows, where that one is in the
// same group.
func (o *owners) follow(sw *sweep, swaths []int32, first, k int) bool {
	i := swaths[k]
	back := sw.in.Swaths[i].Follows
	if back == 0 || !sw.plain[i] || !sw.plain[i-back] {
		return false
	}
	for j := k - 1; j >= first && swaths[j] >= i-back; j-- {
		if swaths[j] == i-back {
			o.of[j].sharesFront = true
			o.of = append(o.of, owned{owner: o.of[j].owner, sharesBack: true})
			return true
		}
	}
	return false
}

// add makes a new owner of one swath.
func (o *owners) add(sw *sweep, i int32, short bool, lo, hi float64) {
	s := &sw.in.Swaths[i]
	w := owner{swath: i, joined: sw.plain[i], from: s.From, to: s.To}
	if short {
		w.from, w.to = lo, hi
	}
	o.of = append(o.of, owned{owner: int32(len(o.list))})
	o.list = append(o.list, w)
}

// visits counts the visits of owners in ascending order; see [Face].
func (o *owners) visits(on []winding) int {
	if len(on) < 2 {
		return len(on)
	}
	if o.list[on[len(on)-1].owner].from <= o.list[on[0].owner].to+1 {
		return 1 // they ascend, so none begins beyond the end of the first
	}
	n := 0
	var end float64
	for _, k := range on {
		w := &o.list[k.owner]
		if n == 0 || w.from > end+1 {
			n++
			end = w.to
			continue
		}
		end = max(end, w.to)
	}
	return n
}

// measure returns how much new ground a swath covers, about, by which blocks are
// sized, and whether it is a quad that is convex and turns counter-clockwise, so that
// its winding is one all over.
func (in *Input) measure(s *Swath) (groundM2 float64, plain bool) {
	if s.Shape != 0 {
		return ShapeArea(in.shape(s)), false
	}
	if t := triangles(&s.Quad); min(t[0], t[1], t[2], t[3]) >= 0 {
		return t[0] + t[2], true
	}
	return foldedGround(&s.Quad), false
}

// mostOver is how many folded quads are taken to lie over one another at most.
const mostOver = 8

// foldedGround is what a folded quad adds to those before and after it. Where bars
// turn to and fro on the way their lobes lie over one another many times; only the
// way of their middle leads on.
func foldedGround(q *[4]orb.Point) float64 {
	area := QuadArea(q)
	way := math.Hypot(q[2][0]+q[3][0]-q[0][0]-q[1][0], q[2][1]+q[3][1]-q[0][1]-q[1][1]) / 2
	bar := math.Sqrt(max(dist2(q[0], q[1]), dist2(q[2], q[3])))
	return max(min(area, way*bar), area/mostOver)
}
