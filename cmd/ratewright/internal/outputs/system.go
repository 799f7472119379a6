package outputs

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"io"
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
	// WriteStreamed does the same with what write writes, and returns its SHA-256.
	WriteStreamed(file string, write func(io.Writer) error) (string, error)
	// Rename replaces what is at newPath in one step.
	Rename(oldPath, newPath string) error
	Remove(name string) error
	// SyncDir flushes the folder's entries, where the system can.
	SyncDir(dir string) error
	ReadFile(file string) ([]byte, error)
	// Sum is the SHA-256 of a file, which may be large, in lower-case hex.
	Sum(file string) (string, error)
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

func (osSystem) Sum(file string) (string, error) { return SumFile(file) }

// SumFile is the SHA-256 of a file in hex.
func SumFile(file string) (string, error) {
	f, err := os.Open(file)
	if err != nil {
		return "", err
	}
	defer f.Close() // nothing was written, so that closing cannot lose anything
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

func (s osSystem) WriteSynced(file string, data []byte) error {
	_, err := s.WriteStreamed(file, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
	return err
}

func (osSystem) WriteStreamed(file string, write func(io.Writer) error) (string, error) {
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o666)
	if err != nil {
		return "", err
	}
	h := sha256.New()
	disk := &watched{Writer: f}
	b := bufio.NewWriterSize(io.MultiWriter(disk, h), 1<<16)
	err = write(b)
	if err == nil {
		err = b.Flush()
	}
	if disk.err != nil {
		err = disk.err
	}
	if err == nil {
		err = f.Sync()
	}
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	return hex.EncodeToString(h.Sum(nil)), err
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
