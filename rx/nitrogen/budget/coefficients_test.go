package budget

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

func TestEveryCoefficientCanBeSet(t *testing.T) {
	names := Names()
	require.Greater(t, len(names), 40)
	require.Empty(t, Published().Changed())
	for _, n := range names {
		co := Published()
		require.NoError(t, co.Set(n.Name, n.Published+1))
		require.NotEqual(t, Published(), co, n.Name)
		require.Contains(t, co.Changed(), n.Name)
		require.Error(t, co.Set(n.Name, -1))
	}
	co := Published()
	require.ErrorContains(t, co.Set("iowa", 1), `no coefficient is called "iowa"`)

	require.NoError(t, co.Set("soybean_credit", 40))
	c, err := co.Soybean("", false, nil)
	require.NoError(t, err)
	require.InDelta(t, 40, c.N.LbNPerAcre(), 1e-9)
	require.NoError(t, co.Set("om_base", 0))
	b, err := co.YieldOrganicMatterNitrate(OrganicMatter{Yield: unit.BushelsPerAcre(200), Nitrate: 3, Percent: 2})
	require.NoError(t, err)
	require.InDelta(t, 160, b.Rate.LbNPerAcre(), 1e-9)
}
