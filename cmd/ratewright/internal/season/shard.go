package season

import (
	"fmt"
	"strconv"
	"strings"
)

// Shard is a part of the jobs: every Of-th from the Index-th on, counted from 1.
// The zero value is all of them.
type Shard struct {
	Index int `json:"index"`
	Of    int `json:"of"`
}

// ParseShard reads I/N.
func ParseShard(text string) (Shard, error) {
	index, of, ok := strings.Cut(text, "/")
	i, errI := strconv.Atoi(index)
	n, errN := strconv.Atoi(of)
	if !ok || errI != nil || errN != nil {
		return Shard{}, fmt.Errorf("%q is no shard; write I/N, such as 3/20 for the third of twenty", text)
	}
	if n < 1 || i < 1 || i > n {
		return Shard{}, fmt.Errorf("there is no shard %s: shards are counted from 1, so that I of I/N lies between 1 and N (an index that starts at 0 needs 1 added)", text)
	}
	return Shard{i, n}, nil
}

// whole tells whether it is all jobs.
func (s Shard) whole() bool { return s.Of == 0 }

// holds tells whether the job of a number, counted from 1, is in the shard.
func (s Shard) holds(number int) bool {
	return s.whole() || (number-1)%s.Of == s.Index-1
}

// size is the number of jobs of the shard, of so many in all.
func (s Shard) size(jobs int) int {
	if s.whole() {
		return jobs
	}
	return (jobs - s.Index + s.Of) / s.Of
}

// folder is the name of the folder of the shard's tables: shard-3-of-20.
func (s Shard) folder() string { return fmt.Sprintf("shard-%d-of-%d", s.Index, s.Of) }
