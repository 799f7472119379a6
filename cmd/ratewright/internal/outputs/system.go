package outputs

import (
	"io/fs"
	"os"
	"time"
)

// system is the part of the operating system that a set needs. The tests put
// their own in its place, to end the process between any two steps.
type system interface {
	MkdirAll(dir string) error
	// WriteSynced makes or truncates the file, writes it and flushes it to disk.
	WriteSynced(file string, data []byte) error
	// Rename replaces what is at newPath in one step.
	Rename(oldPath, newPath string) error
	Remove(name string) error
	// SyncDir flushes the folder's entries, where the system can.
	SyncDir(dir string) error
	ReadFile(file string) ([]byte, error)
	ReadDir(dir string) ([]fs.DirEntry, error)
	Stat(name string) (fs.FileInfo, error)
}

type osSystem struct{}

func (osSystem) MkdirAll(dir string) error                 { return os.MkdirAll(dir, 0o777) }
func (osSystem) Remove(name string) error                  { return os.Remove(name) }
func (osSystem) ReadFile(file string) ([]byte, error)      { return os.ReadFile(file) }
func (osSystem) ReadDir(dir string) ([]fs.DirEntry, error) { return os.ReadDir(dir) }
func (osSystem) Stat(name string) (fs.FileInfo, error)     { return os.Stat(name) }
func (osSystem) SyncDir(dir string) error                  { return syncDir(dir) }

func (osSystem) WriteSynced(file string, data []byte) error {
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	return err
}

// Rename tries for about a second where another program holds the file: a virus
// scanner or an indexer lets go by itself, a spreadsheet does not.
func (osSystem) Rename(oldPath, newPath string) error {
	var err error
	for wait := 10 * time.Millisecond; wait < time.Second; wait *= 2 {
		if err = os.Rename(oldPath, newPath); err == nil || !heldByOther(err) {
			return err
		}
		time.Sleep(wait)
	}
	return err
}
