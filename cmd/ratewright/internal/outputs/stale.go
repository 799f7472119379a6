package outputs

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// listing is the part of a summary that says which files belong to it.
type listing struct {
	Schema string            `json:"schema"`
	Files  map[string]string `json:"files"` // name -> SHA-256
}

// readListing returns the files that a summary in dir lists; none where it is
// not there or is no summary of ours.
func readListing(sys system, dir, name string) (map[string]string, error) {
	data, err := sys.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var l listing
	if json.Unmarshal(data, &l) != nil || !strings.HasPrefix(l.Schema, "ratewright/") {
		return nil, nil
	}
	return l.Files, nil
}

// stale lists the files that a new set leaves without an owner: those that the
// summaries it replaces list and it does not write. Only a file with the SHA-256
// that the old summary states goes, and none that is an input or that another
// summary in the folder lists too.
func stale(sys system, dir string, set Set, inputs []string) ([]move, error) {
	fresh := set.Names()
	sums := map[string]string{}
	for _, name := range fresh {
		if path.Ext(name) != ".json" {
			continue
		}
		old, err := readListing(sys, dir, name)
		if err != nil {
			return nil, err
		}
		for file, sum := range old {
			if checkName(file) == nil && !slices.Contains(fresh, file) {
				sums[file] = sum
			}
		}
	}
	if len(sums) == 0 {
		return nil, nil
	}
	if err := keepOthers(sys, dir, fresh, sums); err != nil {
		return nil, err
	}
	var gone []move
	for file, sum := range sums {
		if unchanged(sys, dir, file, sum) && !kept(sys, dir, file, fresh, inputs) {
			gone = append(gone, move{Name: file, SHA256: sum})
		}
	}
	slices.SortFunc(gone, func(a, b move) int { return strings.Compare(a.Name, b.Name) })
	return gone, nil
}

// keepOthers takes out of sums what a summary lists that the set does not
// replace: that of another application.
func keepOthers(sys system, dir string, fresh []string, sums map[string]string) error {
	entries, err := sys.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.IsDir() || path.Ext(e.Name()) != ".json" || slices.Contains(fresh, e.Name()) {
			continue
		}
		others, err := readListing(sys, dir, e.Name())
		if err != nil {
			return err
		}
		for file := range others {
			delete(sums, file)
		}
	}
	return nil
}

// unchanged tells whether a file is there as its summary says.
func unchanged(sys system, dir, name, want string) bool {
	file := filepath.Join(dir, filepath.FromSlash(name))
	info, err := sys.Stat(file)
	if err != nil || !info.Mode().IsRegular() {
		return false
	}
	got, err := sys.Sum(file)
	return err == nil && got == want
}

// kept tells whether a file is an input, or is under another spelling one that
// the set writes, on a file system that ignores case.
func kept(sys system, dir, name string, fresh, inputs []string) bool {
	info, err := sys.Stat(filepath.Join(dir, filepath.FromSlash(name)))
	if err != nil {
		return true
	}
	same := func(file string) bool {
		other, err := sys.Stat(file)
		return err == nil && os.SameFile(info, other)
	}
	return slices.ContainsFunc(inputs, same) || slices.ContainsFunc(fresh, func(other string) bool {
		return strings.EqualFold(other, name) && same(filepath.Join(dir, filepath.FromSlash(other)))
	})
}
