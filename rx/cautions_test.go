package rx

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestCautions(t *testing.T) {
	a := sidedress(t)
	plain := Cautions(wholeField(t), a)
	require.NotContains(t, strings.Join(plain, "\n"), "ammonia")
	require.Contains(t, strings.Join(plain, "\n"), "this field has none")

	a.Source = source(t, "anhydrous-ammonia")
	all := strings.Join(Cautions(busyField(t), a), "\n")
	for _, word := range []string{"Anhydrous ammonia", "licensed", "label", "local code", "state", "85 %", "15 minutes", "Setbacks and cut-outs"} {
		require.Contains(t, all, word)
	}
}

func TestShallowLimit(t *testing.T) {
	a := sidedress(t)
	_, _, ok := a.ShallowLimit()
	require.False(t, ok)
	a.Source = source(t, "anhydrous-ammonia")
	limit, note, ok := a.ShallowLimit()
	require.True(t, ok)
	require.InDelta(t, 0.127, limit.Metres(), 1e-12)
	require.Contains(t, note, "5 in, common practice")
	three := limit * 0.6
	a.Shallow = &three
	limit, note, ok = a.ShallowLimit()
	require.True(t, ok)
	require.InDelta(t, 0.0762, limit.Metres(), 1e-12)
	require.Empty(t, note)
}
