package raster

import (
	"bytes"
	"encoding/binary"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/vector"
)

// Whatever the bytes, reading ends with a fault of the input or with finite numbers.
func FuzzDecode(f *testing.F) {
	for _, change := range []func(*made){
		func(*made) {},
		func(m *made) { m.order, m.big = binary.BigEndian, true },
		func(m *made) { m.compression, m.predictor, m.tileCols, m.tileRows = packedLZW, 3, 16, 16 },
		func(m *made) { m.compression, m.predictor, m.kind = packedDeflate, 2, kind{formatSigned, 2} },
		func(m *made) { m.compression, m.bands, m.separate, m.noData = packedBits, 2, true, "-9999" },
		func(m *made) { m.bands, m.more = 2, []entry{m.shorts(tagExtra, 2), m.shorts(tagSubfile, 0)} },
		func(m *made) {
			m.more = []entry{m.shorts(tagGeoKeys, 1, 1, 0, 2, keyModel, 0, 1, 1, keyCitation, tagGeoText, 5, 0), words(tagGeoText, "a|b|")}
		},
	} {
		m := plainImage()
		m.cols, m.rows = 9, 7
		change(&m)
		f.Add(m.bytes(f))
	}
	outline, err := geo.NewOutline(orb.Polygon{{{-93.604, 41.999}, {-93.603, 41.999}, {-93.603, 42}, {-93.604, 41.999}}})
	require.NoError(f, err)
	plane, err := geo.PlaneFor(outline)
	require.NoError(f, err)
	region, err := plane.Region(outline)
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, data []byte) {
		sound := func(v float64, err error) {
			if err != nil {
				var input *vector.InputError
				require.ErrorAs(t, err, &input)
				require.NotEmpty(t, input.What)
			}
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0))
		}
		r, err := Decode(bytes.NewReader(data), int64(len(data)), "fuzz.tif", Options{})
		sound(0, err)
		if err != nil {
			return
		}
		cols, rows := r.Size()
		for _, at := range [][2]int{{0, 0}, {cols - 1, rows - 1}, {cols / 2, rows / 3}} {
			v, _, err := r.Pixel(r.Bands(), at[0], at[1])
			sound(v, err)
			if l, err := r.Centre(at[0], at[1]); err == nil {
				v, _, err := r.At(1, l)
				sound(v, err)
			}
		}
		if col, row, ok := r.PixelAt(geo.LonLat{-93.6035, 41.9995}); ok {
			require.True(t, r.inside(col, row))
		}
		box, some, err := r.box(region)
		sound(0, err)
		if some && (box.endCol-box.col)*(box.endRow-box.row) < 1e4 {
			_, err = r.Each(1, region, func(v float64) { sound(v, nil) })
			sound(0, err)
		}
	})
}
