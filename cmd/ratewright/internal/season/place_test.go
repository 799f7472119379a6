package season

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// folders are the folders of the results of all jobs found, from the root.
func folders(t *testing.T, out, root string, names ...string) map[string]string {
	t.Helper()
	for i, name := range names {
		names[i] = filepath.Join(root, name)
	}
	list, err := Find(names)
	require.NoError(t, err)
	p := newRunner(Options{Out: out}, list).places
	dirs, err := p.apart(list.Jobs)
	require.NoError(t, err)
	got := map[string]string{}
	for i, f := range list.Jobs {
		from := root
		if out != "" {
			from = out
		}
		rel, err := filepath.Rel(from, dirs[i])
		require.NoError(t, err)
		file, err := filepath.Rel(root, f.Path)
		require.NoError(t, err)
		got[filepath.ToSlash(file)] = filepath.ToSlash(rel)
	}
	return got
}

const noMore = "field: {}\n"

func TestFilesThatNoWalkFindsHaveFoldersOfTheirOwn(t *testing.T) {
	for _, c := range []struct {
		files, names string
		want         map[string]string
	}{
		{"a.yml b.yml", "a.yml b.yml", map[string]string{"a.yml": "out/a.yml", "b.yml": "out/b.yml"}},
		{"a.yml b.yml", "a.yml", map[string]string{"a.yml": "out/a.yml"}},
		{"a.yml", "a.yml", map[string]string{"a.yml": "out"}},
		{".a.yaml", ".a.yaml", map[string]string{".a.yaml": "out"}},
		{"a.yaml .b.yaml c.yml d", "a.yaml .b.yaml c.yml d", map[string]string{"a.yaml": "out", ".b.yaml": "out/_.b", "c.yml": "out/c.yml", "d": "out/d"}},
		{"a.yaml b.yaml .c.yaml d.yml", "a.yaml b.yaml .c.yaml d.yml", map[string]string{
			"a.yaml": "out/a", "b.yaml": "out/b", ".c.yaml": "out/_.c", "d.yml": "out/d.yml",
		}},
		{"a.yaml A.yml b.yaml.yaml", ".", map[string]string{"a.yaml": "out/a", "b.yaml.yaml": "out/b.yaml"}},
		{"a.yaml b.yaml .yaml ..yaml ...yaml c..yaml", "a.yaml .yaml ..yaml ...yaml c..yaml", map[string]string{
			"a.yaml": "out/a", ".yaml": "out/_", "..yaml": "out/_._", "...yaml": "out/_.._", "c..yaml": "out/c._",
		}},
	} {
		root := t.TempDir()
		for _, f := range strings.Fields(c.files) {
			put(t, noMore, root, f)
		}
		require.Equal(t, c.want, folders(t, "", root, strings.Fields(c.names)...), "%s of %s", c.names, c.files)
	}
}

func TestNamesOfDotsStayBelowTheFolderNamed(t *testing.T) {
	root, out := t.TempDir(), t.TempDir()
	for _, f := range []string{".yaml", "..yaml", "...yaml", "a.yaml", "x/..yaml", "x.yaml", "x/b.yml"} {
		put(t, noMore, root, filepath.FromSlash(f))
	}
	require.Equal(t, map[string]string{
		".yaml": "fields/_", "..yaml": "fields/_._", "...yaml": "fields/_.._", "a.yaml": "fields/a",
		"x/..yaml": "fields/x/_._", "x.yaml": "fields/x", "x/b.yml": "fields/x/b.yml",
	}, folders(t, out, root, ".yaml", "..yaml", "...yaml", "a.yaml", "x/..yaml", "x.yaml", "x/b.yml"))
}

// A broken job beside a good one is told, and takes no folder from it.
func TestFilesThatAreNoJobsShareNoFolder(t *testing.T) {
	root := t.TempDir()
	put(t, noMore, root, "a.yaml")
	put(t, "a: 1\n", root, "b.yaml")
	require.Equal(t, map[string]string{"a.yaml": "out", "b.yaml": "out/b", "gone.yaml": "out/gone", "gone2.yaml": "out/gone2"},
		folders(t, "", root, "a.yaml", "b.yaml", "gone.yaml", "gone2.yaml"))
}

func link(t *testing.T, to, name string) {
	t.Helper()
	if err := os.Symlink(to, name); err != nil {
		t.Skip("no links here: ", err)
	}
}

func TestAJobReachedByTwoNamesIsOne(t *testing.T) {
	root := t.TempDir()
	put(t, noMore, root, "real", "job.yaml")
	put(t, "a: 1\n", root, "real", "notes.yaml")
	link(t, "real", filepath.Join(root, "link"))
	link(t, "job.yaml", filepath.Join(root, "real", "again.yml"))
	want := map[string]string{"real/job.yaml": "real/out"}
	require.Equal(t, want, folders(t, "", root, ".", "link"))
	require.Equal(t, want, folders(t, "", root, "link", "."))
	require.Equal(t, want, folders(t, "", root, "link/again.yml", "real/again.yml", "real"))
	list, err := Find([]string{root, filepath.Join(root, "link")})
	require.NoError(t, err)
	require.Equal(t, []string{"real/notes.yaml"}, list.NoJobs)
	require.Equal(t, map[string]string{"link/job.yaml": "link/out"}, folders(t, "", root, "link"), "by that name alone")
}

// A link in another folder is another job: its inputs lie beside it.
func TestOneJobFileServesManyFolders(t *testing.T) {
	root := t.TempDir()
	put(t, noMore, root, "a", "job.yaml")
	require.NoError(t, os.Mkdir(filepath.Join(root, "b"), 0o777))
	link(t, filepath.Join("..", "a", "job.yaml"), filepath.Join(root, "b", "job.yaml"))
	require.Equal(t, map[string]string{"a/job.yaml": "a/out", "b/job.yaml": "b/out"}, folders(t, "", root, "."))
}

// Names that differ in case are two jobs where the file system keeps them apart.
func TestCaseCountsWhereTheFileSystemSaysSo(t *testing.T) {
	root := t.TempDir()
	put(t, noMore, root, "a.yaml")
	put(t, noMore, root, "A.yaml")
	want := map[string]string{"a.yaml": "out/a", "A.yaml": "out/A"}
	if sameFile(filepath.Join(root, "a.yaml"), filepath.Join(root, "A.yaml")) {
		want = map[string]string{"A.yaml": "out"}
	}
	require.Equal(t, want, folders(t, "", root, "a.yaml", "A.yaml"))
}

func TestJobsThatWouldShareAFolderStopTheSeason(t *testing.T) {
	root := someFields(t, 2)
	for i, name := range []string{"a.yml", "a.yml.yaml"} {
		put(t, fmt.Sprintf(jobText, i, "log.csv"), root, "f00", name)
	}
	o := options(filepath.Join(root, "f00", "a.yml"), filepath.Join(root, "f00"))
	for _, shard := range []Shard{{}, {1, 2}} {
		o.Shard = shard
		_, err := Run(t.Context(), o)
		require.ErrorContains(t, err, "a.yml and a.yml.yaml would write over each other's results in "+filepath.Join(root, "f00", "out", "a.yml"))
		require.ErrorContains(t, err, "rename one of them")
		require.NoDirExists(t, filepath.Join(root, "f00", "out"), "nothing has run")
	}

	require.NoError(t, os.MkdirAll(filepath.Join(root, "f01", "out"), 0o777))
	require.NoError(t, os.Remove(filepath.Join(root, "f00", "a.yml")))
	require.NoError(t, os.Remove(filepath.Join(root, "f00", "a.yml.yaml")))
	link(t, filepath.Join("..", "f01", "out"), filepath.Join(root, "f00", "out"))
	_, err := Run(t.Context(), options(root))
	require.ErrorContains(t, err, "f00/job.yaml and f01/job.yaml would write over each other's results")
}

func TestAFolderIsOneInTwoSpellings(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("links need a right there")
	}
	root := t.TempDir()
	a, b := filepath.Join(root, "x", "A"), filepath.Join(root, "a")
	require.False(t, oneFolder(a, b))
	require.DirExists(t, a, "the file system is asked")
	link(t, filepath.Join("x", "A"), b) // as a system would that ignores case
	require.True(t, oneFolder(a, b))
}

func TestJobsNamedTogetherKeepTheirResults(t *testing.T) {
	root := someFields(t, 1)
	dir := filepath.Join(root, "f00")
	for i, name := range []string{"a.yml", "b.yml", ".c.yaml", "...yaml"} {
		put(t, fmt.Sprintf(jobText, i, "log.csv"), dir, name)
	}
	o := options(filepath.Join(dir, "a.yml"), filepath.Join(dir, "b.yml"), filepath.Join(dir, ".c.yaml"), filepath.Join(dir, "...yaml"), dir)
	require.Equal(t, "done done done done done", states(mustRun(t, o).Season))
	for _, own := range []string{"", "a.yml", "b.yml", "_.c", "_.._"} {
		require.FileExists(t, filepath.Join(dir, "out", own, "reconcile.json"))
	}
	require.NoFileExists(t, filepath.Join(dir, "reconcile.json"))
	require.Equal(t, strings.TrimSpace(strings.Repeat("unchanged ", 5)), states(mustRun(t, o).Season), "none has replaced another")
}

// A folder from a machine with a code page of its own stops no walk.
func TestNamesThatAreNoTextAreWalked(t *testing.T) {
	root := t.TempDir()
	dir := "Fl\xe4che"
	if err := os.MkdirAll(filepath.Join(root, dir), 0o777); err != nil {
		t.Skip("no such names here: ", err)
	}
	put(t, noMore, root, dir, "\xff.yaml")
	put(t, noMore, root, "a", "job.yaml")
	require.Equal(t, map[string]string{"a/job.yaml": "a/out", dir + "/\xff.yaml": dir + "/out"}, folders(t, "", root, "."))
}
