package season

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFilesPassedOverAreCountedInWords(t *testing.T) {
	note := func(files ...string) []string { return newSeason(Options{}, List{NoJobs: files}, nil).Notes }
	require.Empty(t, note())
	require.Equal(t, []string{"1 YAML file was passed over: it has no `field:` and is no job (a.yaml)"}, note("a.yaml"))
	require.Equal(t, []string{"2 YAML files were passed over: they have no `field:` and are no jobs (a.yaml, b.yaml)"}, note("a.yaml", "b.yaml"))
	require.Equal(t, []string{"6 YAML files were passed over: they have no `field:` and are no jobs (a, b, c, d, e, ...)"}, note("a", "b", "c", "d", "e", "f"))
}
