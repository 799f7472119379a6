package season

import (
	"fmt"
	"os"
	"sync"

	"ratewright/cmd/ratewright/internal/outputs"
)

// Program is the SHA-256 of the executable that runs.
func Program() (string, error) {
	path, err := os.Executable()
	if err != nil {
		return "", fmt.Errorf("cannot find the program's own file: %w", err)
	}
	s, err := outputs.SumFile(path)
	if err != nil {
		return "", fmt.Errorf("cannot read the program's own file: %w", err)
	}
	return s, nil
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
	f.once.Do(func() {
		if f.err = refusePipe(path, "file"); f.err == nil {
			f.sum, f.err = outputs.SumFile(path)
		}
	})
	return f.sum, f.err
}
