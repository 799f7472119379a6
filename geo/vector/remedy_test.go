package vector

import (
	"errors"
	"io/fs"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is to be done follows from what the operating system says.
func TestAFileThatIsNotGivenHasARemedy(t *testing.T) {
	for reason, want := range map[error]string{
		syscall.EACCES:     "may read it",
		fs.ErrPermission:   "may read it",
		syscall.EISDIR:     "name a file in it",
		syscall.EMFILE:     "more files open",
		syscall.ENFILE:     "more files open",
		syscall.EIO:        "check the disk",
		fs.ErrNotExist:     "check its name",
		errors.New("else"): "check its name",
	} {
		require.Contains(t, Remedy(&fs.PathError{Op: "open", Path: "log.csv", Err: reason}, "check its name"), want)
	}
}
