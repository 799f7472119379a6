package asapplied

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestALogOfTwoRecordsSaysHowLittleThatIs: one step, without a direction from before it.
func TestALogOfTwoRecordsSaysHowLittleThatIs(t *testing.T) {
	few := func(records int, headed bool) string {
		p := newPilot(t, 12, 4, 0, -20, 0)
		p.record()
		p.straight(float64(records - 1))
		d := p.drive("m")
		if !headed {
			d.Log.Heading = nil
		}
		return strings.Join(mustReconcile(t, Input{Field: boxField(t, p.plane, 60, 60), Drives: []Drive{d}, Tolerance: 0.1}).Notes, "\n")
	}
	require.Contains(t, few(2, true), "The log has only 2 records: every figure rests on the one step between them.")
	require.Contains(t, few(2, true), "the direction is the one it gives")
	require.Contains(t, few(2, false), "whether the machine turned or came backwards before it is not known")
	require.NotContains(t, few(3, true), "has only")
	in, _ := polygonLog(t, 2)
	require.NotContains(t, strings.Join(mustReconcile(t, in).Notes, "\n"), "has only", "a polygon has its own ground")
}
