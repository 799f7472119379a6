package outputs

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"ratewright/geo/parallel"
)

// Write replaces the files of the set in dir, which it makes if needed, and
// removes those that only the summaries it replaces list under "files". inputs
// are the files that the command has read: a set that would overwrite one of
// them is refused before anything is written. On an error the files in dir are
// the old ones, unless the error says that the set waits to be finished. It returns
// the bytes of the summary.
func Write(dir string, set Set, inputs []string) ([]byte, error) {
	return write(osSystem{}, dir, set, inputs)
}

func write(sys system, dir string, set Set, inputs []string) (summary []byte, err error) {
	if err := set.check(); err != nil {
		return nil, err
	}
	_, statErr := sys.Stat(dir)
	if err := sys.MkdirAll(dir); err != nil {
		return nil, cannot(dir, "make the output folder", err)
	}
	if errors.Is(statErr, fs.ErrNotExist) {
		defer func() {
			if err != nil {
				_ = sys.Remove(dir) // goes only if it is empty
			}
		}()
	}
	release, err := lock(dir)
	if err != nil {
		return nil, err
	}
	defer func() {
		if releaseErr := release(); err == nil && releaseErr != nil {
			err = fmt.Errorf("the outputs are written, but the lock remains: %w", releaseErr)
		}
	}()
	if _, err := recoverLocked(sys, dir, inputs); err != nil {
		return nil, err
	}
	if err := refuseInputs(sys, dir, set.Names(), inputs); err != nil {
		return nil, err
	}
	var gone []move
	var goneErr error
	looked := parallel.Beside(func() { gone, goneErr = stale(sys, dir, set, inputs) })
	moves, summary, err := stage(sys, dir, set)
	if looked(); goneErr != nil {
		return nil, errors.Join(goneErr, clear(sys, dir))
	}
	if err == nil {
		moves = slices.Insert(moves, len(moves)-1, gone...) // the summary stays last
		err = decide(sys, dir, journal{Moves: moves})
	}
	if err != nil {
		return nil, errors.Join(unstaged(dir, err), clear(sys, dir))
	}
	if err := finish(sys, dir, journal{Moves: moves}); err != nil {
		return summary, err
	}
	set.tellRemoved(gone)
	return summary, nil
}

func (s Set) tellRemoved(gone []move) {
	if s.Removed == nil {
		return
	}
	names := make([]string, len(gone))
	for i, m := range gone {
		names[i] = m.Name
	}
	s.Removed(names)
}

// lock waits a few seconds for another command in the same folder: writing a set
// takes far less.
func lock(dir string) (func() error, error) {
	path := filepath.Join(dir, lockName)
	const tries, pause = 60, 50 * time.Millisecond
	for range tries {
		release, held, err := tryLock(path)
		if err != nil {
			return nil, cannot(dir, "lock the output folder", err)
		}
		if !held {
			return release, nil
		}
		time.Sleep(pause)
	}
	return nil, fmt.Errorf("%s: another ratewright command is writing there; wait until it ends, or choose another folder with -o", dir)
}

// refuseInputs compares files, not names: a link or another spelling of an
// input is an input.
func refuseInputs(sys system, dir string, names, inputs []string) error {
	for _, name := range names {
		path := filepath.Join(dir, filepath.FromSlash(name))
		target, err := sys.Stat(path)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return err
		}
		if target.IsDir() {
			return fmt.Errorf("%s: a folder stands where an output file belongs; move it, or choose another folder with -o", path)
		}
		for _, input := range inputs {
			if in, err := sys.Stat(input); err == nil && os.SameFile(in, target) {
				return fmt.Errorf("%s: this output would overwrite an input of the job; choose another folder with -o", path)
			}
		}
	}
	return nil
}

// stage writes the new files beside the old ones. It returns the bytes of the summary.
func stage(sys system, dir string, set Set) (moves []move, summary []byte, err error) {
	staging := filepath.Join(dir, stagingName)
	if err := sys.MkdirAll(staging); err != nil {
		return nil, nil, err
	}
	return stageFiles(sys, staging, set)
}

// decide decides a staged set by the rename of its journal.
func decide(sys system, dir string, j journal) error {
	data, err := j.encode()
	if err != nil {
		return err
	}
	staging := filepath.Join(dir, stagingName)
	draft := filepath.Join(staging, draftName)
	if err := sys.WriteSynced(draft, data); err != nil {
		return err
	}
	if err := sys.SyncDir(staging); err != nil {
		return err
	}
	if err := sys.SyncDir(dir); err != nil {
		return err
	}
	if err := sys.Rename(draft, filepath.Join(staging, journalName)); err != nil {
		return err
	}
	return sys.SyncDir(staging)
}

// stageFiles writes the files of a set side by side, then in their order those that
// are made of the sums of others. It returns the bytes of the summary, the last.
func stageFiles(sys system, staging string, set Set) (moves []move, summary []byte, err error) {
	files := set.ordered()
	moves, errs := make([]move, len(files)), make([]error, len(files))
	stageOne := func(i int) {
		f, m := files[i], &moves[i]
		*m = move{Staged: fmt.Sprintf("%04d", i), Name: f.Name}
		m.SHA256, errs[i] = sys.WriteStreamed(filepath.Join(staging, m.Staged), f.Put)
	}
	parallel.Each(len(files), set.Workers, func(i int) {
		if files[i].From == nil {
			stageOne(i)
		}
	})
	for _, err := range errs {
		if err != nil {
			return nil, nil, err // of the rest, most say the same
		}
	}
	sums := make(Sums, len(files))
	for i := range files {
		f := &files[i]
		if f.From != nil {
			if f.Data, err = f.From(sums); err != nil {
				return nil, nil, err
			}
			if stageOne(i); errs[i] != nil {
				return nil, nil, errs[i]
			}
		}
		sums[f.Name] = moves[i].SHA256
	}
	return moves, files[len(files)-1].Data, nil
}
