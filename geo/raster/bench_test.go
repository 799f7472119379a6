package raster

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
)

// A field of 64 ha with pixels of 1 m in tiles, deflated: 640,000 middles in it.
func BenchmarkEach(b *testing.B) {
	m := plainImage()
	m.cols, m.rows, m.tileCols, m.tileRows, m.step = 1000, 1000, 256, 256, [2]float64{1, 1}
	m.compression, m.predictor = packedDeflate, predictorFloat
	r := m.open(b, Options{})
	var ring orb.Ring
	for _, c := range [][2]int{{100, 100}, {900, 100}, {900, 900}, {100, 900}, {100, 100}} {
		at, err := r.Centre(c[0], c[1])
		require.NoError(b, err)
		ring = append(ring, orb.Point(at))
	}
	outline, err := geo.NewOutline(orb.Polygon{ring})
	require.NoError(b, err)
	plane, err := geo.PlaneFor(outline)
	require.NoError(b, err)
	region, err := plane.Region(outline)
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		c, err := r.Each(1, region, func(float64) {})
		require.NoError(b, err)
		require.InDelta(b, 640000, c.Data, 2000)
	}
}
