package cover

import "github.com/paulmach/orb"

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
	polygons, sides := 0, 0
	for _, layer := range layers {
		polygons += len(layer)
		for _, mp := range layer {
			for _, poly := range mp {
				for _, ring := range poly {
					sides += len(ring)
				}
			}
		}
	}
	b := base{edges: make([]edge, 0, sides), label: make([]ownerLabel, 0, polygons)}
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
