package job

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestOneZoneIsNamedAsOne(t *testing.T) {
	require.Equal(t, "zone C", zonesNamed([]string{"C"}))
	require.Equal(t, "zones A, C", zonesNamed([]string{"A", "C"}))
}

func TestManyZonesAreNamedInShort(t *testing.T) {
	five := []string{"A", "B", "C", "D", "E"}
	require.Equal(t, "zones A, B, C, D, E", zonesInShort(five))
	require.Equal(t, "zones A, B, C, D and 2 more", zonesInShort(append(five, "F")))
}

func TestWarningsFillTheLinesOfPaper(t *testing.T) {
	short, long := "short", strings.Repeat("long ", 120) // 600 letters, 8 lines
	require.Equal(t, 0, warningsOnPaper(nil))
	require.Equal(t, paperWarnings, warningsOnPaper([]string{short, short, short, short, short, short, short}))
	require.Equal(t, 1, warningsOnPaper([]string{long, long}))
	require.Equal(t, 1, warningsOnPaper([]string{strings.Repeat(long, 9), short}), "the first goes there in any case")
	require.Equal(t, 3, warningsOnPaper([]string{long, short, short, long}))
}

func TestOneTimeIsNamedAsOne(t *testing.T) {
	require.Equal(t, "time", Times(1))
	require.Equal(t, "times", Times(0))
	require.Equal(t, "times", Times(2))
}
