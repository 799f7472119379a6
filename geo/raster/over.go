package raster

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"ratewright/geo"
)

const (
	// maxLookedAt is how many pixels one region may span, in its box.
	maxLookedAt = 100e6
	// maxSideM is the length in metres of the longest straight piece that is taken for
	// straight in the image's coordinate system, too: it sags by less than 1 mm there.
	maxSideM = 100
)

// Count is what a region has of an image, by the pixels whose middle lies in it.
type Count struct {
	Data   int // pixels with data
	Empty  int // pixels without
	Beyond int // middles of pixels that the image would have if it reached so far
}

// Missing returns the share of the region, 0 to 1, for which there is no data; 1 where no
// pixel has its middle in it.
func (c Count) Missing() float64 {
	all := c.Data + c.Empty + c.Beyond
	if all == 0 {
		return 1
	}
	return float64(c.Empty+c.Beyond) / float64(all)
}

// Each calls f with the number of every pixel with data whose middle lies in the region,
// block by block. A band that the image has not, a region that spans more than 100 million
// pixels, one that lies too far from the ground of the image's coordinate system, and a
// block that cannot be read are errors.
func (r *Raster) Each(band int, region geo.Region, f func(v float64)) (Count, error) {
	var c Count
	if err := r.checkBand(band); err != nil {
		return c, err
	}
	box, some, err := r.box(region)
	if err != nil || !some {
		return c, err
	}
	look := sight{r, region, r.straight(region, box)}
	image := window{0, 0, r.layout.cols, r.layout.rows}
	for _, w := range r.blocksOf(box.within(image)) {
		err := look.each(w, func(col, row int) error {
			v, ok, err := r.pixel(band-1, col, row)
			switch {
			case err != nil:
				return err
			case !ok:
				c.Empty++
				return nil
			}
			c.Data++
			f(v)
			return nil
		})
		if err != nil {
			return c, err
		}
	}
	for _, w := range box.without(image) {
		// The function has no error of its own.
		_ = look.each(w, func(int, int) error { c.Beyond++; return nil })
	}
	return c, nil
}

// sight finds the pixels whose middle lies in a region.
type sight struct {
	r        *Raster
	region   geo.Region
	straight int // pixels of a row that lie on a straight line in the region's plane
}

// straight is how many pixels of a row make maxSideM.
func (r *Raster) straight(region geo.Region, box window) int {
	look := sight{r: r, region: region}
	col, row := (box.col+box.endCol)/2, (box.row+box.endRow)/2
	a, okA := look.middle(col, row)
	b, okB := look.middle(col+1, row)
	if step := math.Hypot(b[0]-a[0], b[1]-a[1]); okA && okB && step > 0 && step < maxSideM {
		return int(min(maxSideM/step, 1e6))
	}
	return 1
}

// middle is that of a pixel in the plane of the region; false where that does not reach.
func (s sight) middle(col, row int) (orb.Point, bool) {
	l, err := s.r.Centre(col, row)
	if err != nil || !s.region.Plane().Fits(l) {
		return orb.Point{}, false
	}
	return s.region.Plane().Project(l), true
}

// each calls f for the pixels of a window, row by row, of which pieces are taken for
// straight.
func (s sight) each(w window, f func(col, row int) error) error {
	for row := w.row; row < w.endRow; row++ {
		for col := w.col; col < w.endCol; {
			n := min(s.straight, w.endCol-col)
			a, okA := s.middle(col, row)
			b, okB := a, okA
			if n > 1 {
				b, okB = s.middle(col+n-1, row)
			}
			if okA != okB {
				n, b, okB = 1, a, okA
			}
			for i := range n {
				t := float64(i) / float64(max(n-1, 1))
				if okA && s.region.Contains(orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}) {
					if err := f(col+i, row); err != nil {
						return err
					}
				}
			}
			col += n
		}
	}
	return nil
}

// window is a rectangle of pixels, without those at the column and row of its end.
type window struct{ col, row, endCol, endRow int }

func (w window) within(o window) window {
	return window{max(w.col, o.col), max(w.row, o.row), min(w.endCol, o.endCol), min(w.endRow, o.endRow)}
}

// without is what is left of a window beside another.
func (w window) without(o window) []window {
	in := w.within(o)
	if in.col >= in.endCol || in.row >= in.endRow {
		return []window{w}
	}
	return []window{
		{w.col, w.row, w.endCol, in.row},
		{w.col, in.endRow, w.endCol, w.endRow},
		{w.col, in.row, in.col, in.endRow},
		{in.endCol, in.row, w.endCol, in.endRow},
	}
}

// blocksOf cuts a window of the image by its blocks.
func (r *Raster) blocksOf(w window) []window {
	var out []window
	if w.col >= w.endCol || w.row >= w.endRow {
		return nil
	}
	cols, rows := r.layout.blockCols, r.layout.blockRows
	for row := w.row / rows * rows; row < w.endRow; row += rows {
		for col := w.col / cols * cols; col < w.endCol; col += cols {
			out = append(out, w.within(window{col, row, col + cols, row + rows}))
		}
	}
	return out
}

// box is the window of pixels, of the image or beside it, that may have their middle in a
// region.
func (r *Raster) box(region geo.Region) (w window, some bool, err error) {
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	take := func(q orb.Point) error {
		l := region.Plane().Unproject(q)
		x, y, err := r.place.system.FromDegrees(l.Lon(), l.Lat())
		if err != nil {
			return r.f.fault("", err.Error(), "give an image of the field")
		}
		i, j := r.place.affine.pixels(x, y)
		low[0], low[1] = min(low[0], i), min(low[1], j)
		high[0], high[1] = max(high[0], i), max(high[1], j)
		return nil
	}
	for _, p := range region.Polygons() {
		if err := eachPoint(p[0], take); err != nil {
			return w, false, err
		}
	}
	if region.IsEmpty() {
		return w, false, nil
	}
	wide, tall := high[0]-low[0]+2, high[1]-low[1]+2
	if !(wide*tall <= maxLookedAt) || !(max(math.Abs(low[0]), math.Abs(low[1]), math.Abs(high[0]), math.Abs(high[1])) < math.MaxInt32/2) {
		return w, false, r.f.fault("", fmt.Sprintf("its pixels are so small that a region spans more than %d million of them, or lie far from it", int(maxLookedAt/1e6)), "write it with larger pixels, or give an image of the field")
	}
	w = window{int(math.Floor(low[0])), int(math.Floor(low[1])), int(math.Ceil(high[0])), int(math.Ceil(high[1]))}
	return w, true, nil
}

// eachPoint calls f with points of a ring in metres, at most maxSideM apart.
func eachPoint(ring orb.Ring, f func(orb.Point) error) error {
	for k := 0; k+1 < len(ring); k++ {
		a, b := ring[k], ring[k+1]
		n := max(1, int(math.Ceil(math.Hypot(b[0]-a[0], b[1]-a[1])/maxSideM)))
		for i := range n {
			t := float64(i) / float64(n)
			if err := f(orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}); err != nil {
				return err
			}
		}
	}
	return nil
}
