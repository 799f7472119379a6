package raster

import (
	"fmt"
	"math"

	"ratewright/geo"
)

// checkBand refuses a band that the image has not.
func (r *Raster) checkBand(band int) error {
	if band < 1 || band > r.layout.bands {
		return r.f.fault("", fmt.Sprintf("has no band %d: it has %d", band, r.layout.bands), "bands count from 1")
	}
	return nil
}

// Pixel returns the number of a pixel, and ok false where it has no data. A band, column
// or row that the image has not is an error, and so is a block that cannot be read.
func (r *Raster) Pixel(band, col, row int) (v float64, ok bool, err error) {
	if err := r.checkBand(band); err != nil {
		return 0, false, err
	}
	if !r.inside(col, row) {
		return 0, false, r.f.fault("", fmt.Sprintf("has no pixel in column %d and row %d: it has %d columns and %d rows, counted from 0", col, row, r.layout.cols, r.layout.rows), "")
	}
	return r.pixel(band-1, col, row)
}

func (r *Raster) inside(col, row int) bool {
	return col >= 0 && row >= 0 && col < r.layout.cols && row < r.layout.rows
}

// pixel is Pixel for a band from 0 and a place that are known to be there.
func (r *Raster) pixel(band, col, row int) (v float64, ok bool, err error) {
	block, at := r.layout.blockOf(band, col, row)
	b, err := r.block(block)
	if b == nil || err != nil {
		return 0, false, err
	}
	v = r.number(b, at)
	if math.IsNaN(v) || math.IsInf(v, 0) || r.noData != nil && v == *r.noData {
		return 0, false, nil
	}
	if alpha := r.layout.alpha; alpha >= 0 && alpha != band {
		solid, known, err := r.pixel(alpha, col, row)
		if err != nil || !known || solid == 0 {
			return 0, false, err
		}
	}
	return v, true, nil
}

// number reads number at of a block.
func (r *Raster) number(b []byte, at int) float64 {
	k := r.layout.kind
	b = b[at*k.bytes:]
	switch {
	case k.format == formatFloat && k.bytes == 4:
		return float64(math.Float32frombits(r.f.order.Uint32(b)))
	case k.format == formatFloat:
		return math.Float64frombits(r.f.order.Uint64(b))
	case k.bytes == 1 && k.format == formatSigned:
		return float64(int8(b[0]))
	case k.bytes == 1:
		return float64(b[0])
	case k.bytes == 2 && k.format == formatSigned:
		return float64(int16(r.f.order.Uint16(b)))
	case k.bytes == 2:
		return float64(r.f.order.Uint16(b))
	case k.format == formatSigned:
		return float64(int32(r.f.order.Uint32(b)))
	}
	return float64(r.f.order.Uint32(b))
}

// maxKept is how many bytes of unpacked blocks are kept, or the last alone where it has more.
const maxKept = 64 << 20

// block returns an unpacked block; nil for one that the file leaves out.
func (r *Raster) block(i int) ([]byte, error) {
	if b, ok := r.kept[i]; ok {
		return b, nil
	}
	if r.layout.leftOut(i) {
		return nil, nil
	}
	b, err := r.f.unpack(&r.layout, i)
	if err != nil {
		return nil, err
	}
	r.kept[i] = b
	r.order = append(r.order, i)
	for r.bytes += len(b); r.bytes > r.most && len(r.order) > 1; r.order = r.order[1:] {
		r.bytes -= len(r.kept[r.order[0]])
		delete(r.kept, r.order[0])
	}
	return b, nil
}

// PixelAt returns the column and row of the pixel over a place, which is the one with the
// nearest middle; inside is false where the image has none there.
func (r *Raster) PixelAt(l geo.LonLat) (col, row int, inside bool) {
	x, y, err := r.place.system.FromDegrees(l.Lon(), l.Lat())
	if err != nil {
		return 0, 0, false // no place, or one too far from the system's ground
	}
	i, j := r.place.affine.pixels(x, y)
	if !(i >= 0 && j >= 0 && i < float64(r.layout.cols) && j < float64(r.layout.rows)) {
		return 0, 0, false
	}
	return int(i), int(j), true
}

// At returns the number of the pixel over a place, and ok false where the image does not
// reach or has no data.
func (r *Raster) At(band int, l geo.LonLat) (v float64, ok bool, err error) {
	if err := r.checkBand(band); err != nil {
		return 0, false, err
	}
	col, row, inside := r.PixelAt(l)
	if !inside {
		return 0, false, nil
	}
	return r.pixel(band-1, col, row)
}

// Centre returns the middle of a pixel in degrees of the image's datum. The pixel need not
// be one of the image; a place that the coordinate system cannot mean is an error.
func (r *Raster) Centre(col, row int) (geo.LonLat, error) {
	x, y := r.place.affine.coordinates(float64(col)+0.5, float64(row)+0.5)
	lon, lat, err := r.place.system.ToDegrees(x, y)
	return geo.LonLat{lon, lat}, err
}
