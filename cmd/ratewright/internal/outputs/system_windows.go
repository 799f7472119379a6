package outputs

import (
	"errors"
	"os"
	"syscall"
)

// Windows names of winerror.h and winbase.h that package syscall lacks.
const (
	errorWriteProtect     = syscall.Errno(19)
	errorSharingViolation = syscall.Errno(32)
	errorLockViolation    = syscall.Errno(33)
	errorHandleDiskFull   = syscall.Errno(39)
	errorDiskFull         = syscall.Errno(112)
	errorQuotaExceeded    = syscall.Errno(1295)
	fileFlagDeleteOnClose = 0x04000000
	deleteAccess          = 0x00010000
)

// syncDir: Windows has no such call; it keeps folder entries in its own journal.
func syncDir(string) error { return nil }

// heldByOther tells a file that another program has open from one that is not
// ours to write. Replacing an open file is reported as access denied.
func heldByOther(err error) bool {
	return errors.Is(err, errorSharingViolation) || errors.Is(err, errorLockViolation) ||
		errors.Is(err, syscall.ERROR_ACCESS_DENIED)
}

func diskFull(err error) bool {
	return errors.Is(err, errorDiskFull) || errors.Is(err, errorHandleDiskFull) || errors.Is(err, errorQuotaExceeded)
}

func readOnly(err error) bool { return errors.Is(err, errorWriteProtect) }

// tryLock opens the lock file so that nobody else can. held is true where
// another process has it. Windows removes the file when its handle goes, which
// it does with the process.
func tryLock(path string) (release func() error, held bool, err error) {
	name, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return nil, false, err
	}
	h, err := syscall.CreateFile(name, syscall.GENERIC_WRITE|deleteAccess, 0, nil,
		syscall.OPEN_ALWAYS, syscall.FILE_ATTRIBUTE_NORMAL|fileFlagDeleteOnClose, 0)
	switch {
	case errors.Is(err, errorSharingViolation), errors.Is(err, syscall.ERROR_ACCESS_DENIED) && exists(path):
		return nil, true, nil
	case err != nil:
		return nil, false, &os.PathError{Op: "lock", Path: path, Err: err}
	}
	return func() error { return syscall.CloseHandle(h) }, false, nil
}

// exists: a lock file that is just being removed denies access for a moment.
func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}
