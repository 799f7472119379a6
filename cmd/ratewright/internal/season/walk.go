package season

import (
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"ratewright/cmd/ratewright/internal/job"
)

// finder walks folders. Links to folders wait until everything that can be reached
// without them has been walked: a job then has the name that needs none, where it
// has one. A folder that is walked already is not walked again through a link, and a
// link never leads back to a folder that it lies in, so that every walk ends.
type finder struct {
	list   List
	noJobs []Found
	seen   map[string]bool // by path from the root

	walked    map[string]bool // folders, by their path without links
	links     []string        // to folders, not followed yet
	following bool            // everything without links has been walked
	odd       passedOver
}

// walk looks through a folder, whose path without links is real, in the order of
// names, which need not be text.
func (f *finder) walk(folder, real string) error {
	f.walked[real] = true
	entries, err := os.ReadDir(folder)
	switch {
	case err != nil && f.following:
		f.odd.closed = append(f.odd.closed, f.shown(folder))
	case err != nil:
		return fmt.Errorf("%s: cannot look for jobs: %s; see to it that you may read that folder, or name the other folders and jobs", folder, reason(err))
	}
	for _, e := range entries {
		file, err := filepath.Join(folder, e.Name()), error(nil)
		switch {
		case hidden(e.Name()):
		case e.IsDir():
			if end := filepath.Join(real, e.Name()); !f.following || !f.walked[end] {
				err = f.walk(file, end)
			}
		default:
			err = f.meet(file, e)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// meet decides about an entry that is no folder itself: only a file is read, for
// reading from a pipe or a device may wait for ever.
func (f *finder) meet(file string, e fs.DirEntry) error {
	info, err := os.Stat(file)
	switch {
	case err == nil && info.IsDir():
		f.links = append(f.links, file)
	case !walked(e.Name()):
		if err != nil && e.Type()&fs.ModeSymlink != 0 {
			f.odd.nowhere = append(f.odd.nowhere, f.shown(file))
		}
	case err != nil:
		return f.add(file) // fails as a job, by name
	case !info.Mode().IsRegular():
		f.odd.noFiles = append(f.odd.noFiles, f.shown(file))
	default:
		return f.look(file)
	}
	return nil
}

// follow walks the folders behind links, and behind the links in those.
func (f *finder) follow() error {
	f.following = true
	for len(f.links) > 0 {
		links := f.links
		f.links = nil
		slices.SortFunc(links, func(a, b string) int { return strings.Compare(f.shown(a), f.shown(b)) })
		for _, link := range links {
			real, err := filepath.EvalSymlinks(absolute(link))
			switch {
			case err != nil:
				f.odd.nowhere = append(f.odd.nowhere, f.shown(link))
			case f.walked[real]:
			case leadsBack(link):
				f.odd.back = append(f.odd.back, f.shown(link))
			default:
				if err := f.walk(link, real); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// leadsBack tells whether a link leads to a folder that holds the link, by the
// path that came to it or by the one without links.
func leadsBack(link string) bool {
	target, err := os.Stat(link)
	if err != nil {
		return false
	}
	folder := filepath.Dir(absolute(link))
	for _, dir := range []string{folder, withLinksFollowed(folder)} {
		for up := filepath.Dir(dir); ; dir, up = up, filepath.Dir(up) {
			if info, err := os.Stat(dir); err == nil && os.SameFile(info, target) {
				return true
			}
			if up == dir {
				break
			}
		}
	}
	return false
}

// look adds a file that a walk has come to. What cannot be read fails as a job, by
// name.
func (f *finder) look(file string) error {
	data, err := os.ReadFile(file)
	if err != nil || job.IsJob(data) {
		return f.add(file)
	}
	return f.note(file, &f.noJobs)
}

func (f *finder) shown(file string) string {
	if rel, err := f.rel(file); err == nil {
		return rel
	}
	return filepath.ToSlash(file)
}

func hidden(name string) bool { return strings.HasPrefix(name, ".") }

// walked tells whether a folder's walk looks at a file of this name.
func walked(name string) bool { return path.Ext(name) == ".yaml" && !hidden(name) }

// passedOver are the names that a walk could do nothing with, from the root.
type passedOver struct {
	noFiles, back, nowhere, closed []string
}

func (p passedOver) notes() []string {
	var notes []string
	add := func(names []string, one, several string) {
		slices.Sort(names)
		names = slices.Compact(names)
		if len(names) == 1 {
			notes = append(notes, fmt.Sprintf("one %s (%s)", one, names[0]))
		} else if len(names) > 1 {
			notes = append(notes, fmt.Sprintf("%d %s (%s)", len(names), several, someOf(names)))
		}
	}
	add(p.noFiles, "*.yaml was passed over: it is a pipe or a device, no file", "*.yaml were passed over: they are pipes or devices, no files")
	add(p.back, "link was not followed: it leads back to a folder that holds it", "links were not followed: they lead back to a folder that holds them")
	add(p.nowhere, "link was not followed: it leads nowhere that can be reached", "links were not followed: they lead nowhere that can be reached")
	add(p.closed, "folder behind a link was passed over: it cannot be read", "folders behind links were passed over: they cannot be read")
	return notes
}

// someOf lists the first few names.
func someOf(names []string) string {
	const show = 5
	text := strings.Join(names[:min(len(names), show)], ", ")
	if len(names) > show {
		text += ", ..."
	}
	return text
}
