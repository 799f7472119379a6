package asapplied

import "math"

// state is what a record says of the work.
type state int8

const (
	works  state = iota
	idle         // out of work, all sections off, or a rate of zero
	noRate       // at work, with a rate that has no value
)

// stateOf reads the state of record v of a log.
func stateOf(log *Log, v int) state {
	if log.Working != nil && log.Working[v] == 0 || log.Sections.N > 0 && !log.Sections.Any(v) {
		return idle
	}
	switch {
	case log.Flow != nil:
		return stateOfRates(log.Flow[v : v+1])
	case log.Rate.N > 0:
		return stateOfRates(log.Rate.Row(v))
	}
	return works
}

// stateOfRates tells whether some rate is above zero.
func stateOfRates(rates []float64) state {
	s := noRate
	for _, r := range rates {
		if r > 0 {
			return works
		}
		if !math.IsNaN(r) {
			s = idle
		}
	}
	return s
}

// states reads the state of every fix and drops those at work whose rate has no
// value: the record before them holds until the next that has one.
func (t *track) states(drives []Drive, c *counts) {
	kept := t.fixes[:0]
	for _, f := range t.fixes {
		f.state = stateOf(&drives[f.log].Log, int(f.values))
		switch f.state {
		case noRate:
			c.drop(DropNoRate, 1)
			continue
		case idle:
			c.notWorking++
		}
		kept = append(kept, f)
	}
	t.fixes = kept
}
