package season

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// found is what a walk finds: the jobs by their names from the root, and the notes.
func found(t *testing.T, names ...string) (jobs, notes []string) {
	t.Helper()
	list, err := Find(names)
	require.NoError(t, err)
	for _, f := range list.Jobs {
		jobs = append(jobs, f.Rel)
	}
	return jobs, list.Notes
}

func TestLinksToFoldersAreFollowedOnce(t *testing.T) {
	top := t.TempDir()
	root := filepath.Join(top, "L")
	put(t, noMore, root, "y", "job.yaml")
	put(t, noMore, top, "real", "x", "job.yaml")
	put(t, noMore, top, "real", "deep", "er", "job.yaml")
	link(t, filepath.Join("..", "real", "x"), filepath.Join(root, "x"))
	jobs, notes := found(t, root)
	require.Equal(t, []string{"x/job.yaml", "y/job.yaml"}, jobs)
	require.Empty(t, notes)
	require.Equal(t, map[string]string{"x/job.yaml": "x/out", "y/job.yaml": "y/out"}, folders(t, "", root, "."))

	link(t, filepath.Join("..", "real"), filepath.Join(root, "farm"))
	link(t, filepath.Join("..", "real", "deep"), filepath.Join(root, "zone"))
	link(t, "y", filepath.Join(root, "a")) // walked before it, under the name without links
	want := []string{"farm/deep/er/job.yaml", "farm/x/job.yaml", "y/job.yaml"}
	for range 2 {
		jobs, notes = found(t, root)
		require.Equal(t, want, jobs)
		require.Empty(t, notes)
	}
	jobs, _ = found(t, filepath.Join(root, "farm"), root)
	require.Equal(t, want, jobs, "the order of the names does not matter")
	jobs, _ = found(t, root, filepath.Join(root, "farm"))
	require.Equal(t, want, jobs)
}

func TestLinksBehindLinksAreFollowed(t *testing.T) {
	top := t.TempDir()
	root := filepath.Join(top, "L")
	require.NoError(t, os.Mkdir(root, 0o777))
	put(t, noMore, top, "one", "job.yaml")
	put(t, noMore, top, "two", "job.yaml")
	link(t, filepath.Join("..", "one"), filepath.Join(root, "one"))
	link(t, filepath.Join("..", "two"), filepath.Join(top, "one", "next"))
	link(t, filepath.Join("..", "one"), filepath.Join(top, "two", "next")) // and round
	jobs, notes := found(t, root)
	require.Equal(t, []string{"one/job.yaml", "one/next/job.yaml"}, jobs)
	require.Empty(t, notes)
}

func TestLinksThatLeadBackEnd(t *testing.T) {
	top := t.TempDir()
	root := filepath.Join(top, "L")
	put(t, noMore, root, "f", "job.yaml")
	put(t, noMore, top, "other", "job.yaml")
	link(t, ".", filepath.Join(root, "f", "self"))
	link(t, filepath.Join("..", "..", "L"), filepath.Join(root, "f", "round"))
	jobs, notes := found(t, root)
	require.Equal(t, []string{"f/job.yaml"}, jobs)
	require.Empty(t, notes, "nothing is behind them that is not walked")

	link(t, "..", filepath.Join(root, "up"))
	jobs, notes = found(t, root)
	require.Equal(t, []string{"f/job.yaml"}, jobs, "no other season's fields")
	require.Equal(t, []string{"one link was not followed: it leads back to a folder that holds it (up)"}, notes)

	// A link that comes back to the root from outside walks nothing twice.
	link(t, "L", filepath.Join(top, "other", "..", "again"))
	link(t, filepath.Join("..", "L"), filepath.Join(top, "other", "back"))
	link(t, filepath.Join("..", "other"), filepath.Join(root, "other"))
	jobs, _ = found(t, root)
	require.Equal(t, []string{"f/job.yaml", "other/job.yaml"}, jobs)
}

func TestLinksThatLeadNowhereAreTold(t *testing.T) {
	root := t.TempDir()
	put(t, noMore, root, "a", "job.yaml")
	for i := range 7 {
		link(t, filepath.Join("no", "such", "place"), filepath.Join(root, fmt.Sprintf("farm%d", i)))
	}
	link(t, "loop", filepath.Join(root, "loop"))
	link(t, "gone", filepath.Join(root, ".#hidden"))
	link(t, "gone.yaml", filepath.Join(root, "b.yaml"))
	jobs, notes := found(t, root)
	require.Equal(t, []string{"a/job.yaml", "b.yaml"}, jobs, "a job that is not there fails by name")
	require.Equal(t, []string{"8 links were not followed: they lead nowhere that can be reached (farm0, farm1, farm2, farm3, farm4, ...)"}, notes)
}

// Where all are asked by name one folder that cannot be read stops the season; one
// that only a link leads to is told.
func TestFoldersBehindLinksThatCannotBeReadAreTold(t *testing.T) {
	root := t.TempDir()
	gone := filepath.Join(root, "gone") // as if it went between two steps
	f := finder{list: List{Root: root}, walked: map[string]bool{}}
	require.ErrorContains(t, f.walk(gone, gone), "gone: cannot look for jobs: no such file or directory; see to it that you may read that folder, or name the other folders and jobs")
	f.following = true
	require.NoError(t, f.walk(gone, gone))
	require.Equal(t, []string{"one folder behind a link was passed over: it cannot be read (gone)"}, f.odd.notes())
}

// The table carries what the walk passed over, and a field behind a link is
// computed like any other.
func TestASeasonOfLinks(t *testing.T) {
	top := t.TempDir()
	root := someFields(t, 2)
	require.NoError(t, os.Mkdir(filepath.Join(top, "L"), 0o777))
	link(t, root, filepath.Join(top, "L", "farm"))
	link(t, filepath.Join("no", "where"), filepath.Join(top, "L", "lost"))
	o := options(filepath.Join(top, "L"))
	s := mustRun(t, o).Season
	require.Equal(t, "done done", states(s))
	require.FileExists(t, filepath.Join(root, "f01", "out", "reconcile.json"))
	require.Contains(t, strings.Join(s.Notes, "\n"), "one link was not followed: it leads nowhere that can be reached (lost)")
	require.Equal(t, "unchanged unchanged", states(mustRun(t, o).Season))
	require.Equal(t, "unchanged unchanged", states(mustRun(t, options(root)).Season), "by its own name, too")
}
