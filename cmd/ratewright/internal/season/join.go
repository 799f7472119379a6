package season

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
)

// Join makes the table of the whole season from those of its shards, in any
// order.
//
// Errors: a folder without the table of a shard; shards of another number, of
// other jobs or by another program; one that is missing or there twice; a table
// that lacks jobs of its shard.
func Join(dirs []string) (Result, error) {
	shards := make([]Season, len(dirs))
	res := Result{}
	for i, dir := range dirs {
		s, err := readSeason(dir)
		if errors.Is(err, fs.ErrNotExist) {
			return res, fmt.Errorf("%s: there is no %s; name the folders that hold the tables of shards", dir, jsonName)
		}
		if err != nil {
			return res, err
		}
		if s.Shard == nil {
			return res, fmt.Errorf("%s: holds a whole season, not a shard; name the folders of shards, such as out/shard-1-of-2", dir)
		}
		shards[i] = s
		res.Inputs = append(res.Inputs, filepath.Join(dir, jsonName), filepath.Join(dir, csvName))
	}
	if err := fit(dirs, shards); err != nil {
		return res, err
	}
	whole := Season{Schema: Schema, Program: shards[0].Program, Jobs: shards[0].Jobs, List: shards[0].List, Notes: []string{}}
	for i := range shards {
		for k := range shards[i].Rows {
			shards[i].Rows[k].findResults(dirs[i])
		}
		whole.Rows = append(whole.Rows, shards[i].Rows...)
		for _, n := range shards[i].Notes {
			if !slices.Contains(whole.Notes, n) {
				whole.Notes = append(whole.Notes, n)
			}
		}
	}
	slices.SortStableFunc(whole.Rows, func(a, b Row) int { return cmp.Compare(a.Number, b.Number) })
	res.Season = whole
	res.Season.finish()
	var err error
	res.Dir, err = joinedFolder(dirs)
	return res, err
}

// joinedFolder is where the whole table goes unless the caller says: beside the
// folders of the shards.
func joinedFolder(dirs []string) (string, error) {
	common, err := commonFolder(dirs)
	if err != nil {
		return "", err
	}
	for _, dir := range dirs {
		if absolute(dir) == common {
			return filepath.Dir(common), nil
		}
	}
	return common, nil
}

// fit refuses shards that do not make up one season.
func fit(dirs []string, shards []Season) error {
	first := &shards[0]
	at := map[int]string{} // shard -> folder
	for i := range shards {
		s, dir := &shards[i], dirs[i]
		switch {
		case s.Program != first.Program:
			return fmt.Errorf("%s and %s were made by two programs (SHA-256 %.12s and %.12s); run the shards of both with one", dirs[0], dir, first.Program, s.Program)
		case s.Shard.Of != first.Shard.Of:
			return fmt.Errorf("%s is one of %d shards, %s one of %d; name the shards of one run alone, all with the same N of --shard I/N", dirs[0], first.Shard.Of, dir, s.Shard.Of)
		case s.List != first.List || s.Jobs != first.Jobs:
			return fmt.Errorf("%s and %s were cut from different lists of jobs (%d and %d); give every shard the same folders, and run them again", dirs[0], dir, first.Jobs, s.Jobs)
		}
		if other, ok := at[s.Shard.Index]; ok {
			return fmt.Errorf("shard %d/%d is there twice: %s and %s; name the folder of each shard once", s.Shard.Index, s.Shard.Of, other, dir)
		}
		at[s.Shard.Index] = dir
		if err := complete(dir, s); err != nil {
			return err
		}
	}
	var missing []string
	for i := 1; i <= first.Shard.Of; i++ {
		if _, ok := at[i]; !ok {
			missing = append(missing, fmt.Sprintf("%d/%d", i, first.Shard.Of))
		}
	}
	if len(missing) > 0 {
		return fmt.Errorf("missing: shard %s; name the folders of all shards", strings.Join(missing, ", "))
	}
	return nil
}

// changedByHand says why a shard's table is no good, and what to do.
const changedByHand = "the table was changed by hand: " + runAgain

// complete looks that the table has rows of exactly the jobs of its shard.
func complete(dir string, s *Season) error {
	path := filepath.Join(dir, jsonName)
	if _, err := ParseShard(fmt.Sprintf("%d/%d", s.Shard.Index, s.Shard.Of)); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	jobs := map[int]bool{}
	for _, r := range s.Rows {
		if r.Number < 1 || r.Number > s.Jobs || !s.Shard.holds(r.Number) {
			return fmt.Errorf("%s: job %d (%s) does not belong to shard %d/%d; %s", path, r.Number, r.Job, s.Shard.Index, s.Shard.Of, changedByHand)
		}
		if r.State != Done && r.State != Failed && r.State != Unchanged {
			return fmt.Errorf("%s: job %d (%s) has the state %q, which is none; %s", path, r.Number, r.Job, r.State, changedByHand)
		}
		jobs[r.Number] = true
	}
	if want := s.Shard.size(s.Jobs); len(jobs) != want {
		return fmt.Errorf("%s: has %d jobs of the %d of its shard; %s", path, len(jobs), want, changedByHand)
	}
	return nil
}
