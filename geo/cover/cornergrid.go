package cover

import (
	"math"

	"github.com/paulmach/orb"
)

// cornerGrid finds the corners near a side: they lie sorted by the square cell of
// a grid that holds about one each.
type cornerGrid struct {
	origin     orb.Point
	side       float64
	cols, rows int
	start      []int32 // cell -> where its corners begin in order
	order      []int32
	points     []orb.Point // in that order
}

// newCornerGrid sorts the nodes from the first on.
func newCornerGrid(nodes []node, first int) cornerGrid {
	b := orb.Bound{Min: nodes[first].exact, Max: nodes[first].exact}
	for _, n := range nodes[first:] {
		b = b.Extend(n.exact)
	}
	count := len(nodes) - first
	w, h := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	// Corners on one line would make the cells too small for their number.
	side := max(math.Sqrt(w*h/float64(count)), (w+h)/float64(count), 1)
	g := cornerGrid{origin: b.Min, side: side, cols: int(w/side) + 1, rows: int(h/side) + 1}
	g.start = make([]int32, g.cols*g.rows+1)
	g.order, g.points = make([]int32, count), make([]orb.Point, count)
	cells := make([]int32, count)
	for i := range cells {
		p := nodes[first+i].exact
		cells[i] = int32(g.row(p[1])*g.cols + g.col(p[0]))
		g.start[cells[i]]++
	}
	var at int32
	for c, n := range g.start {
		at, g.start[c] = at+n, at+n
	}
	for i := count - 1; i >= 0; i-- {
		c := cells[i]
		g.start[c]--
		g.order[g.start[c]], g.points[g.start[c]] = int32(first+i), nodes[first+i].exact
	}
	return g
}

func (g *cornerGrid) col(x float64) int {
	return min(max(int((x-g.origin[0])/g.side), 0), g.cols-1)
}

func (g *cornerGrid) row(y float64) int {
	return min(max(int((y-g.origin[1])/g.side), 0), g.rows-1)
}

// near calls f with every corner within reach of the side from a to b, and with
// some that lie farther off.
func (g *cornerGrid) near(a, b orb.Point, reach float64, f func(n int32, p orb.Point)) {
	if a[1] > b[1] {
		a, b = b, a
	}
	slope := 0.0
	if b[1] > a[1] {
		slope = (b[0] - a[0]) / (b[1] - a[1])
	}
	last := g.row(b[1] + reach)
	for r := g.row(a[1] - reach); r <= last; r++ {
		x0, x1 := a[0], b[0]
		if low := g.origin[1] + float64(r)*g.side - reach; slope != 0 && low > a[1] {
			x0 = a[0] + slope*(min(low, b[1])-a[1])
		}
		if high := g.origin[1] + float64(r+1)*g.side + reach; slope != 0 && high < b[1] {
			x1 = a[0] + slope*(max(high, a[1])-a[1])
		}
		from, to := r*g.cols+g.col(min(x0, x1)-reach), r*g.cols+g.col(max(x0, x1)+reach)
		for i := g.start[from]; i < g.start[to+1]; i++ {
			f(g.order[i], g.points[i])
		}
	}
}
