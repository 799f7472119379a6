package outputs

import (
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// listed is a set whose summary lists its files.
func listed(summary string, files ...File) Set {
	return Set{Files: files, Workers: 1, Summary: File{Name: summary, From: func(sums Sums) ([]byte, error) {
		return json.Marshal(listing{"ratewright/test/1", sums})
	}}}
}

func largeSet() Set {
	return listed("reconcile.json", File{Name: "patches.geojson", Data: []byte("old")}, File{Name: "patches.shp", Data: []byte("old shp")},
		File{Name: "rate-map/A.shp", Data: []byte("a")}, File{Name: "rate-map/A.dbf", Data: []byte("a dbf")})
}

func smallSet() Set {
	return listed("reconcile.json", File{Name: "patches.geojson", Data: []byte("new")})
}

func TestFilesThatTheNewSetLacksGo(t *testing.T) {
	dir := t.TempDir()
	overwrite(t, dir, largeSet())
	require.NoError(t, os.WriteFile(filepath.Join(dir, "mine.txt"), []byte("mine"), 0o666))
	overwrite(t, dir, smallSet())
	want := content(smallSet())
	want["mine.txt"] = "mine"
	assert.Equal(t, want, tree(t, dir))
}

func TestWhoAsksIsToldWhatWasRemoved(t *testing.T) {
	dir := t.TempDir()
	var told []string
	overwriteTold := func(set Set) {
		told = nil
		set.Removed = func(names []string) { told = append(told, names...) }
		overwrite(t, dir, set)
	}
	overwriteTold(largeSet())
	assert.Empty(t, told)
	overwriteTold(smallSet())
	assert.Equal(t, []string{"patches.shp", "rate-map/A.dbf", "rate-map/A.shp"}, told)
	overwriteTold(smallSet())
	assert.Empty(t, told)
}

// The summary of a step may be one of the files of a larger set.
func TestEverySummaryOfASetCounts(t *testing.T) {
	dir := t.TempDir()
	within := func(s Set) Set {
		return listed("stamp.json", append(s.Files, s.Summary)...)
	}
	overwrite(t, dir, within(largeSet()))
	overwrite(t, dir, within(smallSet()))
	assert.Equal(t, content(within(smallSet())), tree(t, dir))
}

func TestWhatIsNotSurelyOldStays(t *testing.T) {
	shp := func(dir string) string { return filepath.Join(dir, "patches.shp") }
	for what, spoil := range map[string]func(dir string) (inputs []string){
		"changed since": func(dir string) []string {
			require.NoError(t, os.WriteFile(shp(dir), []byte("edited"), 0o666))
			return nil
		},
		"an input": func(dir string) []string { return []string{filepath.Join(dir, "x", "..", "patches.shp")} },
		"listed by another summary": func(dir string) []string {
			overwrite(t, dir, listed("other.json", File{Name: "patches.shp", Data: []byte("old shp")}))
			return nil
		},
		"a summary of another program": func(dir string) []string {
			text := `{"schema": "other/1", "files": {"patches.shp": "` + sum([]byte("old shp")) + `"}}`
			require.NoError(t, os.WriteFile(filepath.Join(dir, "reconcile.json"), []byte(text), 0o666))
			return nil
		},
		"no summary": func(dir string) []string {
			require.NoError(t, os.WriteFile(filepath.Join(dir, "reconcile.json"), []byte("{"), 0o666))
			return nil
		},
	} {
		dir := t.TempDir()
		require.NoError(t, os.Mkdir(filepath.Join(dir, "x"), 0o777))
		overwrite(t, dir, largeSet())
		inputs := spoil(dir)
		require.NoError(t, errorOf(Write(dir, smallSet(), inputs)))
		assert.FileExists(t, shp(dir), what)
	}
}

func TestASummaryCannotRemoveOutsideTheFolder(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "out")
	require.NoError(t, os.Mkdir(dir, 0o777))
	require.NoError(t, os.WriteFile(filepath.Join(root, "theirs"), []byte("x"), 0o666))
	text := `{"schema": "ratewright/test/1", "files": {"../theirs": "` + sum([]byte("x")) + `"}}`
	require.NoError(t, os.WriteFile(filepath.Join(dir, "reconcile.json"), []byte(text), 0o666))
	overwrite(t, dir, smallSet())
	assert.FileExists(t, filepath.Join(root, "theirs"))
}

// Where the file system ignores case, the old name and the new one are one file.
func TestANameInAnotherCaseIsNotRemovedFromUnderIt(t *testing.T) {
	dir := t.TempDir()
	overwrite(t, dir, listed("a.json", File{Name: "map.prj", Data: []byte("same")}))
	overwrite(t, dir, listed("a.json", File{Name: "MAP.prj", Data: []byte("same")}))
	data, err := os.ReadFile(filepath.Join(dir, "MAP.prj"))
	require.NoError(t, err)
	assert.Equal(t, "same", string(data))
	assert.Len(t, tree(t, dir), 2)
}

func TestKilledAtEveryStepWhileFilesGo(t *testing.T) {
	before, after := content(largeSet()), content(smallSet())
	undone, finished := 0, 0
	for at := 1; ; at++ {
		dir := t.TempDir()
		overwrite(t, dir, largeSet())
		if !runToItsDeath(t, "shrink", dir, at) {
			assert.Equal(t, after, tree(t, dir))
			break
		}
		if tree(t, dir)["reconcile.json"] == after["reconcile.json"] {
			_, err := os.Stat(filepath.Join(dir, "patches.shp"))
			assert.ErrorIs(t, err, fs.ErrNotExist, "step %d: the summary is new and an old file is there", at)
		}
		r, err := Recover(dir, nil)
		require.NoError(t, err)
		switch r {
		case Undone:
			undone++
			assert.Equal(t, before, tree(t, dir), "step %d", at)
		case Finished:
			finished++
			assert.Equal(t, after, tree(t, dir), "step %d", at)
		case Clean:
			assert.Contains(t, []map[string]string{before, after}, tree(t, dir), "step %d", at)
		}
	}
	// 2 staged files and the draft; 2 places and 3 removals, each with its flush.
	assert.GreaterOrEqual(t, undone, 3)
	assert.GreaterOrEqual(t, finished, 10)
}
