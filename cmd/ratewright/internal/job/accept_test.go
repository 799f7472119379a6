package job

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A job that accepts nothing accepts the rounding of overlay all the same, and
// no more than that.
func TestAcceptingNothingAcceptsRounding(t *testing.T) {
	_, j := made(t, "reconcile:\n", "accept: {not_planned: 0 %, lapped: 0 %, outside: 0 %}\nreconcile:\n")
	r, err := j.Reconcile("")
	require.NoError(t, err)
	sums := r.Reconciliation
	field := sums.Area.Field
	for _, c := range []struct {
		share  float64
		beyond int
	}{{0, 0}, {1e-16, 0}, {0.9e-9, 0}, {1.1e-9, 3}, {0.01, 3}} {
		sums.Area.NotPlanned, sums.Area.Lapped, sums.Area.Outside = c.share*field, c.share*field, c.share*field
		over, unknown := j.beyond(sums)
		assert.Len(t, over, c.beyond, "%g of the field", c.share)
		assert.Empty(t, unknown)
	}
}
