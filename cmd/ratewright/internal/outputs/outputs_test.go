package outputs

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func oldSet() Set {
	return Set{
		Files: []File{
			{Name: "patches.geojson", Data: []byte("old patches")},
			{Name: "rate-map/A.shp", Data: []byte("old shp")},
		},
		Summary: File{Name: "reconcile.json", Data: []byte("old summary")},
	}
}

// newSet is made one file at a time, so that a test knows its steps.
func newSet() Set {
	return Set{
		Files: []File{
			{Name: "patches.geojson", Data: []byte("new patches, longer")},
			{Name: "rate-map/A.shp", Data: []byte("new shp")},
			{Name: "rate-map/A.dbf", Write: func(w io.Writer) error {
				_, err := io.WriteString(w, "new dbf")
				return err
			}},
		},
		Summary: File{Name: "reconcile.json", From: func(sums Sums) ([]byte, error) {
			return json.Marshal(map[string]any{"schema": "ratewright/test/1", "files": sums})
		}},
		Workers: 1,
	}
}

func overwrite(t *testing.T, dir string, set Set) {
	t.Helper()
	_, err := Write(dir, set, nil)
	require.NoError(t, err)
}

func errorOf[T any](_ T, err error) error { return err }

// tree returns every file below dir with its content, the lock file left out: a
// killed process leaves it, unlocked, and the next command takes it.
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	got := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || d.Name() == lockName {
			return err
		}
		data, err := os.ReadFile(path)
		rel, _ := filepath.Rel(dir, path)
		got[filepath.ToSlash(rel)] = string(data)
		return err
	})
	require.NoError(t, err)
	return got
}

func content(s Set) map[string]string {
	m, sums := map[string]string{}, Sums{}
	for _, f := range s.ordered() {
		var b bytes.Buffer
		if f.From != nil {
			data, err := f.From(sums)
			if err != nil {
				panic(err)
			}
			f.Data = data
		}
		if err := f.Put(&b); err != nil {
			panic(err)
		}
		m[f.Name], sums[f.Name] = b.String(), sum(b.Bytes())
	}
	return m
}

func TestWriteReplacesASetAndLeavesNothingElse(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "out")
	overwrite(t, dir, oldSet())
	assert.Equal(t, content(oldSet()), tree(t, dir))
	overwrite(t, dir, newSet())
	assert.Equal(t, content(newSet()), tree(t, dir))
	_, err := os.Stat(filepath.Join(dir, lockName))
	assert.ErrorIs(t, err, fs.ErrNotExist, "the lock file stays behind")
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, entries, 3, "two files and the folder rate-map")
}

func TestSumsAreSHA256(t *testing.T) {
	// FIPS 180-2, appendix B.1: the message "abc".
	const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
	written := func(w io.Writer) error {
		_, err := io.WriteString(w, "abc")
		return err
	}
	have := Sums{}
	note := func(sums Sums) ([]byte, error) {
		maps.Copy(have, sums)
		return []byte("abc"), nil
	}
	for _, workers := range []int{0, 1, 2} {
		files := []File{{Name: "a", Data: []byte("abc")}, {Name: "b", From: note}, {Name: "c", Write: written}}
		summary, err := Write(t.TempDir(), Set{Files: files, Summary: File{Name: "d", From: func(sums Sums) ([]byte, error) {
			require.Equal(t, Sums{"a": abc, "b": abc, "c": abc}, sums)
			require.Equal(t, Sums{"a": abc, "c": abc}, sums.Of([]File{files[0], files[2]}))
			return []byte("summary"), nil
		}}, Workers: workers}, nil)
		require.NoError(t, err)
		require.Equal(t, "summary", string(summary))
		require.Equal(t, Sums{"a": abc}, have, "only files before it")
	}
}

func TestWhatCannotBeMadeLeavesTheOldFiles(t *testing.T) {
	cannot := errors.New("cannot be made")
	for name, set := range map[string]Set{
		"written": {Files: []File{{Name: "a", Write: func(io.Writer) error { return cannot }}}, Summary: File{Name: "reconcile.json"}},
		"of sums": {Files: []File{{Name: "a"}}, Summary: File{Name: "reconcile.json", From: func(Sums) ([]byte, error) { return nil, cannot }}},
	} {
		dir := t.TempDir()
		overwrite(t, dir, oldSet())
		_, err := Write(dir, set, nil)
		require.ErrorIs(t, err, cannot, name)
		require.Equal(t, content(oldSet()), tree(t, dir), name)
	}
}

func TestAPanicWhileFilesAreMadeReachesTheCaller(t *testing.T) {
	dir := t.TempDir()
	overwrite(t, dir, oldSet())
	set := newSet()
	set.Files = append(set.Files, File{Name: "x", Write: func(io.Writer) error { panic("on purpose") }})
	require.Panics(t, func() { _, _ = Write(dir, set, nil) })
	require.NoError(t, errorOf(Recover(dir, nil)))
	require.Equal(t, content(oldSet()), tree(t, dir))
}

func TestNamesThatLeaveTheFolderAreRefused(t *testing.T) {
	for _, name := range []string{"", "../a", "/a", "a/../../b", `a\b`, "a//b", ".hidden", "x/.ratewright-staging/0000"} {
		dir := filepath.Join(t.TempDir(), "out")
		_, err := Write(dir, Set{Summary: File{Name: name}}, nil)
		assert.Error(t, err, name)
		_, err = os.Stat(dir)
		assert.ErrorIs(t, err, fs.ErrNotExist, name)
	}
	_, err := Write(t.TempDir(), Set{Files: []File{{Name: "A.json"}}, Summary: File{Name: "a.json"}}, nil)
	assert.ErrorContains(t, err, "share the name")
}

func TestAnInputIsNeverOverwritten(t *testing.T) {
	dir := t.TempDir()
	target := filepath.Join(dir, "patches.geojson")
	require.NoError(t, os.WriteFile(target, []byte("mine"), 0o666))

	inputs := map[string]string{"same path": target, "other spelling": dir + "/./x/../patches.geojson"}
	require.NoError(t, os.Mkdir(filepath.Join(dir, "x"), 0o777))
	hard := filepath.Join(t.TempDir(), "hard.geojson")
	if os.Link(target, hard) == nil {
		inputs["hard link"] = hard
	}
	soft := filepath.Join(t.TempDir(), "soft.geojson")
	if os.Symlink(target, soft) == nil {
		inputs["symbolic link"] = soft
	}
	for what, input := range inputs {
		_, err := Write(dir, newSet(), []string{"no such file", input})
		require.ErrorContains(t, err, "overwrite an input", what)
		assert.Equal(t, map[string]string{"patches.geojson": "mine"}, tree(t, dir), what)
	}
}

func TestAFolderInTheWayIsNamed(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "patches.geojson"), 0o777))
	assert.ErrorContains(t, errorOf(Write(dir, newSet(), nil)), "a folder stands where an output file belongs")
}

// failing refuses one step, counted from 1, and does the rest for real.
type failing struct {
	osSystem
	step, at int
}

var errRefused = errors.New("no space left")

func (f *failing) next() error {
	f.step++
	if f.step == f.at {
		return errRefused
	}
	return nil
}

func (f *failing) WriteSynced(file string, data []byte) error {
	if err := f.next(); err != nil {
		_ = os.WriteFile(file, data[:len(data)/2], 0o666)
		return err
	}
	return f.osSystem.WriteSynced(file, data)
}

func (f *failing) WriteStreamed(file string, write func(io.Writer) error) (string, error) {
	if err := f.next(); err != nil {
		_ = os.WriteFile(file, []byte("half"), 0o666)
		return "", err
	}
	return f.osSystem.WriteStreamed(file, write)
}

func (f *failing) Rename(a, b string) error {
	if err := f.next(); err != nil {
		return err
	}
	return f.osSystem.Rename(a, b)
}

func TestAFailureBeforeTheJournalLeavesTheOldFilesAndNoStaging(t *testing.T) {
	// Steps: 4 staged files, the draft, its rename; then 4 renames.
	for at := 1; at <= 6; at++ {
		dir := t.TempDir()
		overwrite(t, dir, oldSet())
		_, err := write(&failing{at: at}, dir, newSet(), nil)
		require.ErrorIs(t, err, errRefused)
		assert.ErrorContains(t, err, "earlier files are untouched")
		assert.Equal(t, content(oldSet()), tree(t, dir), "step %d", at)
	}
	fresh := filepath.Join(t.TempDir(), "out")
	require.ErrorIs(t, errorOf(write(&failing{at: 3}, fresh, newSet(), nil)), errRefused)
	_, err := os.Stat(fresh)
	assert.ErrorIs(t, err, fs.ErrNotExist, "a folder made for nothing stays")
}

func TestAFailureAmongTheRenamesIsFinishedByTheNextCommand(t *testing.T) {
	for at := 7; at <= 10; at++ {
		dir := t.TempDir()
		overwrite(t, dir, oldSet())
		_, err := write(&failing{at: at}, dir, newSet(), nil)
		require.ErrorIs(t, err, errRefused)
		assert.ErrorContains(t, err, "finishes the set first")
		assert.Equal(t, "old summary", tree(t, dir)["reconcile.json"], "the summary is last")

		r, err := Recover(dir, nil)
		require.NoError(t, err)
		assert.Equal(t, Finished, r)
		assert.Equal(t, content(newSet()), tree(t, dir), "step %d", at)
	}
}

func TestRecoverRefusesWhatItCannotTrust(t *testing.T) {
	mix := func(t *testing.T) string {
		dir := t.TempDir()
		overwrite(t, dir, oldSet())
		require.Error(t, errorOf(write(&failing{at: 8}, dir, newSet(), nil)))
		return dir
	}
	t.Run("a staged file changed", func(t *testing.T) {
		dir := mix(t)
		require.NoError(t, os.WriteFile(filepath.Join(dir, stagingName, "0002"), []byte("x"), 0o666))
		_, err := Recover(dir, nil)
		assert.ErrorContains(t, err, "damaged")
	})
	t.Run("a torn journal", func(t *testing.T) {
		dir := mix(t)
		file := filepath.Join(dir, stagingName, journalName)
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(file, data[:len(data)-20], 0o666))
		r, err := Recover(dir, nil)
		require.NoError(t, err)
		assert.Equal(t, Undone, r)
	})
	t.Run("a journal that climbs out", func(t *testing.T) {
		dir := mix(t)
		evil, err := journal{Moves: []move{{"0002", "../../evil", sum([]byte("new dbf"))}}}.encode()
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, stagingName, journalName), evil, 0o666))
		_, err = Recover(dir, nil)
		assert.ErrorContains(t, err, "is no output file")
	})
	t.Run("another release's journal", func(t *testing.T) {
		dir := mix(t)
		file := filepath.Join(dir, stagingName, journalName)
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		data = []byte(strings.Replace(string(data), journalForm, "ratewright/journal/2", 1))
		require.NoError(t, os.WriteFile(file, data, 0o666))
		_, err = Recover(dir, nil)
		assert.ErrorContains(t, err, "another release")
	})
	t.Run("a target that has become an input", func(t *testing.T) {
		dir := mix(t)
		_, err := Recover(dir, []string{filepath.Join(dir, "reconcile.json")})
		assert.ErrorContains(t, err, "overwrite an input")
	})
}

// removals records what is removed, in order.
type removals struct {
	osSystem
	names []string
}

func (r *removals) Remove(name string) error {
	r.names = append(r.names, filepath.Base(name))
	return r.osSystem.Remove(name)
}

// With the journal gone first, a death in mid-clearing cannot leave a journal
// whose staged files are missing, which would read as moved.
func TestTheJournalGoesBeforeTheStagedFiles(t *testing.T) {
	dir := t.TempDir()
	moves, _, err := stage(osSystem{}, dir, newSet())
	require.NoError(t, err)
	require.NoError(t, decide(osSystem{}, dir, journal{Moves: moves}))
	sys := &removals{}
	require.NoError(t, clear(sys, dir))
	assert.Equal(t, []string{journalName, "0000", "0001", "0002", "0003", stagingName}, sys.names)
	assert.Empty(t, tree(t, dir))
}
