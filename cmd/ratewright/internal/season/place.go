package season

import (
	"os"
	"path/filepath"
	"strings"

	"ratewright/cmd/ratewright/internal/job"
)

// places says where results go. With a folder named, all goes there; else each
// job's results go to out/ beside it, where its single commands put them.
type places struct {
	out     string // as asked for; empty: beside the jobs
	root    string
	crowded map[string]bool // folders that hold several jobs
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
// whether this run is about one of them or all.
func (p *places) results(f Found) string {
	if p.out != "" {
		return filepath.Join(p.out, "fields", filepath.FromSlash(strings.TrimSuffix(f.Rel, ".yaml")))
	}
	folder := filepath.Dir(f.Path)
	crowded, known := p.crowded[folder]
	if !known {
		crowded = severalJobs(folder)
		p.crowded[folder] = crowded
	}
	if crowded {
		return filepath.Join(folder, "out", strings.TrimSuffix(filepath.Base(f.Path), ".yaml"))
	}
	return filepath.Join(folder, "out")
}

func severalJobs(folder string) bool {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return false // the job itself will say why
	}
	jobs := 0
	for _, e := range entries {
		if filepath.Ext(e.Name()) != ".yaml" || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		if data, err := os.ReadFile(filepath.Join(folder, e.Name())); err == nil && job.IsJob(data) {
			jobs++
		}
		if jobs > 1 {
			return true
		}
	}
	return false
}
