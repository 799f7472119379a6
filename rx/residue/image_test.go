package residue

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/raster"
)

// The image of these tests: 10 x 10 pixels of a ten-thousandth of a degree, its upper left
// corner at 93.6 W, 42 N.
const west, north, pixel = -93.6, 42.0, 1e-4

// image is a GeoTIFF of one band of 32-bit floating point numbers, in one strip, by hand.
func image(t *testing.T, value func(col, row int) float64) *raster.Raster {
	t.Helper()
	const side = 10
	le := binary.LittleEndian
	out := []byte("II*\x00\x00\x00\x00\x00")
	for row := range side {
		for col := range side {
			out = le.AppendUint32(out, math.Float32bits(float32(value(col, row))))
		}
	}
	real := func(v ...float64) int {
		at := len(out)
		for _, x := range v {
			out = le.AppendUint64(out, math.Float64bits(x))
		}
		return at
	}
	scale, tie := real(pixel, pixel, 0), real(0, 0, 0, west, north, 0)
	keys := len(out)
	for _, v := range []uint16{1, 1, 0, 2, 1024, 0, 1, 2, 2048, 0, 1, 4326} {
		out = le.AppendUint16(out, v)
	}
	le.PutUint32(out[4:], uint32(len(out)))
	const short, long, double = 3, 4, 12
	tags := [][4]int{
		{256, long, 1, side},
		{257, long, 1, side},
		{258, short, 1, 32},
		{259, short, 1, 1},
		{273, long, 1, 8},
		{278, long, 1, side},
		{279, long, 1, 4 * side * side},
		{339, short, 1, 3},
		{33550, double, 3, scale},
		{33922, double, 6, tie},
		{34735, short, 12, keys},
	}
	out = le.AppendUint16(out, uint16(len(tags)))
	for _, tag := range tags {
		out = le.AppendUint16(le.AppendUint16(out, uint16(tag[0])), uint16(tag[1]))
		out = le.AppendUint32(le.AppendUint32(out, uint32(tag[2])), uint32(tag[3]))
	}
	out = le.AppendUint32(out, 0)
	r, err := raster.Decode(bytes.NewReader(out), int64(len(out)), "index.tif", raster.Options{})
	require.NoError(t, err)
	return r
}

// middle is a place in the middle of a pixel, which need not be one of the image.
func middle(col, row float64) geo.LonLat {
	return geo.LonLat{west + (col+0.5)*pixel, north - (row+0.5)*pixel}
}

// area is the ground from the corner of one pixel to that of another.
func area(t *testing.T, col, row, endCol, endRow float64) geo.Region {
	t.Helper()
	w, e, n, s := west+col*pixel, west+endCol*pixel, north-row*pixel, north-endRow*pixel
	o, err := geo.NewOutline(orb.Polygon{{{w, s}, {e, s}, {e, n}, {w, n}, {w, s}}})
	require.NoError(t, err)
	plane, err := geo.NewPlane(geo.LonLat{west, north})
	require.NoError(t, err)
	r, err := plane.Region(o)
	require.NoError(t, err)
	return r
}

// The index is a tenth of the column; row 9 has no data. Cover 10 + 90 x index exactly, of
// columns 1 to 5: 19 to 55 %. Column 9 has an index of 2 instead, which is 190 %.
func gradient(t *testing.T) *raster.Raster {
	return image(t, func(col, row int) float64 {
		switch {
		case row == 9:
			return math.NaN()
		case col == 9:
			return 2
		}
		return float64(col) / 10
	})
}

func counts() []Counted {
	var list []Counted
	for col := 1; col <= 5; col++ {
		list = append(list, Counted{ID: fmt.Sprintf("T%d", col), At: middle(float64(col), 4), CoverPct: 10 + 9*float64(col)})
	}
	return list
}

func TestCalibrateAndCover(t *testing.T) {
	img := gradient(t)
	c, err := Calibrate(img, 1, counts(), DefaultOptions())
	require.NoError(t, err)
	assert.InDelta(t, 90, c.Slope, 1e-4)
	assert.InDelta(t, 10, c.Intercept, 1e-4)
	assert.Empty(t, c.Notes)

	v, err := c.Over(img, 1, area(t, 1, 0, 4, 3)) // columns 1, 2, 3
	require.NoError(t, err)
	assert.InDelta(t, 28, v.MeanPct, 1e-4)
	assert.Equal(t, [4]int{9, 0, 0, 0}, [4]int{v.Pixels, v.Below, v.Above, v.Beyond})
	assert.Zero(t, v.Missing)
	assert.Equal(t, "28.0 % (standard error of the line there 0.0 %; 9 pixels with their middle in it)", v.Words())
	assert.Empty(t, v.Doubts())

	// Columns 8 and 9 and two beyond the image, rows 7, 8 and 9: two pixels of 82 %, two
	// of 100 % that would be 190, two without data and six where the image ends.
	v, err = c.Over(img, 1, area(t, 8, 7, 12, 10))
	require.NoError(t, err)
	assert.InDelta(t, 91, v.MeanPct, 1e-4)
	assert.Equal(t, [4]int{4, 0, 2, 4}, [4]int{v.Pixels, v.Below, v.Above, v.Beyond})
	assert.InDelta(t, 8.0/12, v.Missing, 1e-12)
	assert.Contains(t, v.Doubts(), "no data for 66.7 % of it; 0 pixels below 0 % and 2 above 100 % by the line are held there; 4 pixels have an index outside the calibrated range")

	v, err = c.Over(img, 1, area(t, 0, 9, 10, 10))
	require.NoError(t, err)
	assert.True(t, v.Pixels == 0 && math.IsNaN(v.MeanPct) && v.Missing == 1)
	assert.Equal(t, "none: no pixel with data has its middle in it", v.Words())
	assert.Empty(t, v.Doubts())
	_, err = c.Over(img, 2, area(t, 0, 9, 10, 10))
	require.ErrorContains(t, err, "index.tif: has no band 2")
}

// Counts off the line by 2 % each: the area has the standard error of the line at its mean
// index, 0.2, which is 0.1 below that of the places.
func TestTheErrorOfAnArea(t *testing.T) {
	img := gradient(t)
	list := counts()
	for i, off := range []float64{2, -2, 0, -2, 2} {
		list[i].CoverPct += off
	}
	c, err := Calibrate(img, 1, list, DefaultOptions())
	require.NoError(t, err)
	assert.InDelta(t, 4/math.Sqrt(3), c.SE, 1e-5)
	v, err := c.Over(img, 1, area(t, 1, 0, 4, 3))
	require.NoError(t, err)
	assert.InDelta(t, c.SE*math.Sqrt(0.2+0.01/0.1), v.SE, 1e-5)
}

// A line that falls, as of an index of bare soil: column 9 is below 0.
func TestAFallingLine(t *testing.T) {
	img := gradient(t)
	list := counts()
	for i := range list {
		list[i].CoverPct = 100 - list[i].CoverPct
	}
	c, err := Calibrate(img, 1, list, DefaultOptions())
	require.NoError(t, err)
	v, err := c.Over(img, 1, area(t, 8, 7, 10, 9))
	require.NoError(t, err)
	assert.InDelta(t, (18+0)/2.0, v.MeanPct, 1e-4)
	assert.Equal(t, [2]int{2, 0}, [2]int{v.Below, v.Above})
}

func TestPlacesWithoutAPixelAreCounted(t *testing.T) {
	img := gradient(t)
	list := append(
		counts(),
		Counted{"far", geo.LonLat{-90, 42}, 50}, Counted{"north", middle(3, -1), 50}, Counted{"dark", middle(3, 9), 50}, Counted{"again", middle(3.2, 4.2), 37},
	)
	c, err := Calibrate(img, 1, list, DefaultOptions())
	require.NoError(t, err)
	assert.Equal(t, 6, c.N)
	require.Len(t, c.Notes, 2)
	assert.Equal(t, "2 places lie outside the image and are left out: far, north; 1 places lie where it has no data and are left out: dark", c.Notes[0])
	assert.Contains(t, c.Notes[1], "1 places lie on the pixel of one before")
	assert.Contains(t, c.Notes[1], ": again")

	_, err = Calibrate(img, 1, list[3:8], DefaultOptions())
	require.ErrorContains(t, err, "2 places with a count and a pixel make no line; it takes 5 (common practice); count more (2 places lie outside the image and are left out: far, north; 1 places")
	_, err = Calibrate(img, 3, list, DefaultOptions())
	require.ErrorContains(t, err, "has no band 3")
}
