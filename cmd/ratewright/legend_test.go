package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestEveryColourOfTheMapHasAKey: ground in no zone is drawn in a colour of its own, which
// the key names.
func TestEveryColourOfTheMapHasAKey(t *testing.T) {
	for command, job := range map[string]string{"prescribe": "trial", "rates": "trial", "loss": "loss"} {
		out := t.TempDir()
		var errs bytes.Buffer
		require.Equal(t, exitDone, run(t.Context(), []string{command, filepath.Join("..", "..", "testdata", job, "job.yaml"), "-o", out}, nil, io.Discard, &errs), errs.String())
		name := map[string]string{"prescribe": "prescription"}[command]
		if name == "" {
			name = command
		}
		text, err := os.ReadFile(filepath.Join(out, name+".html"))
		require.NoError(t, err)
		require.Contains(t, string(text), ">No rate<", command)
	}
}
