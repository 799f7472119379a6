package asapplied

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestPaddedBitsKeepTheirStates(t *testing.T) {
	b := Bits{N: 3, Words: []uint64{0b101, 0b010}}
	for _, n := range []int{5, 70, 130} {
		p := b.padded(n)
		require.Equal(t, n, p.N)
		require.Equal(t, 2, p.Len())
		for i := range 2 {
			for k := range n {
				require.Equal(t, k < 3 && b.On(i, k), p.On(i, k), "%d of %d", k, n)
			}
		}
	}
}
