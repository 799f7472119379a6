//go:build unix

package outputs

import (
	"errors"
	"os"
	"syscall"
)

func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	err = d.Sync()
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, syscall.ENOTSUP) {
		err = nil // some network file systems cannot flush a folder
	}
	if closeErr := d.Close(); err == nil {
		err = closeErr
	}
	return err
}

// heldByOther: here an open file can always be replaced.
func heldByOther(error) bool { return false }

func diskFull(err error) bool {
	return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT)
}

func readOnly(err error) bool { return errors.Is(err, syscall.EROFS) }

// tryLock takes the lock file for this process. held is true where another
// process has it. The kernel drops the lock when the process ends.
func tryLock(path string) (release func() error, held bool, err error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o666)
	if err != nil {
		return nil, false, err
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		_ = f.Close()
		if errors.Is(err, syscall.EWOULDBLOCK) {
			return nil, true, nil
		}
		return nil, false, &os.PathError{Op: "lock", Path: path, Err: err}
	}
	// The holder before us may have removed the file after we opened it: then
	// our lock guards nothing, and somebody else may hold the new file.
	if !sameFile(f, path) {
		_ = f.Close()
		return nil, true, nil
	}
	return func() error {
		err := os.Remove(path)
		if closeErr := f.Close(); err == nil {
			err = closeErr
		}
		return err
	}, false, nil
}

func sameFile(f *os.File, path string) bool {
	a, err := f.Stat()
	if err != nil {
		return false
	}
	b, err := os.Stat(path)
	return err == nil && os.SameFile(a, b)
}
