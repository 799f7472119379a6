package outputs

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// Write replaces the files of the set in dir, which it makes if needed, and
// removes those that only the summaries it replaces list under "files". inputs
// are the files that the command has read: a set that would overwrite one of
// them is refused before anything is written. On an error the files in dir are
// the old ones, unless the error says that the set waits to be finished.
func Write(dir string, set Set, inputs []string) error {
	return write(osSystem{}, dir, set, inputs)
}

func write(sys system, dir string, set Set, inputs []string) (err error) {
	if err := set.check(); err != nil {
		return err
	}
	_, statErr := sys.Stat(dir)
	if err := sys.MkdirAll(dir); err != nil {
		return fmt.Errorf("cannot make the output folder: %w; choose another with -o", err)
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
		return err
	}
	defer func() {
		if releaseErr := release(); err == nil && releaseErr != nil {
			err = fmt.Errorf("the outputs are written, but the lock remains: %w", releaseErr)
		}
	}()
	if _, err := recoverLocked(sys, dir, inputs); err != nil {
		return err
	}
	if err := refuseInputs(sys, dir, set.Names(), inputs); err != nil {
		return err
	}
	gone, err := stale(sys, dir, set, inputs)
	if err != nil {
		return err
	}
	j, err := stage(sys, dir, set, gone)
	if err != nil {
		return errors.Join(fmt.Errorf("cannot write the outputs: %w; the earlier files are untouched", err), clear(sys, dir))
	}
	return finish(sys, dir, j)
}

// lock waits a few seconds for another command in the same folder: writing a set
// takes far less.
func lock(dir string) (func() error, error) {
	path := filepath.Join(dir, lockName)
	const tries, pause = 60, 50 * time.Millisecond
	for range tries {
		release, held, err := tryLock(path)
		if err != nil {
			return nil, fmt.Errorf("cannot lock the output folder: %w; choose another with -o", err)
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

// stage writes the new files and decides the set, with the removal of what is
// gone from it, by the journal's rename.
func stage(sys system, dir string, set Set, gone []move) (journal, error) {
	staging := filepath.Join(dir, stagingName)
	if err := sys.MkdirAll(staging); err != nil {
		return journal{}, err
	}
	var j journal
	for i, f := range set.ordered() {
		m := move{Staged: fmt.Sprintf("%04d", i), Name: f.Name}
		var err error
		if f.Write != nil {
			m.SHA256, err = sys.WriteStreamed(filepath.Join(staging, m.Staged), f.Write)
		} else {
			m.SHA256, err = sum(f.Data), sys.WriteSynced(filepath.Join(staging, m.Staged), f.Data)
		}
		if err == nil && f.SHA256 != "" && f.SHA256 != m.SHA256 {
			err = fmt.Errorf("%s came out differently the second time, which is a fault of ratewright itself", f.Name)
		}
		if err != nil {
			return journal{}, err
		}
		j.Moves = append(j.Moves, m)
	}
	j.Moves = slices.Insert(j.Moves, len(j.Moves)-1, gone...) // the summary stays last
	data, err := j.encode()
	if err != nil {
		return journal{}, err
	}
	draft := filepath.Join(staging, draftName)
	if err := sys.WriteSynced(draft, data); err != nil {
		return journal{}, err
	}
	if err := sys.SyncDir(staging); err != nil {
		return journal{}, err
	}
	if err := sys.SyncDir(dir); err != nil {
		return journal{}, err
	}
	if err := sys.Rename(draft, filepath.Join(staging, journalName)); err != nil {
		return journal{}, err
	}
	return j, sys.SyncDir(staging)
}
