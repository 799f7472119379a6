package season

import (
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"ratewright/cmd/ratewright/internal/job"
)

// places says where results go. With a folder named, all goes there; else each
// job's results go to out/ beside it, where its single commands put them.
type places struct {
	out     string // as asked for; empty: beside the jobs
	root    string
	folders map[string]jobsOf
}

// jobsOf says what a walk finds in a folder: no job, one, or several.
type jobsOf struct {
	only    string // the path of the one
	several bool
}

// tables is the folder of the season's tables. Those of a shard have one of
// their own, for the shards of a season run side by side.
func (p *places) tables(s Shard) string {
	switch {
	case p.out != "":
		return p.out
	case s.whole():
		return filepath.Join(p.root, "out")
	default:
		return filepath.Join(p.root, "out", s.folder())
	}
}

// results is the folder of a job's results. Jobs in one folder get a folder each,
// whether this run is about one of them or all. A file that is no job to a walk
// leaves the others where they are: it gets a folder of its own beside any job.
func (p *places) results(f Found) string {
	own := folderName(path.Base(f.Rel))
	if p.out != "" {
		return filepath.Join(p.out, "fields", filepath.FromSlash(path.Dir(f.Rel)), own)
	}
	folder := filepath.Dir(f.Path)
	jobs, known := p.folders[folder]
	if !known {
		jobs = lookForJobs(folder)
		p.folders[folder] = jobs
	}
	alone := !jobs.several && sameFile(jobs.only, f.Path)
	if !jobs.several && jobs.only == "" {
		alone = isYAML(f.Path) && holdsJob(f.Path) && !otherJob(f.Path)
	}
	if alone {
		return filepath.Join(folder, "out")
	}
	return filepath.Join(folder, "out", own)
}

// folderName makes a folder's name of a job file's. Names of dots would lead out
// of the place, those that begin with one are the writer's own (package outputs),
// and some systems drop a dot or a blank at the end.
func folderName(file string) string {
	name := strings.TrimSuffix(file, ".yaml")
	if name == "" || hidden(name) {
		name = "_" + name
	}
	if strings.HasSuffix(name, ".") || strings.HasSuffix(name, " ") {
		name += "_"
	}
	return name
}

func lookForJobs(folder string) (jobs jobsOf) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return jobs // the job itself will say why
	}
	for _, e := range entries {
		file := filepath.Join(folder, e.Name())
		if !walked(e.Name()) || !holdsJob(file) {
			continue
		}
		if jobs.only != "" {
			return jobsOf{several: true}
		}
		jobs.only = file
	}
	return jobs
}

func holdsJob(file string) bool {
	if !isFile(file) {
		return false
	}
	data, err := os.ReadFile(file)
	return err == nil && job.IsJob(data)
}

// isFile tells a file from what cannot be read like one.
func isFile(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.Mode().IsRegular()
}

// isYAML goes by the name in any of its spellings.
func isYAML(file string) bool {
	ext := strings.ToLower(filepath.Ext(file))
	return ext == ".yaml" || ext == ".yml"
}

// otherJob looks for a job beside one that no walk finds.
func otherJob(file string) bool {
	folder := filepath.Dir(file)
	entries, err := os.ReadDir(folder)
	return err == nil && slices.ContainsFunc(entries, func(e os.DirEntry) bool {
		other := filepath.Join(folder, e.Name())
		return isYAML(other) && holdsJob(other) && !sameFile(other, file)
	})
}
