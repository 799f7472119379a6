package asapplied

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestAUnitOtherThanTheColumnsIsTold: the job has the last word, and may be the one
// that is wrong.
func TestAUnitOtherThanTheColumnsIsTold(t *testing.T) {
	const rows = "time,lon,lat,rate (lb N/ac),depth_m,speed_mph\n2026-06-05T13:00:00Z,-93.1,41.8,150,0.1,5\n2026-06-05T13:00:01Z,-93.1,41.80001,150,0.1,5\n"
	file := written(t, "log.csv", rows)
	for _, c := range []struct {
		units map[string]string
		says  string
	}{
		{nil, ""},
		{map[string]string{RoleRate: "lb/ac", RoleDepth: "m", RoleSpeed: "mph"}, ""},
		{map[string]string{RoleRate: "kg/ha"}, `column "rate (lb N/ac)" (role rate) has lb/ac in its name, and the job kg/ha, which is taken: see that it is right`},
		{map[string]string{RoleDepth: "in"}, `column "depth_m" (role depth) has m in its name, and the job in, which is taken`},
		{map[string]string{RoleSpeed: "m/s"}, `column "speed_mph" (role speed) has mph in its name`},
	} {
		log, err := ReadLog(LogSpec{Files: []string{file}, Units: c.units})
		require.NoError(t, err)
		notes := strings.Join(log.Notes, "\n")
		if c.says == "" {
			require.NotContains(t, notes, "in its name")
			continue
		}
		require.Contains(t, notes, c.says)
	}
}
