package demo

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTheFieldIsAboutSixtyHectares(t *testing.T) {
	hectares := planar.Area(boundary) / 1e4
	assert.InDelta(t, 60, hectares, 1)
	cut := planar.Area(waterway) / 1e4
	assert.Greater(t, cut, 0.5)
	assert.Less(t, cut, 1.5)
}

func TestTheZonesCoverTheFieldOnce(t *testing.T) {
	seen := map[string]int{}
	for x := 0.5; x < 800; x += 7 {
		for y := 0.5; y < 790; y += 7 {
			p := orb.Point{x, y}
			if !planar.RingContains(boundary, p) {
				continue
			}
			hits := 0
			for _, z := range zones {
				if planar.RingContains(z.ring, p) {
					hits++
					seen[z.id]++
				}
			}
			require.Equal(t, 1, hits, "at %v", p)
		}
	}
	require.Len(t, seen, 4)
	for id, n := range seen {
		assert.Greater(t, n, 1000, "zone %s is too small to be seen", id)
	}
}

func TestTheSameBytesEveryTime(t *testing.T) {
	a, err := Files()
	require.NoError(t, err)
	b, err := Files()
	require.NoError(t, err)
	for name := range a {
		assert.True(t, bytes.Equal(a[name], b[name]), name)
	}
	assert.Len(t, a, 11)
}

func TestTheLogIsOneRowASecond(t *testing.T) {
	files, err := Files()
	require.NoError(t, err)
	rows, err := csv.NewReader(bytes.NewReader(files["log.csv"])).ReadAll()
	require.NoError(t, err)
	assert.Greater(t, len(rows), 10000)
	for _, row := range rows[1:] {
		require.Len(t, row[6], sections)
		if row[5] == "0" {
			continue
		}
		require.NotEqual(t, "0.0", row[7])
	}
	assert.True(t, strings.HasPrefix(rows[1][0], "2026-06-05T13:00:00Z"))
}

// Every fault of the list is in the plan: taking them out changes the log.
func TestEveryFaultChangesTheLog(t *testing.T) {
	with := drive(passes())
	for number, fault := range map[int]string{7: "drift", 13: "again", 17: "shallow", 20: "late", 27: "lifted", 33: "left on", 36: "slow", 40: "stuck"} {
		plan := passes()
		i := number - 1 + 4 // two passes along each headland come first
		p := plan[i]
		plan[i] = pass{a: p.a, b: p.b, ground: p.ground}
		assert.NotEqual(t, with, drive(plan), "pass %d: %s", number, fault)
	}
	assert.GreaterOrEqual(t, len(Faults()), 7)
}
