package job

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// A file that was read ahead is what was read, for one who asks; the next reads it anew,
// for the first may have added to what it got.
func TestAFileReadAheadServesOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "zones.geojson")
	write := func(id string) {
		text := `{"type":"Feature","properties":{"ID":"` + id + `"},"geometry":{"type":"Point","coordinates":[-93.6,42]}}`
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	}
	read := func(o *opener, crs string) string {
		layer, err := o.layer(path, crs)
		require.NoError(t, err)
		id, ok := layer.Features[0].Get("ID")
		require.True(t, ok)
		return id.String()
	}
	write("first")
	var o opener
	o.readAhead(path, "")()
	write("second")
	require.Equal(t, "second", read(&o, "EPSG:4326"), "asked for in another coordinate system")
	require.Equal(t, "first", read(&o, ""))
	require.Equal(t, "second", read(&o, ""))

	o.readAhead(filepath.Join(t.TempDir(), "none.geojson"), "")()
	require.Equal(t, "second", read(&o, ""))
	_, err := o.layer(o.ahead.path, "")
	require.ErrorContains(t, err, "none.geojson")
}
