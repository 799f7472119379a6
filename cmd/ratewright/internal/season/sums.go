package season

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"sync"
)

// Program is the SHA-256 of the executable that runs.
func Program() (string, error) {
	path, err := os.Executable()
	if err != nil {
		return "", fmt.Errorf("cannot find the program's own file: %w", err)
	}
	s, err := sumFile(path)
	if err != nil {
		return "", fmt.Errorf("cannot read the program's own file: %w", err)
	}
	return s, nil
}

func sumFile(path string) (string, error) {
	f, err := os.Open(path)
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

// sums knows the SHA-256 of inputs. Each is taken once, before anything is read
// from the file: if the file changes later in the run, the stamps hold the sum of
// what it was before, and the next run sees the change.
type sums struct {
	mu    sync.Mutex
	files map[string]*fileSum
}

type fileSum struct {
	once sync.Once
	sum  string
	err  error
}

func newSums() *sums { return &sums{files: map[string]*fileSum{}} }

func (s *sums) of(path string) (string, error) {
	s.mu.Lock()
	f := s.files[path]
	if f == nil {
		f = &fileSum{}
		s.files[path] = f
	}
	s.mu.Unlock()
	f.once.Do(func() { f.sum, f.err = sumFile(path) })
	return f.sum, f.err
}
