package outputs

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
)

// What the operating system refuses has nothing to do with what was to be written:
// its errors name the folder and what helps there, and no input of the job.

// cannot words an error of the operating system about the folder of the outputs.
func cannot(dir, what string, err error) error {
	help := remedy(err)
	if file := inTheWay(dir); file != "" {
		help = "move the file " + file + " away, for a folder belongs there"
	}
	return fmt.Errorf("%s: cannot %s: %w; %s, or choose another folder with -o", dir, what, plain(err), help)
}

// inTheWay is the file that stands where a folder of dir's path belongs; empty for none.
func inTheWay(dir string) string {
	for {
		if info, err := os.Stat(dir); err == nil {
			if info.IsDir() {
				return ""
			}
			return dir
		}
		up := filepath.Dir(dir)
		if up == dir {
			return ""
		}
		dir = up
	}
}

// unstaged words the error of a set that could not be staged.
func unstaged(dir string, err error) error {
	if ofSystem(dir, err) {
		return fmt.Errorf("%w; the earlier files are untouched", cannot(dir, "write the outputs there", err))
	}
	return fmt.Errorf("cannot write the outputs: %w; the earlier files are untouched", err)
}

// waiting words the error of a decided set that cannot go on.
func waiting(target string, err error) error {
	if heldByOther(err) {
		return fmt.Errorf("%s: another program holds this file open (or it is read-only); close that program and run the command again, which finishes the set first (%w)", target, err)
	}
	return fmt.Errorf("%s: cannot replace or remove this file: %w; %s and run the command again, which finishes the set first", target, plain(err), remedy(err))
}

// ofSystem tells whether an error is that of an operation on something in dir.
func ofSystem(dir string, err error) bool {
	var file *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &file):
		return within(dir, file.Path)
	case errors.As(err, &link):
		return within(dir, link.Old)
	}
	return false
}

func within(dir, path string) bool {
	rel, err := filepath.Rel(dir, path)
	return err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator))
}

// plain leaves out the name of a staged file, which says nothing to anybody.
func plain(err error) error {
	var file *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &file):
		return file.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}

// remedy says what helps against an error of the operating system.
func remedy(err error) string {
	switch {
	case diskFull(err):
		return "make room there"
	case readOnly(err):
		return "make the disk writable"
	case errors.Is(err, fs.ErrPermission):
		return "see to it that you may write there"
	case errors.Is(err, syscall.EIO):
		return "check the disk, or the connection to it"
	}
	return "put that right"
}

// watched remembers why its writer refused: who writes to it may word the error as
// one of what was to be written.
type watched struct {
	io.Writer
	err error
}

func (w *watched) Write(p []byte) (int, error) {
	n, err := w.Writer.Write(p)
	if w.err == nil {
		w.err = err
	}
	return n, err
}
