package season

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Found is one job file.
type Found struct {
	Path string // as it is opened
	Rel  string // from the root, with slashes
}

// List is what was found, in the order of Rel.
type List struct {
	Root   string // the folder that holds everything, absolute
	Jobs   []Found
	NoJobs []string // YAML files without a field, from the root
	Notes  []string // what the walk passed over besides
}

// Find looks for jobs. A folder is walked for *.yaml files that are jobs; hidden
// names are passed over. Links to folders are followed when all else has been
// walked, each folder once. A file that is named is a job whatever it holds, so that
// what is wrong with it is told. A job that is reached by two names is one job,
// and the order of the names does not matter.
//
// A name that is not there fails as a job where others are; where none is, a slip of
// the hand must not make a table of nothing over that of a season.
func Find(names []string) (List, error) {
	if !slices.ContainsFunc(names, isThere) {
		return List{}, fmt.Errorf("%s: there is no such file or folder; check the name", strings.Join(names, ", "))
	}
	root, err := commonFolder(names)
	if err != nil {
		return List{}, err
	}
	f := finder{list: List{Root: root}, seen: map[string]bool{}, walked: map[string]bool{}}
	for _, name := range names {
		if isFolder(name) {
			err = f.walk(name, withLinksFollowed(name))
		} else {
			err = f.add(name)
		}
		if err != nil {
			return List{}, err
		}
	}
	if err := f.follow(); err != nil {
		return List{}, err
	}
	f.list.Jobs, f.noJobs = distinctFiles(root, f.list.Jobs), distinctFiles(root, f.noJobs)
	for _, found := range f.noJobs {
		f.list.NoJobs = append(f.list.NoJobs, found.Rel)
	}
	if len(f.list.Jobs) == 0 {
		return List{}, fmt.Errorf("no job file found in %s; a job is a YAML file (*.yaml) with `field:` at its top level", strings.Join(names, ", "))
	}
	slices.SortFunc(f.list.Jobs, func(a, b Found) int { return cmp.Compare(a.Rel, b.Rel) })
	slices.Sort(f.list.NoJobs)
	f.list.Notes = f.odd.notes()
	return f.list, nil
}

func isThere(name string) bool {
	_, err := os.Stat(name)
	return !errors.Is(err, fs.ErrNotExist)
}

func isFolder(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.IsDir()
}

// commonFolder is the deepest folder that holds all the names: a folder itself,
// the folder of a file.
func commonFolder(names []string) (string, error) {
	var common []string
	for i, name := range names {
		abs, err := filepath.Abs(name)
		if err != nil {
			return "", err
		}
		if !isFolder(abs) {
			abs = filepath.Dir(abs)
		}
		parts := strings.Split(abs, string(filepath.Separator))
		if i == 0 {
			common = parts
			continue
		}
		n := 0
		for n < len(common) && n < len(parts) && common[n] == parts[n] {
			n++
		}
		common = common[:n]
	}
	if len(common) == 0 {
		return "", errors.New("the folders lie on different volumes; run the season of each by itself")
	}
	return filepath.Clean(strings.Join(common, string(filepath.Separator)) + string(filepath.Separator)), nil
}

func (f *finder) rel(file string) (string, error) {
	abs, err := filepath.Abs(file)
	if err != nil {
		return "", err
	}
	rel, err := filepath.Rel(f.list.Root, abs)
	return filepath.ToSlash(rel), err
}

func (f *finder) add(file string) error { return f.note(file, &f.list.Jobs) }

func (f *finder) note(file string, list *[]Found) error {
	rel, err := f.rel(file)
	if err == nil && !f.seen[rel] {
		f.seen[rel] = true
		*list = append(*list, Found{Path: filepath.Clean(file), Rel: rel})
	}
	return err
}
