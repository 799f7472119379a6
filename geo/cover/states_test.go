package cover

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Two states may come to the same sum. They remain two, and the first is found again.
func TestStatesOfTheSameSumRemainTwo(t *testing.T) {
	o := overlay{s: &sweeper{}}
	o.begin()
	find := func(w winding) int32 {
		first := len(o.windings)
		o.windings = append(o.windings, w)
		return o.find(first, 7)
	}
	a := find(winding{owner: 1, w: 1})
	b := find(winding{owner: 2, w: 1})
	require.NotEqual(t, a, b)
	require.Equal(t, a, find(winding{owner: 1, w: 1}))
}
