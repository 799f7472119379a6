package asapplied

import (
	"bytes"
	"math"
	"strings"
)

// facts describe the values of one column in a sample of rows.
type facts struct {
	name      string
	index     int
	projected bool // positions are metres or feet, not degrees

	rows, filled  int
	numbers       int
	integers      int // numbers without a fraction
	negative      int
	falling       int // numbers below the one before
	lons          int // numbers that may be a longitude, and so on
	lats          int
	headings      int
	min, max      float64
	stamps, dates int // date with clock; date alone
	clocks        int // clock alone
	epochs        int // numbers that may be times
	dayFirst      int // dates such as 31/1/2006, that can only have the day first
	monthFirst    int // dates such as 1/31/2006
	eitherOrder   int // dates such as 1/2/2006
	states        int // on/off words and 0 to 3
	fixes         int // fix words and 0 to 20
	form          sectionFacts
	distinct      map[string]int // up to maxDistinct values
	many          bool           // more than that
	samples       []string       // the first few different values
}

const (
	maxDistinct = 64
	maxSamples  = 4
)

// most reports whether n is at least nine tenths of the filled cells.
func (f *facts) most(n int) bool { return f.filled > 0 && n*10 >= f.filled*9 }

// learn describes every column of a sample.
func learn(names []string, s sample, point byte) []facts {
	all := make([]facts, len(names))
	for i, name := range names {
		f := &all[i]
		*f = facts{name: name, index: i, min: math.Inf(1), max: math.Inf(-1), distinct: map[string]int{}}
		last := math.Inf(-1)
		for k, cells := range s.rows {
			f.see(cells[i], s.lines[k], point, &last)
		}
	}
	return all
}

// see adds one cell.
func (f *facts) see(cell string, line int, point byte, last *float64) {
	f.rows++
	if cell == "" {
		return
	}
	b := []byte(cell)
	if isNotNumber(b) {
		return
	}
	f.filled++
	if _, ok := f.distinct[cell]; ok || len(f.distinct) < maxDistinct {
		f.distinct[cell]++
	} else {
		f.many = true
	}
	if len(f.samples) < maxSamples && f.distinct[cell] == 1 {
		f.samples = append(f.samples, cell)
	}
	if v, ok := parseNumber(b, point); ok {
		f.seeNumber(v, *last)
		*last = v
	}
	f.seeTime(b)
	if _, ok := parseState(b); ok {
		f.states++
	}
	if _, ok := parseFix(b); ok {
		f.fixes++
	}
	f.form.see(b, line)
}

func (f *facts) seeNumber(v, last float64) {
	f.numbers++
	f.min, f.max = min(f.min, v), max(f.max, v)
	if v == math.Trunc(v) {
		f.integers++
	}
	if v < 0 {
		f.negative++
	}
	if v < last {
		f.falling++
	}
	if v >= -180 && v <= 180 {
		f.lons++
	}
	if v >= -90 && v <= 90 {
		f.lats++
	}
	if v >= -180 && v <= 360 {
		f.headings++
	}
	if _, ok := epochUnitOf(v); ok {
		f.epochs++
	}
}

// seeTime counts what may be a date or a clock, in either order of its day and
// month.
func (f *facts) seeTime(b []byte) {
	s, month := parseStamp(b, monthFirst)
	t, day := parseStamp(b, dayFirst)
	if !month {
		s = t
	}
	if !month && !day {
		return
	}
	switch {
	case s.slashed && month && day && s.month == s.day:
	case s.slashed && month && day:
		f.eitherOrder++
	case s.slashed && month:
		f.monthFirst++
	case s.slashed:
		f.dayFirst++
	}
	switch {
	case s.hasDate && s.hasClock:
		f.stamps++
	case s.hasDate:
		f.dates++
	default:
		f.clocks++
	}
}

// isNotNumber recognises the words by which programs write a missing number.
func isNotNumber(b []byte) bool {
	if len(b) > 9 || b[0]-'0' <= 9 && bytes.IndexByte(b, '#') < 0 {
		return false
	}
	switch strings.ToLower(strings.TrimLeft(string(b), "+-")) {
	case "nan", "inf", "infinity", "null", "na", "n/a", "#n/a", "1.#qnan", "1.#inf":
		return true
	}
	return false
}

// findPoint tells the decimal mark of a file by its sample: a comma only where
// it is not the separator and numbers with a comma outnumber those with a point.
func findPoint(s sample, sep byte) byte {
	if sep == ',' || sep == 0 {
		return '.'
	}
	commas, points := 0, 0
	for _, cells := range s.rows {
		for _, cell := range cells {
			b := []byte(cell)
			switch {
			case bytes.IndexByte(b, ',') > 0:
				if _, ok := parseNumber(b, ','); ok {
					commas++
				}
			case bytes.IndexByte(b, '.') > 0:
				if _, ok := parseNumber(b, '.'); ok {
					points++
				}
			}
		}
	}
	if commas > points {
		return ','
	}
	return '.'
}

// What the values of a role look like.

func fitsLon(f *facts) bool { return f.most(f.lons) || f.projected && f.most(f.numbers) }
func fitsLat(f *facts) bool { return f.most(f.lats) || f.projected && f.most(f.numbers) }

func fitsTime(f *facts) bool  { return f.most(f.stamps) || f.most(f.epochs) }
func fitsDate(f *facts) bool  { return f.most(f.dates) }
func fitsClock(f *facts) bool { return f.most(f.clocks) }

func fitsHeading(f *facts) bool { return f.most(f.headings) }
func fitsSpeed(f *facts) bool   { return f.most(f.numbers) }
func fitsAmount(f *facts) bool  { return f.most(f.numbers) && f.most(f.filled-f.negative) }

// fitsTotal accepts a total that starts again now and then.
func fitsTotal(f *facts) bool { return fitsAmount(f) && f.falling*20 <= f.numbers }

func fitsWorking(f *facts) bool  { return f.most(f.states) }
func fitsFix(f *facts) bool      { return f.most(f.fixes) }
func fitsLabel(f *facts) bool    { return f.filled > 0 && !f.many }
func fitsSections(f *facts) bool { return f.most(f.form.cells) || f.most(f.states) }

// risingTime is fitsTime for a column whose name says nothing: numbers must
// also rise.
func risingTime(f *facts) bool {
	return f.most(f.stamps) || f.most(f.epochs) && f.max > f.min && f.falling*20 <= f.numbers
}

// plainSections is fitsSections for a column whose name says nothing: rows of
// 0 and 1 that could hardly be numbers.
func plainSections(f *facts) bool {
	s := &f.form
	return f.most(s.binary) && s.minLen == s.maxLen && (s.leadingZero && s.minLen > 2 || s.minLen >= 8)
}
