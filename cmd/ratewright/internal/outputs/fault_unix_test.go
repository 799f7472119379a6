//go:build unix

package outputs

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestAFullDiskIsToldWithWhatHelps(t *testing.T) {
	for err, want := range map[error]string{
		syscall.ENOSPC: "no space left on device; make room there, or choose another folder with -o",
		syscall.EDQUOT: "disk quota exceeded; make room there, or choose another folder with -o",
		syscall.EROFS:  "read-only file system; make the disk writable, or choose another folder with -o",
	} {
		dir := t.TempDir()
		_, got := write(refusing{err: err}, dir, blamed(), nil)
		require.EqualError(t, got, dir+": cannot write the outputs there: "+want+"; the earlier files are untouched")
	}
	require.ErrorContains(t, waiting("out/a", &os.LinkError{Op: "rename", Old: "a", New: "b", Err: syscall.ENOSPC}),
		"out/a: cannot replace or remove this file: no space left on device; make room there and run the command again")
}

// The real thing, where the system has a device that is always full.
func TestTheDiskIsBlamedThroughTheRealSystem(t *testing.T) {
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("no /dev/full here")
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "0000")
	require.NoError(t, os.Symlink("/dev/full", file))
	_, err := osSystem{}.WriteStreamed(file, blamed().Files[0].Write)
	require.ErrorIs(t, err, syscall.ENOSPC)
	require.True(t, ofSystem(dir, err))
	require.NotContains(t, err.Error(), "log.csv")
}
