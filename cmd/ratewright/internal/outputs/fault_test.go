package outputs

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// blamed is a set whose writer words every error as one of its input.
func blamed() Set {
	return Set{
		Files: []File{{Name: "patches.geojson", Write: func(w io.Writer) error {
			if _, err := w.Write(make([]byte, 1<<20)); err != nil {
				return fmt.Errorf("log.csv: the patches found in it cannot be written: %s", err)
			}
			return nil
		}}},
		Summary: File{Name: "reconcile.json", Data: []byte("new")},
	}
}

// refusing is a system whose staged files refuse to be written with an error.
type refusing struct {
	osSystem
	err error
}

func (r refusing) WriteStreamed(file string, write func(io.Writer) error) (string, error) {
	disk := &watched{Writer: refuser{&fs.PathError{Op: "write", Path: file, Err: r.err}}}
	err := write(disk)
	if disk.err != nil {
		err = disk.err
	}
	return "", err
}

type refuser struct{ err error }

func (r refuser) Write([]byte) (int, error) { return 0, r.err }

func TestErrorsOfTheSystemNameTheFolder(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{syscall.EACCES, "permission denied; see to it that you may write there"},
		{syscall.EIO, "input/output error; check the disk, or the connection to it"},
		{errors.New("the tape is torn"), "the tape is torn; put that right"},
	} {
		dir := t.TempDir()
		overwrite(t, dir, oldSet())
		_, err := write(refusing{err: c.err}, dir, blamed(), nil)
		require.EqualError(t, err, dir+": cannot write the outputs there: "+c.want+", or choose another folder with -o; the earlier files are untouched")
		require.ErrorIs(t, err, c.err)
		require.Equal(t, content(oldSet()), tree(t, dir))
	}
}

// An error about anything else stays what it is.
func TestErrorsOfInputsStayTheirs(t *testing.T) {
	set := blamed()
	for _, its := range []error{
		errors.New("log.csv: a value is far too large"),
		&fs.PathError{Op: "open", Path: "log.csv", Err: fs.ErrPermission},
	} {
		set.Files[0].Write = func(io.Writer) error { return its }
		_, err := Write(t.TempDir(), set, nil)
		require.EqualError(t, err, "cannot write the outputs: "+its.Error()+"; the earlier files are untouched")
	}
}

func TestAFolderThatCannotBeMadeIsNamed(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	for _, dir := range []string{filepath.Join(file, "out", "deep"), filepath.Join(file, "out"), file} {
		_, err := Write(dir, oldSet(), nil)
		require.ErrorContains(t, err, dir+": cannot ")
		require.ErrorContains(t, err, "; move the file "+file+" away, for a folder belongs there, or choose another folder with -o")
	}
}
