package cover

import (
	"slices"

	"github.com/paulmach/orb"
)

// run is a trapezoid still growing.
type run struct {
	left, right int32
	trap        int32
	below       int32 // the open run that it continues, -1 where it is new
	xtl, xtr    float64
	yt          float64
	// Where its sides began: at its bottom, or below where they go on from other runs.
	leftFrom, rightFrom orb.Point
	// A run above has the side, or the whole of it.
	leftWent, rightWent, grown bool
}

// formRuns joins the gaps of a kind that lie side by side.
func (r *recorder) formRuns(k int, y0, y1 float64, gaps []gap) {
	r.runs = r.runs[:0]
	for i := 0; i < len(gaps); {
		if gaps[i].verdict.Kinds>>k&1 == 0 {
			i++
			continue
		}
		first := i
		last := i
		for i++; i < len(gaps); i++ {
			if gaps[i].verdict.Kinds>>k&1 == 0 {
				continue
			}
			if gaps[i].xbl-gaps[last].xbr > slitM || gaps[i].xtl-gaps[last].xtr > slitM {
				break
			}
			last = i
		}
		r.addRun(k, y0, y1, gaps[first:last+1])
	}
}

// addRun opens a run over neighbouring gaps, or sums it away where it is too
// narrow to have an outline.
func (r *recorder) addRun(k int, y0, y1 float64, gaps []gap) {
	a, z := &gaps[0], &gaps[len(gaps)-1]
	n := run{
		left: a.left, right: z.right, xtl: a.xtl, xtr: z.xtr, yt: y1,
		leftFrom: orb.Point{a.xbl, y0}, rightFrom: orb.Point{z.xbr, y0},
	}
	if max(z.xbr-a.xbl, z.xtr-a.xtl) < slitM {
		for i := range gaps {
			if gaps[i].verdict.Kinds>>k&1 != 0 {
				s := &r.slivers[k]
				s.AreaM2 += gaps[i].areaM2
				for j := range s.Amounts {
					s.Amounts[j] += gaps[i].areaM2 * gaps[i].verdict.Amounts[j]
				}
			}
		}
		return
	}
	n.below = r.continues(k, &n)
	if n.below >= 0 {
		o := &r.open[k][n.below]
		n.trap, o.grown = o.trap, true
	} else {
		n.trap = int32(len(r.traps))
		r.traps = append(r.traps, trap{kind: int32(k), share: -1})
	}
	for i := range gaps {
		if gaps[i].verdict.Kinds>>k&1 != 0 {
			r.sum(n.trap, &gaps[i])
		}
	}
	r.runs = append(r.runs, n)
}

// continues is the open run that a run continues, or -1: one between the same pieces,
// or one that is as wide where the two meet.
func (r *recorder) continues(k int, n *run) int32 {
	open := r.open[k]
	for i := range open {
		o := &open[i]
		if o.grown {
			continue
		}
		if o.left == n.left && o.right == n.right ||
			o.xtl == n.leftFrom[0] && o.xtr == n.rightFrom[0] && o.xtr-o.xtl > slitM {
			return int32(i)
		}
	}
	return -1
}

// sum adds a gap to its trapezoid.
func (r *recorder) sum(t int32, g *gap) {
	tr := &r.traps[t]
	tr.areaM2 += g.areaM2
	for j := range tr.amounts {
		tr.amounts[j] += g.areaM2 * g.verdict.Amounts[j]
	}
	if tr.share < 0 || r.shares[tr.share].label != g.verdict.Label {
		tr.share = int32(len(r.shares))
		r.shares = append(r.shares, share{trap: t, label: g.verdict.Label})
	}
	r.shares[tr.share].areaM2 += g.areaM2
}

// matchRuns lets the open runs grow into the strip above y, or ends them.
func (r *recorder) matchRuns(k int, y float64, b *box) {
	r.fresh, r.ended = r.fresh[:0], r.ended[:0]
	open := r.open[k]
	for i := range r.runs {
		n := &r.runs[i]
		if n.below < 0 {
			r.fresh = append(r.fresh, span{n.leftFrom[0], n.rightFrom[0], n.trap})
			continue
		}
		r.growSides(k, &open[n.below], n)
	}
	for i := range open {
		if o := &open[i]; !o.grown {
			r.ended = append(r.ended, span{o.xtl, o.xtr, o.trap})
		}
	}
	if y == b.y0 {
		r.bottoms[k] = append(r.bottoms[k], r.fresh...)
	} else {
		links := len(r.links)
		r.joinLevel(k, y, r.fresh, r.ended)
		r.goOn(k, r.links[links:])
	}
	for i := range open {
		if !open[i].grown {
			r.sides(k, &open[i])
		}
	}
	r.open[k], r.runs = r.runs, open
}

// goOn lets new runs take over the sides of runs below that end where only their
// other side changes: most sides of an outline go by the ends of many trapezoids.
// The two must be of one patch. That they meet does not make them so: strips can be
// so thin that what lies side by side in them laps, and only one of two that lap can
// join what lies below. So links tells which joined on the level, each a run above
// and one below.
func (r *recorder) goOn(k int, links [][2]int32) {
	for i := range r.runs {
		n := &r.runs[i]
		if n.below >= 0 {
			continue
		}
		for j := range r.open[k] {
			o := &r.open[k][j]
			left := o.left == n.left && isShort(o.leftFrom, orb.Point{n.xtl, n.yt})
			right := o.right == n.right && isShort(o.rightFrom, orb.Point{n.xtr, n.yt})
			if !left && !right || !slices.Contains(links, [2]int32{n.trap, o.trap}) {
				continue
			}
			if left {
				n.leftFrom, o.leftWent = o.leftFrom, true
			}
			if right {
				n.rightFrom, o.rightWent = o.rightFrom, true
			}
		}
	}
}

// growSides lets the sides of a run go on from those of the run that it continues.
// Sides along other pieces begin anew, and so do those that become too long.
func (r *recorder) growSides(k int, o, n *run) {
	if n.left == o.left && (n.left == wallSide || isShort(o.leftFrom, orb.Point{n.xtl, n.yt})) {
		n.leftFrom = o.leftFrom
	} else {
		r.leftSide(k, o)
	}
	if n.right == o.right && (n.right == wallSide || isShort(o.rightFrom, orb.Point{n.xtr, n.yt})) {
		n.rightFrom = o.rightFrom
	} else {
		r.rightSide(k, o)
	}
}

// leftSide and rightSide give a side of a run to the outline or to the wall.
func (r *recorder) leftSide(k int, o *run) {
	if o.left == wallSide {
		r.atWest[k] = append(r.atWest[k], span{o.leftFrom[1], o.yt, o.trap})
	} else {
		r.add(k, orb.Point{o.xtl, o.yt}, o.leftFrom, o.trap)
	}
}

func (r *recorder) rightSide(k int, o *run) {
	if o.right == wallSide {
		r.atEast[k] = append(r.atEast[k], span{o.rightFrom[1], o.yt, o.trap})
	} else {
		r.add(k, o.rightFrom, orb.Point{o.xtr, o.yt}, o.trap)
	}
}

// sides gives away the sides of an ended run that no other took over.
func (r *recorder) sides(k int, o *run) {
	if !o.leftWent {
		r.leftSide(k, o)
	}
	if !o.rightWent {
		r.rightSide(k, o)
	}
}
