package rx

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/vector"
)

// A field a mile and more wide whose sides run along parallels, cut into zones with
// corners on them, becomes a rate map: the strips that the plane sees between the
// corners and the straight side have no ground in the map's degrees.
func TestLongSidesAlongParallels(t *testing.T) {
	for _, widthM := range []float64{800, 1100, 1609, 3218, 4828} {
		for _, zones := range []int{2, 3, 4} {
			t.Run(fmt.Sprintf("%g m, %d zones", widthM, zones), func(t *testing.T) {
				const west, south, height = -93.62, 42.02, 0.0036
				east := widthM / 82_690
				at := func(i int, lat float64) orb.Point {
					return orb.Point{roundTo(west+east*float64(i)/float64(zones), 7), roundTo(lat, 7)}
				}
				box := func(i, j int) geo.Outline {
					return outline(t, orb.Polygon{{at(i, south), at(j, south), at(j, south+height), at(i, south+height), at(i, south)}})
				}
				f, err := NewField("mile", box(0, zones), nil, nil)
				require.NoError(t, err)
				var features []vector.Feature
				for i := range zones {
					features = append(features, feature(i+1, box(i, i+1), "ZONE", fmt.Sprint(i), "N_LB_AC", 150+i))
				}
				made, _, err := NewZones(f, features, "ZONE", DefaultZoneOptions())
				require.NoError(t, err)
				p, err := Prescribe(f, made, sidedress(t))
				require.NoError(t, err)
				m, err := p.RateMap()
				require.NoError(t, err)
				require.Empty(t, Refused(CheckRateMap(m, f, Limits{}, DefaultCheckOptions())))
				require.Len(t, m.Features, zones)
			})
		}
	}
}
