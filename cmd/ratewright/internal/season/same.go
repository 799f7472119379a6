package season

import (
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// sameFile tells whether two paths lead to one file or folder.
func sameFile(a, b string) bool {
	infoA, errA := os.Stat(a)
	infoB, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(infoA, infoB)
}

// distinctFiles keeps one name of each file. Only names in one folder, by however
// many paths it is reached, are names of one job: inputs are looked for beside a
// job, so that a link to it in another folder is the job of another field.
func distinctFiles(root string, list []Found) []Found {
	type likeness struct{ size, changed int64 } // equal for equal files, and quick to look up
	type kept struct {
		info fs.FileInfo
		at   int
	}
	like := map[likeness][]kept{}
	var out []Found
next:
	for _, f := range list {
		info, err := os.Stat(f.Path)
		if err != nil {
			out = append(out, f) // it fails as a job, by name
			continue
		}
		key := likeness{info.Size(), info.ModTime().UnixNano()}
		for _, k := range like[key] {
			if !os.SameFile(k.info, info) || !sameFile(filepath.Dir(out[k.at].Path), filepath.Dir(f.Path)) {
				continue
			}
			if better(root, f, out[k.at]) {
				out[k.at] = f
			}
			continue next
		}
		like[key] = append(like[key], kept{info, len(out)})
		out = append(out, f)
	}
	return out
}

// better tells which name of a file to keep, in whatever order they are given:
// one that a walk finds, one without links, the first.
func better(root string, a, b Found) bool {
	if w := walked(path.Base(a.Rel)); w != walked(path.Base(b.Rel)) {
		return w
	}
	if r := withoutLinks(root, a); r != withoutLinks(root, b) {
		return r
	}
	return a.Rel < b.Rel
}

// withoutLinks tells whether no part of the name below the root is a link.
func withoutLinks(root string, f Found) bool {
	top, errTop := filepath.EvalSymlinks(root)
	file, err := filepath.EvalSymlinks(filepath.Join(root, filepath.FromSlash(f.Rel)))
	return errTop == nil && err == nil && file == filepath.Join(top, filepath.FromSlash(f.Rel))
}

// apart gives every job the folder of its results, and refuses jobs of which one
// would write over the other's.
func (p *places) apart(jobs []Found) ([]string, error) {
	dirs := make([]string, len(jobs))
	ends := make([]string, len(jobs))
	like := map[string][]int{}
	for i, f := range jobs {
		dirs[i] = p.results(f)
		ends[i] = withLinksFollowed(dirs[i])
		key := strings.ToLower(ends[i])
		for _, other := range like[key] {
			if ends[i] == ends[other] || oneFolder(ends[i], ends[other]) {
				return nil, fmt.Errorf("%s and %s would write over each other's results in %s; rename one of them, or run each by itself with another -o",
					jobs[other].Rel, f.Rel, dirs[i])
			}
		}
		like[key] = append(like[key], i)
	}
	return dirs, nil
}

// withLinksFollowed is the absolute path without links, as far as it exists.
func withLinksFollowed(dir string) string {
	dir, rest := absolute(dir), ""
	for {
		if end, err := filepath.EvalSymlinks(dir); err == nil {
			return filepath.Join(end, rest)
		}
		up := filepath.Dir(dir)
		if up == dir {
			return filepath.Join(dir, rest)
		}
		dir, rest = up, filepath.Join(filepath.Base(dir), rest)
	}
}

// oneFolder tells whether two spellings are one folder, which only the file
// system knows. The first is made, as the season would.
func oneFolder(a, b string) bool {
	return os.MkdirAll(a, 0o777) == nil && sameFile(a, b)
}
