package job

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestAJobWrittenOnWindowsIsReadElsewhere: \ parts folders there.
func TestAJobWrittenOnWindowsIsReadElsewhere(t *testing.T) {
	dir := t.TempDir()
	for _, sub := range []string{"zones", "logs"} {
		require.NoError(t, os.Mkdir(filepath.Join(dir, sub), 0o700))
		require.NoError(t, os.WriteFile(filepath.Join(dir, sub, "a.geojson"), nil, 0o600))
	}
	d := decoder{folder: dir}
	require.Equal(t, filepath.Join(dir, "zones", "a.geojson"), d.path(`zones\a.geojson`))
	require.Equal(t, filepath.Join(dir, "zones", "a.geojson"), d.path(`.\zones\a.geojson`))
	require.Equal(t, filepath.Join(dir, "logs", "a.geojson"), d.path(`zones\..\logs/a.geojson`))
	require.Equal(t, filepath.Join(dir, filepath.FromSlash(`zones\b.geojson`)), d.path(`zones\b.geojson`), "as it is written, for the error")
	if filepath.Separator == '/' {
		odd := filepath.Join(dir, `zones\a.geojson`)
		require.NoError(t, os.WriteFile(odd, nil, 0o600))
		require.Equal(t, odd, d.path(`zones\a.geojson`), "a file of that very name is meant")
	}
}
