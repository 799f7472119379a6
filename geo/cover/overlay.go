package cover

import (
	"slices"

	"github.com/paulmach/orb"
)

type point = orb.Point

// winding is how often an owner's outline goes round a spot.
type winding struct{ owner, w int32 }

// base is the edges of all layers. Owners of layers are negative, those of
// swaths are not: see layerOwner.
type base struct {
	edges []edge
	label []ownerLabel
}

// ownerLabel is what a layer's owner stands for.
type ownerLabel struct{ layer, label int32 }

// layerOwner numbers the owners of layers -1, -2, …
func layerOwner(i int) int32 { return int32(-1 - i) }

func newBase(layers []Layer) base {
	var b base
	for l, layer := range layers {
		for label, mp := range layer {
			owner := layerOwner(len(b.label))
			b.label = append(b.label, ownerLabel{int32(l), int32(label)})
			for _, poly := range mp {
				for _, ring := range poly {
					eachRingEdge(ring, func(p, q orb.Point) {
						b.edges = append(b.edges, newEdge(p, q, owner))
					})
				}
			}
		}
	}
	return b
}

// passesLeftWall tells at which height within the block's row an edge passes the
// line of the left wall, and by how much the owner's winding on the wall changes
// above it.
func (b *box) passesLeftWall(e *edge) (y float64, w int32, ok bool) {
	lo, hi := max(e.y0, b.y0), min(e.y1, b.y1)
	left, leftAbove := e.at(lo) <= b.x0, e.at(hi) <= b.x0
	if e.level() {
		left, leftAbove = e.x0 <= b.x0, e.x1 <= b.x0
		lo, hi = e.y0, e.y0
		if lo <= b.y0 {
			return 0, 0, false
		}
	} else if lo >= hi {
		return 0, 0, false
	}
	if left == leftAbove {
		return 0, 0, false
	}
	y = e.crossingX(b.x0, lo, hi)
	if leftAbove {
		return y, e.w, true
	}
	return y, -e.w, true
}

// overlay knows which swaths and labels lie over the present place of a walk.
type overlay struct {
	wind   []int32 // block's owner -> winding
	layers []int32 // layer owner (as -1-owner) -> winding
	on     []int32 // block's owners of winding other than zero, ascending
	active [MaxLayers][]int32
	known  bool // f describes the present place
	some   bool // and something lies over it
	f      Face
}

func newOverlay(owners int) overlay { return overlay{layers: make([]int32, owners)} }

// start makes room for a block's owners.
func (o *overlay) start(owners int) {
	if cap(o.wind) < owners {
		o.wind = make([]int32, owners*2)
	}
	o.wind = o.wind[:owners]
	clear(o.wind)
	o.on = o.on[:0]
}

// cross adds a piece's winding to its owner's.
func (o *overlay) cross(s *sweeper, owner, w int32) {
	o.known = false
	if owner < 0 {
		i := -1 - owner
		l := s.sw.base.label[i]
		o.active[l.layer] = turn(o.active[l.layer], &o.layers[i], w, l.label)
		return
	}
	o.on = turn(o.on, &o.wind[owner], w, owner)
}

// turn changes a winding and keeps the sorted list of those that are not zero.
func turn(list []int32, wind *int32, w, item int32) []int32 {
	before := *wind
	*wind += w
	switch {
	case before == 0 && *wind != 0:
		i := len(list)
		for i > 0 && list[i-1] > item {
			i--
		}
		return slices.Insert(list, i, item)
	case before != 0 && *wind == 0:
		i := slices.Index(list, item)
		return slices.Delete(list, i, i+1)
	}
	return list
}

// clear forgets the windings at the end of a walk. Pieces right of the block are
// not walked, so windings need not have come back to zero by themselves.
func (o *overlay) clear(s *sweeper) {
	for _, k := range o.on {
		o.wind[k] = 0
	}
	for i := range s.lives {
		if p := &s.pieces[s.lives[i].piece]; p.owner < 0 {
			o.layers[-1-p.owner] = 0
		}
	}
	for _, w := range s.on {
		if w.owner < 0 {
			o.layers[-1-w.owner] = 0
		}
	}
	o.on = o.on[:0]
	for l := range o.active {
		o.active[l] = o.active[l][:0]
	}
	o.known = false
}

// face describes the present place; ok is false on ground that nothing touches.
func (o *overlay) face(s *sweeper) (*Face, bool) {
	if o.known {
		return &o.f, o.some
	}
	o.known, o.some = true, len(o.on) > 0
	for l := range o.active {
		o.f.Labels[l] = None
		if a := o.active[l]; len(a) > 0 {
			o.f.Labels[l] = a[0]
			o.some = true
		}
	}
	o.f.Over = o.f.Over[:0]
	for _, k := range o.on {
		w := &s.owners.list[k]
		times := int32(1)
		if w.joined {
			times = o.wind[k]
		}
		o.f.Over = append(o.f.Over, Over{w.swath, times})
	}
	o.f.Visits = s.owners.visits(o.on)
	return &o.f, o.some
}
