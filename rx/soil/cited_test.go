package soil

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ratewright/rx/internal/cited"
)

func TestConstantsAreCited(t *testing.T) {
	n, faults, err := cited.Constants(".")
	require.NoError(t, err)
	assert.Empty(t, faults)
	assert.GreaterOrEqual(t, n, 8)
}
