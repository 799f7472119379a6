package asapplied

import (
	"fmt"
	"strings"
	"time"
)

// timeFill reads the time of a record from one column or two.
type timeFill struct {
	cols   []int // the time; or the date and the clock
	unitNS int64 // of a number; 0 for text
	order  dateOrder
	point  byte
	clock  *localClock // nil where no zone is known
	note   string

	local int // times without an offset
	day   day // of the time before
}

// day is a date as text such as 2006-01-02 and what it says. The times of a log
// mostly have the date of the time before.
type day struct {
	text [len("2006-01-02")]byte
	date stamp
}

// stamp is parseStamp, which reads a date but once where it follows itself.
func (f *timeFill) stamp(b []byte) (stamp, bool) {
	const n = len(f.day.text)
	dated := len(b) > n && (b[n] == 'T' || b[n] == ' ')
	if dated && string(b[:n]) == string(f.day.text[:]) {
		s := f.day.date
		if rest, ok := s.clock(trim(b[n+1:])); ok {
			return s, s.zone(trim(rest))
		}
	}
	s, ok := parseStamp(b, f.order)
	if dated && ok && s.hasDate && b[4] == '-' && b[7] == '-' {
		f.day.date = stamp{year: s.year, month: s.month, day: s.day, hasDate: true, slashed: s.slashed}
		copy(f.day.text[:], b)
	}
	return s, ok
}

// newTimeFill settles how the times of a file are written; nil means that the
// file has none.
func newTimeFill(m *mapping, spec LogSpec, point byte) (*timeFill, error) {
	f := &timeFill{point: point}
	if spec.Zone != nil {
		f.clock = &localClock{loc: spec.Zone}
	}
	if a, ok := m.get(RoleTime); ok {
		f.cols = a.cols
		return f, f.settle(m, spec, RoleTime, fitsTime)
	}
	date, hasDate := m.get(RoleDate)
	clock, hasClock := m.get(RoleClock)
	switch {
	case !hasDate && !hasClock:
		return nil, nil
	case !hasDate || !hasClock:
		return m.halfTime(hasDate)
	}
	f.cols = []int{date.cols[0], clock.cols[0]}
	if err := f.settle(m, spec, RoleDate, fitsDate); err != nil {
		return nil, err
	}
	if c := &m.facts[f.cols[1]]; c.filled > 0 && !fitsClock(c) {
		return nil, m.errorf("write times of day such as 15:04:05 or 3:04:05 PM",
			"the values of column %q, such as %q, are not times of day", c.name, c.example())
	}
	return f, nil
}

// halfTime handles a date without clock or the reverse: an error where the job
// named it, else no time.
func (m *mapping) halfTime(hasDate bool) (*timeFill, error) {
	have, lack := RoleClock, RoleDate
	if hasDate {
		have, lack = RoleDate, RoleClock
	}
	a, _ := m.get(have)
	if a.guessed {
		m.drop(have)
		return nil, nil
	}
	return nil, m.errorf(fmt.Sprintf("name it under columns: {%s: NAME}", lack), "the role %s has a column but the role %s has none", have, lack)
}

// settle decides between numbers and text, the unit of a number, and the order
// of day and month.
func (f *timeFill) settle(m *mapping, spec LogSpec, name string, fits func(*facts) bool) error {
	c := &m.facts[f.cols[0]]
	said, ok := spec.Units[name]
	if ok {
		var err error
		if f.unitNS, f.order, err = parseTimeUnit(name, said); err != nil {
			return m.errorf("", "%s", err)
		}
	}
	if f.unitNS == 0 && name == RoleTime && c.most(c.epochs) {
		f.unitNS, _ = epochUnitOf(c.max)
	}
	if f.unitNS != 0 {
		if c.filled > 0 && !c.most(c.numbers) {
			return m.errorf("leave the unit out", "the values of column %q, such as %q, are not numbers, yet its unit is %q", c.name, c.example(), said)
		}
		if c.filled > 0 && !c.most(c.epochs) {
			f.note = fmt.Sprintf("%s: the times of column %q do not fall between 1980 and 2100 and are taken as a count from any start", m.path, c.name)
		}
		return nil
	}
	if name == RoleTime && c.most(c.numbers) && !fits(c) {
		return m.errorf("write such times throughout, and name the column of them; for a count from any start write units: {time: s}",
			"the values of column %q run from %s to %s and are not times: numbers are read as s, ms, us or ns since 1970, between 1980 and 2100", c.name, shortNumber(c.min), shortNumber(c.max))
	}
	if c.filled > 0 && !fits(c) {
		return m.errorf("write RFC 3339 (2006-01-02T15:04:05Z), 2006-01-02 15:04:05, 1/2/2006 3:04:05 PM or seconds since 1970; "+
			"for a date and a clock apart name the roles date and clock; for a count from any start write units: {time: s}",
			"the values of column %q, such as %q, are not readable as %s", c.name, c.example(), name)
	}
	return f.settleOrder(m, name)
}

// parseTimeUnit reads what a job says of times: the unit of numbers, or the
// order of dates.
func parseTimeUnit(name, said string) (unitNS int64, order dateOrder, err error) {
	text := strings.ToLower(strings.TrimSpace(said))
	for _, u := range epochUnits {
		if text == u.name && name == RoleTime {
			return u.ns, orderUnknown, nil
		}
	}
	switch text {
	case "m/d/y", "mm/dd/yyyy", "m/d/yyyy":
		return 0, monthFirst, nil
	case "d/m/y", "dd/mm/yyyy", "d/m/yyyy":
		return 0, dayFirst, nil
	}
	return 0, orderUnknown, fmt.Errorf("%q is not a unit of the role %s; write s, ms, us or ns for numbers since 1970, m/d/y or d/m/y for dates", said, name)
}

// settleOrder tells month-first from day-first dates where some day is above 12.
func (f *timeFill) settleOrder(m *mapping, name string) error {
	if f.order != orderUnknown {
		return nil
	}
	c := &m.facts[f.cols[0]]
	switch {
	case c.dayFirst > 0 && c.monthFirst > 0:
		return m.errorf("write one order throughout", "column %q has dates with the day first and dates with the month first", c.name)
	case c.dayFirst > 0:
		f.order = dayFirst
	case c.eitherOrder > 0 && c.monthFirst == 0:
		f.note = fmt.Sprintf("%s: dates such as %q are read with the month first; write units: {%s: d/m/y} if the day comes first", m.path, c.example(), name)
	}
	return nil
}

// read returns the time of a row in UTC nanoseconds. wrong is a date that
// contradicts the order settled before.
func (f *timeFill) read(w *row) (ns int64, ok, wrong bool) {
	b := w.cells.at(f.cols[0])
	if f.unitNS != 0 {
		ns, ok = parseEpoch(b, f.unitNS, f.point)
		return ns, ok, false
	}
	s, ok := f.stamp(b)
	if !ok {
		other := dayFirst
		if f.order == dayFirst {
			other = monthFirst
		}
		s, ok = parseStamp(b, other)
		return 0, false, ok && s.slashed
	}
	if len(f.cols) == 2 {
		t, ok := parseStamp(w.cells.at(f.cols[1]), f.order)
		if !ok || !t.hasClock || t.hasDate {
			return 0, false, false
		}
		s.clockNS, s.hasClock, s.offset, s.hasOffset = t.clockNS, true, t.offset, t.hasOffset
	}
	if !s.hasDate || !s.hasClock {
		return 0, false, false
	}
	return f.utc(s), true, false
}

// utc turns a stamp into UTC nanoseconds.
func (f *timeFill) utc(s stamp) int64 {
	unix := s.unix()
	switch {
	case s.hasOffset:
		unix -= s.offset
	case f.clock != nil:
		f.local++
		unix = f.clock.utc(unix)
	default:
		f.local++
	}
	return unix*1e9 + s.clockNS%1e9
}

// notes says what had to be assumed.
func (f *timeFill) notes(m *mapping, zone *time.Location) []string {
	var out []string
	if f.note != "" {
		out = append(out, f.note)
	}
	if f.local > 0 && zone == nil {
		out = append(out, fmt.Sprintf("%s: %d times name no zone and are taken as UTC; write zone: (such as America/Chicago) to say which", m.path, f.local))
	}
	if f.clock != nil && f.clock.skipped > 0 {
		out = append(out, fmt.Sprintf("%s: %d local times do not exist in %s, for the clock is set forward there; they are taken as before the change",
			m.path, f.clock.skipped, zone))
	}
	return out
}
