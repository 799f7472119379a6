package page

import (
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// TestThePictureHasItsScaleAndNorth on the page and in the PNG: the bars are as long on
// the map as they say, and the arrow points to where north is.
func TestThePictureHasItsScaleAndNorth(t *testing.T) {
	small := sample(0)
	small.Map.Boundary = orb.MultiPolygon{box(0, 0, 40, 25)}
	for name, s := range map[string]Sheet{"field": sample(0), "plot": small} {
		for kind, sc := range map[string]scene{"page": picture(s), "png": poster(s)} {
			at := name + ", " + kind
			var other scene
			f := other.frame(s.Map)
			var lengths []float64 // of the bars, in metres on the map
			var said []float64
			norths := 0
			for i := range sc.steps {
				st := &sc.steps[i]
				if st.region == "scale" {
					bar := st.lines[0]
					lengths = append(lengths, (bar[1][0]-bar[0][0])/f.scale)
				}
				for unit, metres := range map[string]float64{" m": 1, " ft": metresPerFoot} {
					if n, err := strconv.ParseFloat(strings.TrimSuffix(st.text, unit), 64); err == nil && strings.HasSuffix(st.text, unit) {
						said = append(said, n*metres)
					}
				}
				if st.text == "N" {
					norths++
					arrow := sc.steps[i-1].rings[0] // its tip comes first
					for _, p := range arrow[1:] {
						require.Less(t, arrow[0][1], p[1], at)
					}
				}
			}
			require.Len(t, said, 2, at)
			require.InDeltaSlice(t, said, lengths, 0.2/f.scale, at)
			require.Equal(t, 1, norths, at)
			require.Less(t, f.point(orb.Point{0, 10})[1], f.point(orb.Point{0, 0})[1], "north is up: %s", at)
		}
	}
}
