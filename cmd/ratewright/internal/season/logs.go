package season

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"sync"

	"ratewright/asapplied"
	"ratewright/rx"
)

// keptLogBytes bounds what shared logs take in memory: about six million records
// of a log with rate, depth, heading and speed.
const keptLogBytes = 768 << 20

// logs keeps the logs that several jobs read in the same way.
type logs struct {
	limit int64
	read  func(asapplied.LogSpec) (asapplied.Log, error)

	mu     sync.Mutex
	shared map[string]*sharedLog
	held   int64
	clock  int
}

// sharedLog is one log that several jobs read.
type sharedLog struct {
	reading sync.Mutex
	err     error // why it cannot be read; guarded by reading

	// Guarded by logs.mu.
	users int                 // jobs that are not done with it
	split *asapplied.SplitLog // nil while it is not in memory
	used  int                 // when, by the clock of logs
}

func newLogs(limit int64) *logs {
	return &logs{limit: limit, read: asapplied.ReadLog, shared: map[string]*sharedLog{}}
}

// logKey is the same for specs that read the same log.
func logKey(spec asapplied.LogSpec) (string, error) {
	files := make([]string, len(spec.Files))
	for i, file := range spec.Files {
		abs, err := filepath.Abs(file)
		if err != nil {
			return "", err
		}
		files[i] = abs
	}
	spec.Files, spec.Workers = files, 0 // however many read it, it is the same log
	zone := ""
	if spec.Zone != nil {
		zone, spec.Zone = spec.Zone.String(), nil
	}
	text, err := json.Marshal(spec)
	return fmt.Sprintf("%s %q", text, zone), err
}

// expect says that a job is going to read the logs of the keys, which are
// different ones.
func (l *logs) expect(keys []string) {
	for _, k := range keys {
		if l.shared[k] == nil {
			l.shared[k] = &sharedLog{}
		}
		l.shared[k].users++
	}
}

// settle ends the time of expecting: logs of a single job are not kept.
func (l *logs) settle() {
	for k, s := range l.shared {
		if s.users < 2 {
			delete(l.shared, k)
		}
	}
}

// done says that a job is done with the logs of the keys.
func (l *logs) done(keys []string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, k := range keys {
		s := l.shared[k]
		if s == nil {
			continue
		}
		if s.users--; s.users == 0 {
			l.drop(s)
			delete(l.shared, k)
		}
	}
}

// readFor reads a log for a field: from its files, or its part of a log that is
// in memory.
func (l *logs) readFor(spec asapplied.LogSpec, field rx.Field) (asapplied.Log, error) {
	key, err := logKey(spec)
	if err != nil {
		return asapplied.Log{}, err
	}
	l.mu.Lock()
	s := l.shared[key]
	l.mu.Unlock()
	if s == nil {
		return l.read(spec)
	}
	split, err := l.load(s, spec)
	if err != nil {
		return asapplied.Log{}, err
	}
	return split.Near(field.Boundary), nil
}

// load returns the log, read from its files where it is not in memory. A second
// job that needs it waits for the first.
func (l *logs) load(s *sharedLog, spec asapplied.LogSpec) (*asapplied.SplitLog, error) {
	s.reading.Lock()
	defer s.reading.Unlock()
	if split := l.touch(s); split != nil || s.err != nil {
		return split, s.err
	}
	log, err := l.read(spec)
	if err != nil {
		s.err = err
		return nil, err
	}
	split := asapplied.Split(log)
	l.keep(s, split)
	return split, nil
}

func (l *logs) touch(s *sharedLog) *asapplied.SplitLog {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.clock++
	s.used = l.clock
	return s.split
}

// keep holds on to a log, and lets go of those not used for longest while there
// are too many. One log always stays, however large.
func (l *logs) keep(s *sharedLog, split *asapplied.SplitLog) {
	l.mu.Lock()
	defer l.mu.Unlock()
	s.split = split
	l.held += split.Bytes()
	for l.held > l.limit {
		var oldest *sharedLog
		for _, other := range l.shared {
			if other != s && other.split != nil && (oldest == nil || other.used < oldest.used) {
				oldest = other
			}
		}
		if oldest == nil {
			return
		}
		l.drop(oldest)
	}
}

// drop lets a log go. A job that is taking its part has its own hold on it.
func (l *logs) drop(s *sharedLog) {
	if s.split != nil {
		l.held -= s.split.Bytes()
		s.split = nil
	}
}
