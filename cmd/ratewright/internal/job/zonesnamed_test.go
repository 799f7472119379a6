package job

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestOneZoneIsNamedAsOne(t *testing.T) {
	require.Equal(t, "zone C", zonesNamed([]string{"C"}))
	require.Equal(t, "zones A, C", zonesNamed([]string{"A", "C"}))
}
