package rx

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/vector"
)

// overlappingZones are a square field of 1 km and side by side zones, each wider than
// its cell of a grid by a tenth of it on every side.
func overlappingZones(t testing.TB, side int) (Field, []vector.Feature) {
	p, err := geo.NewPlane(geo.LonLat{-93.6, 42})
	require.NoError(t, err)
	square := func(x0, y0, x1, y1 float64) geo.Outline {
		r, err := geo.RegionFromPolygons(p, orb.MultiPolygon{{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}}})
		require.NoError(t, err)
		return r.Outline()
	}
	f, err := NewField("f", square(0, 0, 1000, 1000), nil, nil)
	require.NoError(t, err)
	var features []vector.Feature
	w := 1000 / float64(side)
	for i := range side {
		for j := range side {
			x, y := w*float64(i), w*float64(j)
			features = append(features, vector.Feature{
				Outline:    square(x-w/10, y-w/10, x+1.1*w, y+1.1*w),
				Attributes: []vector.Attribute{{Name: "ID", Value: vector.NewText(fmt.Sprint(side*i + j))}},
			})
		}
	}
	return f, features
}

func BenchmarkOverlappingZones(b *testing.B) {
	for _, side := range []int{25, 50, 100} {
		f, features := overlappingZones(b, side)
		o := DefaultZoneOptions()
		o.Overlap = OverlapFirst
		b.Run(fmt.Sprint(side*side), func(b *testing.B) {
			for range b.N {
				_, _, err := NewZones(f, features, "ID", o)
				require.NoError(b, err)
			}
		})
	}
}
