package page

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestLook writes the sample to the folder that PAGE_LOOK names, to be looked at.
func TestLook(t *testing.T) {
	dir := os.Getenv("PAGE_LOOK")
	if dir == "" {
		t.Skip("PAGE_LOOK names no folder to write pictures to")
	}
	s := sample(20_000)
	html, err := s.HTML()
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "sample.html"), html, 0o644))
	sc := picture(s)
	svg := bytes.Replace(sc.svg("sample"), []byte("<svg "), []byte(`<svg xmlns="http://www.w3.org/2000/svg" `), 1)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "sample.svg"), svg, 0o644))
	var b bytes.Buffer
	require.NoError(t, s.PNG(&b))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "sample.png"), b.Bytes(), 0o644))
}
