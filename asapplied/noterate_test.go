package asapplied

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/rx"
)

// TestARateInAWrongUnitIsAskedAbout: a log of lb/ac read as kg/ha, or of product read
// as nitrogen, is no machine that is off.
func TestARateInAWrongUnitIsAskedAbout(t *testing.T) {
	for _, c := range []struct {
		rate float64 // kg/ha, where 100 is prescribed
		says string
	}{
		{100, ""},
		{95, ""},
		{115, ""},
		{100 / 1.12085, "By the log the covered ground has 89.2 % of the nitrogen prescribed there, which is as lb/ac are to kg/ha"},
		{112.085, "has 112 % of the nitrogen prescribed there, which is as lb/ac are to kg/ha"},
		{100 / 0.28, "has 357 % of the nitrogen prescribed there, which is more than machines are off: see that the log's unit and the machine's width are right, and whether the log counts nitrogen or product"},
		{32, "has 32 % of the nitrogen"},
	} {
		p := newPilot(t, 12, 4, 0, -40, 0)
		p.rate = c.rate
		p.record()
		p.straight(40)
		in := Input{
			Field: boxField(t, p.plane, 60, 60), Drives: []Drive{p.drive("m")}, Tolerance: 0.1,
			Plan: []rx.RateZone{{ZoneID: "A", Region: region(t, p.plane, -60, -60, 60, 60), NRate: unit.KgNPerHa(100)}},
		}
		notes := strings.Join(mustReconcile(t, in).Notes, "\n")
		if c.says == "" {
			require.NotContains(t, notes, "By the log", "%v kg/ha", c.rate)
			continue
		}
		require.Contains(t, notes, c.says, "%v kg/ha", c.rate)
	}
}
