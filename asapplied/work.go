package asapplied

import "math"

// state is what a record says of the work.
type state int8

const (
	works  state = iota
	idle         // out of work, all sections off, or a rate of zero where they are on
	noRate       // at work, with a rate that has no value
)

// stateOf reads the state of record v of a log whose bar has these cells.
func stateOf(log *Log, v int, cells []cell) state {
	if log.Working != nil && log.Working[v] == 0 || log.Sections.N > 0 && !log.Sections.Any(v) {
		return idle
	}
	switch {
	case log.Flow != nil:
		return stateOfRate(log.Flow[v])
	case log.Rate.N == 0:
		return works
	case log.Rate.N == 1:
		return stateOfRate(log.Rate.V[v])
	}
	s := idle
	for _, c := range cells {
		if c.section >= 0 && !log.Sections.On(v, c.section) {
			continue
		}
		switch stateOfRate(log.cellRate(v, c)) {
		case works:
			s = works
		case noRate: // of part of the bar: what it put down there is not known
			return noRate
		}
	}
	return s
}

func stateOfRate(r float64) state {
	switch {
	case r > 0:
		return works
	case math.IsNaN(r):
		return noRate
	}
	return idle
}

// states reads the state of every fix and drops those at work whose rate has no
// value: the record before them holds until the next that has one.
func (t *track) states(drives []Drive, layouts []layout, c *counts) {
	kept := t.fixes[:0]
	for _, f := range t.fixes {
		f.state = stateOf(&drives[f.valuesIn].Log, int(f.values), layouts[f.valuesIn].cells)
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
