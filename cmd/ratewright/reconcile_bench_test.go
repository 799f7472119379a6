package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/asapplied/fieldlog"
)

// BenchmarkReconcileCommand times the whole command, from files to files.
func BenchmarkReconcileCommand(b *testing.B) {
	defer debug.SetGCPercent(debug.SetGCPercent(gcPercent))
	for _, c := range []struct {
		name   string
		spec   fieldlog.Spec
		folder fieldlog.Folder
		job    string
	}{
		{"coverage", fieldlog.Spec{CoverageOnly: true}, fieldlog.Folder{}, fieldlog.SumsJob},
		{"coverage/patches", fieldlog.Spec{CoverageOnly: true}, fieldlog.Folder{}, fieldlog.PatchesJob},
		{"varying", fieldlog.Spec{Vary: true}, fieldlog.Folder{}, fieldlog.SumsJob},
		{"varying/patches", fieldlog.Spec{Vary: true}, fieldlog.Folder{}, fieldlog.PatchesJob},
		{"files=1000", fieldlog.Spec{CoverageOnly: true}, fieldlog.Folder{Files: 1000}, fieldlog.SumsJob},
		{"zones=10000", fieldlog.Spec{CoverageOnly: true}, fieldlog.Folder{Zones: 100}, fieldlog.SumsJob},
		{"corners=100000", fieldlog.Spec{CoverageOnly: true}, fieldlog.Folder{Vertices: 100_000}, fieldlog.SumsJob},
	} {
		c.spec.Records = 66_000
		b.Run(fmt.Sprintf("%s-%d", c.name, c.spec.Records), func(b *testing.B) {
			dir := b.TempDir()
			w, err := fieldlog.Make(c.spec)
			require.NoError(b, err)
			require.NoError(b, w.WriteFolder(dir, c.folder))
			out := filepath.Join(dir, "out")
			for b.Loop() {
				var stderr bytes.Buffer
				args := []string{"reconcile", filepath.Join(dir, c.job), "-o", out}
				require.Equal(b, exitDone, run(context.Background(), args, os.Stdin, io.Discard, &stderr), stderr.String())
			}
			b.ReportMetric(float64(len(w.Records))*float64(b.N)/b.Elapsed().Seconds(), "records/s")
		})
	}
}
