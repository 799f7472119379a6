package budget

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/rx/internal/cited"
)

func TestConstantsAreCited(t *testing.T) {
	n, faults, err := cited.Constants(".")
	require.NoError(t, err)
	require.Empty(t, faults)
	require.GreaterOrEqual(t, n, 35)
}
