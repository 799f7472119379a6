//go:build unix

package season

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// Reading a pipe that nobody writes to would never end.
func TestPipesAndDevicesAreNotRead(t *testing.T) {
	root := someFields(t, 1)
	pipe := filepath.Join(root, "f00", "p.yaml")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	link(t, "/dev/zero", filepath.Join(root, "f00", "z.yaml"))
	link(t, "p.yaml", filepath.Join(root, "f00", "q.yaml"))
	s := mustRun(t, options(root)).Season
	require.Equal(t, "done", states(s))
	require.Equal(t, []string{"3 *.yaml were passed over: they are pipes or devices, no files (f00/p.yaml, f00/q.yaml, f00/z.yaml)"}, s.Notes)

	s = mustRun(t, options(pipe, root)).Season
	require.Equal(t, "unchanged failed", states(s))
	require.Contains(t, s.Rows[1].Error, "p.yaml: is a pipe or a device, not a job file; name a file")
}

// A field whose log or boundary is a pipe fails; the others go on.
func TestInputsThatArePipesFail(t *testing.T) {
	root := someFields(t, 3)
	for _, file := range []string{filepath.Join(root, "f00", "log.csv"), filepath.Join(root, "f01", "boundary.geojson")} {
		require.NoError(t, os.Remove(file))
		require.NoError(t, syscall.Mkfifo(file, 0o600))
	}
	s := mustRun(t, options(root)).Season
	require.Equal(t, "failed failed done", states(s))
	require.Contains(t, s.Rows[0].Error, "log.csv: is a pipe or a device, not a file; name a file")
	require.Contains(t, s.Rows[1].Error, "boundary.geojson: is a pipe or a device, not a file; name a file")
}
