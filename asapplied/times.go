package asapplied

import (
	"math"
	"strings"
	"time"
)

// Forms of time a log may have, all turned into UTC nanoseconds:
//
//   - seconds, milliseconds, microseconds or nanoseconds since 1970, told apart
//     by their size (for the years 1980 to 2100) or by the unit;
//   - RFC 3339 and its looser relatives, with or without an offset, such as
//     2006-01-02T15:04:05Z, 2006-01-02 15:04:05.2, 20060102T150405Z;
//   - US dates such as 1/2/2006 3:04:05 PM (month first), and with day first
//     where the unit says d/m/y or a day above 12 shows it; 2.1.2006 has the
//     day first;
//   - a date and a clock in two columns.
//
// A time without offset is local in the zone of the LogSpec.

// dateOrder says how dates such as 1/2/2006 are read.
type dateOrder uint8

const (
	orderUnknown dateOrder = iota
	monthFirst
	dayFirst
)

func (o dateOrder) String() string {
	if o == dayFirst {
		return "d/m/y"
	}
	return "m/d/y"
}

// stamp is a date, a clock, or both, as a cell says them.
type stamp struct {
	year, month, day int
	clockNS          int64 // since midnight
	offset           int64 // seconds east of UTC, where hasOffset
	hasDate          bool
	hasClock         bool
	hasOffset        bool
	slashed          bool // the order of day and month had to be known
}

// parseStamp reads a date, a clock or both. For slashed dates it takes order,
// month first when unknown.
func parseStamp(b []byte, order dateOrder) (stamp, bool) {
	var s stamp
	b = trim(b)
	if rest, ok := s.date(b, order); ok {
		b = rest
		if len(b) > 0 && (b[0] == 'T' || b[0] == 't' || b[0] == ',' || b[0] == ' ') {
			b = trim(b[1:])
		} else if len(b) > 0 {
			return stamp{}, false
		}
		if len(b) == 0 {
			return s, true
		}
	}
	rest, ok := s.clock(b)
	if !ok {
		return stamp{}, false
	}
	return s, s.zone(trim(rest))
}

// date reads the date at the start of b and returns what follows.
func (s *stamp) date(b []byte, order dateOrder) ([]byte, bool) {
	first, n := leadingInt(b)
	if n == 8 { // 20060102
		s.year, s.month, s.day = first/10000, first/100%100, first%100
		return b[8:], s.checkDate()
	}
	if n == 0 || n == 3 || n > 4 || len(b) == n {
		return nil, false
	}
	sep := b[n]
	if sep != '-' && sep != '/' && sep != '.' && sep != ' ' {
		return nil, false
	}
	b = b[n+1:]
	second, m := leadingInt(b)
	named := false
	if m == 0 {
		if second, named = monthNamed(b); !named {
			return nil, false
		}
		m = 3
	}
	if m > 2 && !named || len(b) == m || b[m] != sep || sep == ' ' && !named {
		return nil, false
	}
	b = b[m+1:]
	third, k := leadingInt(b)
	switch {
	case n == 4 && (k == 1 || k == 2):
		s.year, s.month, s.day = first, second, third
	case n <= 2 && (k == 2 || k == 4):
		if k == 2 {
			third += 2000
		}
		s.year, s.month, s.day = third, second, first
		if sep != '.' && !named {
			s.slashed = true
			if order != dayFirst {
				s.month, s.day = first, second
			}
		}
	default:
		return nil, false
	}
	return b[k:], s.checkDate()
}

// checkDate accepts days of the calendar from 1970 to 2199.
func (s *stamp) checkDate() bool {
	s.hasDate = s.year >= 1970 && s.year < 2200 && s.month >= 1 && s.month <= 12 &&
		s.day >= 1 && s.day <= daysIn(s.year, s.month)
	return s.hasDate
}

func daysIn(year, month int) int {
	switch {
	case month == 2 && year%4 == 0 && (year%100 != 0 || year%400 == 0):
		return 29
	case month == 2:
		return 28
	case month == 4 || month == 6 || month == 9 || month == 11:
		return 30
	}
	return 31
}

// monthNamed reads the three letters of an English month.
func monthNamed(b []byte) (int, bool) {
	if len(b) < 3 {
		return 0, false
	}
	i := strings.Index("janfebmaraprmayjunjulaugsepoctnovdec", strings.ToLower(string(b[:3])))
	return i/3 + 1, i >= 0 && i%3 == 0
}

// clock reads 15:04, 15:04:05.25, 150405 or 3:04:05 PM at the start of b and
// returns what follows.
func (s *stamp) clock(b []byte) ([]byte, bool) {
	h, n := leadingInt(b)
	var m, sec int
	switch {
	case n == 6: // 150405
		h, m, sec = h/10000, h/100%100, h%100
		b = b[6:]
	case (n == 1 || n == 2) && len(b) >= n+3 && b[n] == ':':
		b = b[n+1:]
		m, n = leadingInt(b)
		if n != 2 {
			return nil, false
		}
		b = b[2:]
		if len(b) > 0 && b[0] == ':' {
			if sec, n = leadingInt(b[1:]); n != 2 {
				return nil, false
			}
			b = b[3:]
		}
	default:
		return nil, false
	}
	var ns int64
	if len(b) > 1 && (b[0] == '.' || b[0] == ',') {
		ns, n = fraction(b[1:])
		if n == 0 {
			return nil, false
		}
		b = b[1+n:]
	}
	if half, rest, ok := halfDay(b); ok {
		if h < 1 || h > 12 {
			return nil, false
		}
		h, b = h%12+half, rest
	}
	if h > 23 || m > 59 || sec > 60 { // 60: a leap second counts as the next second
		return nil, false
	}
	s.clockNS = int64(h*3600+m*60+sec)*1e9 + ns
	s.hasClock = true
	return b, true
}

// halfDay reads AM (0) or PM (12).
func halfDay(b []byte) (hours int, rest []byte, ok bool) {
	b = trim(b)
	if len(b) < 2 || b[1] != 'M' && b[1] != 'm' {
		return 0, nil, false
	}
	switch b[0] {
	case 'A', 'a':
		return 0, b[2:], true
	case 'P', 'p':
		return 12, b[2:], true
	}
	return 0, nil, false
}

// zone reads what may follow a clock: nothing, Z, UTC, GMT, or an offset such
// as -05:00, -0500 or -05.
func (s *stamp) zone(b []byte) bool {
	switch string(b) {
	case "":
		return true
	case "Z", "z", "UTC", "GMT":
		s.hasOffset = true
		return true
	}
	if b[0] != '+' && b[0] != '-' {
		return false
	}
	east := b[0] == '+'
	h, n := leadingInt(b[1:])
	m, rest := 0, b[1+n:]
	switch {
	case n == 4:
		h, m = h/100, h%100
	case n == 2 && len(rest) == 3 && rest[0] == ':':
		if m, n = leadingInt(rest[1:]); n != 2 {
			return false
		}
		rest = nil
	case n != 2:
		return false
	}
	if len(rest) > 0 || h > 18 || m > 59 {
		return false
	}
	s.offset, s.hasOffset = int64(h*3600+m*60), true
	if !east {
		s.offset = -s.offset
	}
	return true
}

// leadingInt reads up to nine digits at the start of b; n counts all digits.
func leadingInt(b []byte) (v, n int) {
	for n < len(b) && b[n]-'0' <= 9 {
		if n < 9 {
			v = v*10 + int(b[n]-'0')
		}
		n++
	}
	return v, n
}

// fraction reads digits behind a decimal mark as nanoseconds; further digits
// are cut. n counts the digits.
func fraction(b []byte) (ns int64, n int) {
	scale := int64(1e8)
	for n < len(b) && b[n]-'0' <= 9 {
		ns += int64(b[n]-'0') * scale
		scale /= 10
		n++
	}
	return ns, n
}

// unixDay counts days since 1970-01-01 in the Gregorian calendar.
func unixDay(year, month, day int) int64 {
	if month < 3 { // years that begin in March, so that the leap day comes last
		year, month = year-1, month+12
	}
	return int64(365*year+year/4-year/100+year/400+(153*(month-3)+2)/5+day-1) - 719468
}

// unix is the stamp in seconds since 1970 as if its offset were zero.
func (s stamp) unix() int64 {
	return unixDay(s.year, s.month, s.day)*86400 + s.clockNS/1e9
}

// localClock turns local time into UTC. Where the clock is set back, an hour
// occurs twice: the first is taken unless that would go back in time by more
// than setBack.
type localClock struct {
	loc      *time.Location
	from, to int64 // UTC seconds between which offset holds
	offset   int64
	last     int64 // the UTC second before
	skipped  int   // times that the clock jumped over

	cutOff bool // what comes before is not known: last means nothing
	unsure bool // a time was met that only what comes before tells
}

// setBack, in seconds, is well above the backward steps of a log (a few
// seconds) and below the least change of a clock (half an hour).
const setBack = 60

func (c *localClock) utc(local int64) int64 {
	if u := local - c.offset; c.from < u && u < c.to {
		c.last = u
		return u
	}
	c.last = c.search(local)
	return c.last
}

// search resolves a time near a change of the zone's offset, and remembers the
// span in which a time is far from any change.
func (c *localClock) search(local int64) int64 {
	const day = 86400
	before, after := c.offsetAt(local-day), c.offsetAt(local+day)
	if before == after {
		start, end := time.Unix(local-before, 0).In(c.loc).ZoneBounds()
		c.cutOff = false
		c.from, c.to, c.offset = math.MinInt64, math.MaxInt64, before
		if !start.IsZero() {
			c.from = start.Unix() + day
		}
		if !end.IsZero() {
			c.to = end.Unix() - day
		}
		return local - before
	}
	first, second := local-before, local-after
	firstOK, secondOK := c.offsetAt(first) == before, c.offsetAt(second) == after
	if firstOK && secondOK {
		c.unsure = c.unsure || c.cutOff
	} else {
		c.cutOff = false
	}
	switch {
	case firstOK && secondOK && first < c.last-setBack && second >= c.last-setBack:
		return second
	case firstOK:
		return first
	case secondOK:
		return second
	}
	c.skipped++
	return first
}

func (c *localClock) offsetAt(unix int64) int64 {
	_, offset := time.Unix(unix, 0).In(c.loc).Zone()
	return int64(offset)
}

// epochUnits are the units of a numeric time by their nanoseconds.
var epochUnits = []struct {
	name string
	ns   int64
}{{"s", 1e9}, {"ms", 1e6}, {"us", 1e3}, {"ns", 1}}

// Bounds of a believable time of field work: 1980 and 2100, UTC seconds.
const (
	earliestUnix = 315532800
	latestUnix   = 4102444800
)

// epochUnitOf tells the unit of a number of seconds since 1970 by its size.
func epochUnitOf(v float64) (ns int64, ok bool) {
	for _, u := range epochUnits {
		if s := v * float64(u.ns) / 1e9; s >= earliestUnix && s < latestUnix {
			return u.ns, true
		}
	}
	return 0, false
}

// parseEpoch reads a plain decimal number of units of unitNS nanoseconds, in
// integers, so that no digit is lost.
func parseEpoch(b []byte, unitNS int64, point byte) (int64, bool) {
	b = trim(b)
	negative := len(b) > 0 && b[0] == '-'
	if negative {
		b = b[1:]
	}
	var v int64
	i := 0
	for ; i < len(b) && b[i]-'0' <= 9; i++ {
		if i == 19 || v > (math.MaxInt64-9)/10 {
			return 0, false
		}
		v = v*10 + int64(b[i]-'0')
	}
	if i == 0 || v > math.MaxInt64/unitNS-1 {
		return 0, false
	}
	v *= unitNS
	if i < len(b) {
		if b[i] != point {
			return 0, false
		}
		ns, n := fraction(b[i+1:])
		if i+1+n != len(b) {
			return 0, false
		}
		v += ns / (1e9 / unitNS)
	}
	if negative {
		v = -v
	}
	return v, true
}
