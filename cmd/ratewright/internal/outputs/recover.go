package outputs

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
)

// Recovery tells what [Recover] met in a folder.
type Recovery int

const (
	// Clean: no command has died in this folder.
	Clean Recovery = iota
	// Undone: a command died before its set was decided; the files are the old ones.
	Undone
	// Finished: a command died while its files were being replaced; they are all new now.
	Finished
)

// Recover finishes or undoes what a command that died in dir has left. It is
// meant for the start of every command that reads or writes there. A folder
// that does not exist is clean. inputs are files that must not be overwritten.
func Recover(dir string, inputs []string) (Recovery, error) {
	return recoverDir(osSystem{}, dir, inputs)
}

func recoverDir(sys system, dir string, inputs []string) (r Recovery, err error) {
	if missing(sys, filepath.Join(dir, stagingName)) && missing(sys, filepath.Join(dir, lockName)) {
		return Clean, nil
	}
	release, err := lock(dir)
	if err != nil {
		return Clean, err
	}
	defer func() {
		if releaseErr := release(); err == nil {
			err = releaseErr
		}
	}()
	return recoverLocked(sys, dir, inputs)
}

func recoverLocked(sys system, dir string, inputs []string) (Recovery, error) {
	staging := filepath.Join(dir, stagingName)
	litter, err := sys.ReadDir(staging)
	if errors.Is(err, fs.ErrNotExist) {
		return Clean, nil
	}
	if err != nil {
		return Clean, err
	}
	if len(litter) == 0 {
		return Clean, clear(sys, dir)
	}
	j, ok, err := readJournal(sys, staging)
	if err != nil {
		return Clean, err
	}
	if !ok {
		return Undone, clear(sys, dir)
	}
	names := make([]string, len(j.Moves))
	for i, m := range j.Moves {
		names[i] = m.Name
	}
	if err := refuseInputs(sys, dir, names, inputs); err != nil {
		return Clean, err
	}
	return Finished, finish(sys, dir, j)
}

func missing(sys system, path string) bool {
	_, err := sys.Stat(path)
	return errors.Is(err, fs.ErrNotExist)
}

// finish moves what is still staged to its place and removes what is gone from
// the set, in the journal's order, and then the staging folder. It may be repeated from any point.
func finish(sys system, dir string, j journal) error {
	staging := filepath.Join(dir, stagingName)
	for _, m := range j.Moves {
		if m.Staged == "" {
			if err := remove(sys, dir, m); err != nil {
				return err
			}
			continue
		}
		staged := filepath.Join(staging, m.Staged)
		got, err := sys.Sum(staged)
		if errors.Is(err, fs.ErrNotExist) {
			continue // moved before
		}
		if err != nil {
			return err
		}
		if got != m.SHA256 {
			return fmt.Errorf("%s: the staged copy of %s was damaged, so the set cannot be finished; delete the folder %s and run your commands again", staging, m.Name, stagingName)
		}
		if err := place(sys, dir, staged, m.Name); err != nil {
			return err
		}
	}
	return clear(sys, dir)
}

// remove takes away a file that the new set does not have.
func remove(sys system, dir string, m move) error {
	if !unchanged(sys, dir, m.Name, m.SHA256) {
		return nil // removed before, or no longer what the old summary listed
	}
	target := filepath.Join(dir, filepath.FromSlash(m.Name))
	if err := sys.Remove(target); err != nil {
		return waiting(target, err)
	}
	return flush(sys, filepath.Dir(target))
}

func place(sys system, dir, staged, name string) error {
	target := filepath.Join(dir, filepath.FromSlash(name))
	folder := filepath.Dir(target)
	if err := sys.MkdirAll(folder); err != nil {
		return waiting(target, err)
	}
	if err := sys.Rename(staged, target); err != nil {
		return waiting(target, err)
	}
	return flush(sys, folder)
}

func flush(sys system, folder string) error {
	if err := sys.SyncDir(folder); err != nil {
		return fmt.Errorf("%s: what was written there may not have reached the disk: %w; %s and run the command again, which finishes the set first",
			folder, plain(err), remedy(err))
	}
	return nil
}

// clear removes the staging folder, the journal first: without it the rest is
// only litter, whatever happens next.
func clear(sys system, dir string) error {
	staging := filepath.Join(dir, stagingName)
	err := sys.Remove(filepath.Join(staging, journalName))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	entries, err := sys.ReadDir(staging)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if err := sys.SyncDir(staging); err != nil {
		return err
	}
	for _, e := range entries {
		if err := sys.Remove(filepath.Join(staging, e.Name())); err != nil {
			return err
		}
	}
	if err := sys.Remove(staging); err != nil {
		return err
	}
	return sys.SyncDir(dir)
}
