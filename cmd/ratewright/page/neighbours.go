package page

import (
	"math"

	"github.com/paulmach/orb"
)

// neighbours finds pieces by the squares that they touch.
type neighbours struct {
	origin     orb.Point
	side       float64
	cols, rows int
	start      []int32 // square -> where its pieces begin
	pieces     []piece
}

// newNeighbours sorts pieces into squares, of which there are not many more than pieces.
func newNeighbours(rings [][]piece, count int) neighbours {
	b := rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, ps := range rings {
		for i := range ps {
			a := &ps[i].a
			b = rect{min(b.x0, a[0]), min(b.y0, a[1]), max(b.x1, a[0]), max(b.y1, a[1])}
		}
	}
	n := neighbours{origin: orb.Point{b.x0, b.y0}}
	w, h := b.w(), b.h()
	n.side = max(hairCellM, math.Sqrt(w*h/float64(count)), (w+h)/float64(count))
	n.cols, n.rows = int(w/n.side)+1, int(h/n.side)+1
	n.start = make([]int32, n.cols*n.rows+1)
	for _, ps := range rings {
		for i := range ps {
			q := n.squares(&ps[i])
			for y := q.y0; y <= q.y1; y++ {
				for x := q.x0; x <= q.x1; x++ {
					n.start[y*n.cols+x]++
				}
			}
		}
	}
	at := int32(0)
	for i, k := range n.start {
		at += k
		n.start[i] = at
	}
	n.pieces = make([]piece, at)
	for _, ps := range rings {
		for i := range ps {
			q := n.squares(&ps[i])
			for y := q.y0; y <= q.y1; y++ {
				for x := q.x0; x <= q.x1; x++ {
					n.start[y*n.cols+x]--
					n.pieces[n.start[y*n.cols+x]] = ps[i]
				}
			}
		}
	}
	return n
}

// squares are a range of columns and rows.
type squares struct{ x0, y0, x1, y1 int }

// squares are those that a piece comes near to.
func (n *neighbours) squares(p *piece) squares {
	return squares{
		n.col(min(p.a[0], p.b[0]) - hairlineM), n.row(min(p.a[1], p.b[1]) - hairlineM),
		n.col(max(p.a[0], p.b[0]) + hairlineM), n.row(max(p.a[1], p.b[1]) + hairlineM),
	}
}

func (n *neighbours) col(x float64) int {
	return min(max(int((x-n.origin[0])/n.side), 0), n.cols-1)
}

func (n *neighbours) row(y float64) int {
	return min(max(int((y-n.origin[1])/n.side), 0), n.rows-1)
}
