package asapplied

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestMarksForNoneAreNoRatesAndNoDepths(t *testing.T) {
	log, err := readText(t, `time,lon,lat,working,rate_kg_ha,depth_m
2026-06-05T13:00:00Z,-93.1,41.9,1,180,0.1
2026-06-05T13:00:01Z,-93.1,41.9,1,65535,0.1
2026-06-05T13:00:02Z,-93.1,41.9,1,180,99
`)
	require.NoError(t, err)
	require.Equal(t, 180.0, log.Rate.V[0])
	require.True(t, equalOrNaN(log.Rate.V[1], valueAt(nil, 0)))
	require.True(t, equalOrNaN(log.Depth.V[2], valueAt(nil, 0)))
	require.Len(t, log.Notes, 2)
	require.Contains(t, log.Notes[0], "1 out of range; first at line 3")
	require.Contains(t, log.Notes[1], "1 out of range; first at line 4")
}

func TestColumnThatNeverSaysWhetherItWorksIsRefused(t *testing.T) {
	_, err := readText(t, `time,lon,lat,working
2026-06-05T13:00:00Z,-93.1,41.9,parked
2026-06-05T13:00:01Z,-93.1,41.9,parked
`, func(s *LogSpec) { s.Columns = map[string][]string{"working": {"working"}} })
	require.ErrorContains(t, err, "no record says in its column for working whether it works; name the column")
}
