package raster

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo"
	"ratewright/geo/crs"
)

// Pieces of rows that are taken for straight are so to a millimetre, and each pixel is told
// as by its own middle, whatever the system and the way the image is turned.
func TestEachIsPixelByPixel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		code := rapid.SampledFrom([]int{4326, 26915, 32614, 3857, 26975}).Draw(t, "code")
		system, err := crs.FromEPSG(code)
		require.NoError(t, err)
		lon, lat := rapid.Float64Range(-97, -90).Draw(t, "lon"), rapid.Float64Range(40, 47).Draw(t, "lat")
		x, y, err := system.FromDegrees(lon, lat)
		require.NoError(t, err)
		size := rapid.Float64Range(0.7, 40).Draw(t, "size")
		if system.IsGeographic() {
			size /= 111e3
		}
		turn := rapid.SampledFrom([]float64{0, 0, 0.4, math.Pi / 2}).Draw(t, "turn")
		sin, cos := math.Sincos(turn)
		m := plainImage()
		m.tileCols, m.tileRows = 16, 16
		m.noData = "5"
		m.model, m.projected = modelProjected, code
		if system.IsGeographic() {
			m.model = modelGeographic
		}
		m.drop = []uint16{tagPixelScale, tagTiepoint}
		m.more = []entry{m.reals(tagTransform, size*cos, size*sin, 0, x, size*sin, -size*cos, 0, y, 0, 0, 1, 0, 0, 0, 0, 1)}
		r := m.open(t, Options{})

		var ring orb.Ring
		for range 3 {
			at, err := r.Centre(rapid.IntRange(-20, 60).Draw(t, "col"), rapid.IntRange(-20, 40).Draw(t, "row"))
			require.NoError(t, err)
			ring = append(ring, orb.Point{at[0] + 1.7e-6, at[1] + 2.3e-6})
		}
		outline, err := geo.NewOutline(orb.Polygon{append(ring, ring[0])})
		if err != nil {
			t.Skip("three points on a line")
		}
		plane, err := geo.PlaneFor(outline)
		require.NoError(t, err)
		region, err := plane.Region(outline)
		if err != nil || region.IsEmpty() {
			t.Skip("three points on a line")
		}

		box, some, err := r.box(region)
		require.NoError(t, err)
		require.True(t, some)
		look := sight{r, region, r.straight(region, box)}
		var want, near Count
		for row := -30; row < 50; row++ {
			for col := -30; col < 70; col++ {
				p, ok := look.middle(col, row)
				require.True(t, ok)
				count := &want
				if d := edgeDistance(region, p); d < 0.001 {
					count = &near // either answer is right
				} else if !region.Contains(p) {
					continue
				}
				if !r.inside(col, row) {
					count.Beyond++
					continue
				}
				if _, ok, err := r.Pixel(1, col, row); err != nil || !ok {
					require.NoError(t, err)
					count.Empty++
					continue
				}
				count.Data++
			}
		}
		have, err := r.Each(1, region, func(float64) {})
		require.NoError(t, err)
		if near == (Count{}) {
			require.Equal(t, want, have)
		}

		col, row := rapid.IntRange(-30, 30).Draw(t, "from"), rapid.IntRange(-30, 40).Draw(t, "at")
		a, _ := look.middle(col, row)
		b, _ := look.middle(col+look.straight-1, row)
		for _, share := range []float64{0.25, 0.5} {
			i := int(share * float64(look.straight-1))
			p, _ := look.middle(col+i, row)
			s := float64(i) / float64(max(look.straight-1, 1))
			require.Less(t, math.Hypot(a[0]+s*(b[0]-a[0])-p[0], a[1]+s*(b[1]-a[1])-p[1]), 0.001)
		}
	})
}

// edgeDistance is how far a point lies from the edge of a region, in metres.
func edgeDistance(r geo.Region, q orb.Point) float64 {
	least := math.Inf(1)
	for _, poly := range r.Polygons() {
		for _, ring := range poly {
			for i := range len(ring) - 1 {
				a, b := ring[i], ring[i+1]
				dx, dy := b[0]-a[0], b[1]-a[1]
				s := min(max(((q[0]-a[0])*dx+(q[1]-a[1])*dy)/(dx*dx+dy*dy), 0), 1)
				least = min(least, math.Hypot(a[0]+s*dx-q[0], a[1]+s*dy-q[1]))
			}
		}
	}
	return least
}
