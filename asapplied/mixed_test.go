package asapplied

import (
	"encoding/json"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestPointsAndPolygonsOfOneMachine gives a machine a log of points and one of
// polygons, before, after and among one another in time: it is as if they were of
// two machines, whatever their order.
func TestPointsAndPolygonsOfOneMachine(t *testing.T) {
	for name, shiftS := range map[string]float64{"points first": -1000, "polygons first": 1000, "in turn": 0.5} {
		t.Run(name, func(t *testing.T) {
			in, _ := polygonLog(t, 10)
			polygons := in.Drives[0]
			p := newPilot(t, polygons.Machine.Width.Metres(), 2, 3, 0, 0)
			p.record()
			p.straight(40)
			p.log.Depth = polygons.Log.Depth
			points := p.drive(polygons.Machine.Name)
			points.Log.TimeNS = slices.Clone(points.Log.TimeNS)
			for i := range points.Log.TimeNS {
				points.Log.TimeNS[i] += polygons.Log.TimeNS[0] + int64(shiftS*1e9)
			}
			both := func(drives ...Drive) Reconciliation {
				in.Drives = drives
				return mustReconcile(t, in)
			}
			got := both(polygons, points)
			require.Contains(t, got.Notes[0], "Machine "+polygons.Machine.Name+" has points and polygons")
			require.Equal(t, 50, got.Records.Used)
			require.Equal(t, map[string]int{DropNoGround: 1}, got.Records.Dropped)
			require.Positive(t, got.Area.Doubled)
			want, err := json.Marshal(got.JSON())
			require.NoError(t, err)
			turned := both(points, polygons)
			text, err := json.Marshal(turned.JSON())
			require.NoError(t, err)
			require.Equal(t, string(want), string(text))
			points.Machine.Name += "2"
			two := both(polygons, points)
			require.InDeltaSlice(t, figures(&two), figures(&got), 1e-9*two.Area.Field)
			for _, note := range two.Notes {
				require.NotContains(t, note, "points and polygons")
			}
		})
	}
}
