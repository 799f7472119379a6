package job

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/rx/plan"
)

// Letters of strategies are no names of zones.
func TestStrategyLetters(t *testing.T) {
	in := plan.Input{Strategies: make([]plan.Strategy, 3), Zones: []plan.Zone{{ID: "1"}, {ID: "north"}}}
	require.Equal(t, []string{"A", "B", "C"}, strategyLetters(&in))
	in.Zones = []plan.Zone{{ID: " b "}}
	require.Equal(t, []string{"I", "II", "III"}, strategyLetters(&in))
	in.Zones = []plan.Zone{{ID: "B"}, {ID: "ii"}}
	require.Equal(t, []string{"S1", "S2", "S3"}, strategyLetters(&in))
	in.Zones, in.Strategies = []plan.Zone{{ID: "D"}}, make([]plan.Strategy, 30)
	require.Equal(t, "S30", strategyLetters(&in)[29])
}
