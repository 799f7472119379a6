package asapplied

import (
	"strings"
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
	require.Contains(t, log.Notes[0], "1 out of range, first at line 3")
	require.Contains(t, log.Notes[1], "1 out of range, first at line 4")
}

// Each reason has the line of its first value, and a flow has an end, too.
func TestEachReasonNamesItsOwnLine(t *testing.T) {
	log, err := readText(t, `time,lon,lat,working,rate_kg_ha,flow_kg_s
2026-06-05T13:00:00Z,-93.1,41.9,1,180,3
2026-06-05T13:00:01Z,-93.1,41.9,1,none,3
2026-06-05T13:00:02Z,-93.1,41.9,1,180,1e308
2026-06-05T13:00:03Z,-93.1,41.9,1,1e308,-1
2026-06-05T13:00:04Z,-93.1,41.9,1,1e308,3
`+strings.Repeat("2026-06-05T13:00:05Z,-93.1,41.9,1,180,3\n", 60))
	require.NoError(t, err)
	require.Len(t, log.Notes, 2)
	require.Contains(t, log.Notes[0], "3 values could not be used (1 not readable, first at line 3; 2 out of range, first at line 5) and count as none")
	require.Contains(t, log.Notes[1], "2 values could not be used (2 out of range, first at line 4) and count as none")
}

func TestColumnThatNeverSaysWhetherItWorksIsRefused(t *testing.T) {
	_, err := readText(t, `time,lon,lat,working
2026-06-05T13:00:00Z,-93.1,41.9,parked
2026-06-05T13:00:01Z,-93.1,41.9,parked
`, func(s *LogSpec) { s.Columns = map[string][]string{"working": {"working"}} })
	require.ErrorContains(t, err, "no record says in its column for working whether it works; name the column")
}
