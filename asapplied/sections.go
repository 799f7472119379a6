package asapplied

import (
	"fmt"
	"math/bits"
	"slices"
	"strconv"
	"strings"
)

// sectionForm is how one column holds the state of all sections.
type sectionForm uint8

const (
	formUnknown sectionForm = iota
	formString              // one character a section, the first the leftmost: 0, 1, or 2 and 3 for error and not installed
	formDecimal             // a bit mask, bit 0 the leftmost section
	formHex                 // the same in hexadecimal, with or without 0x
	formWord                // on or off for the whole bar
)

func (f sectionForm) String() string {
	return [...]string{"", "string", "decimal", "hex", "word"}[f]
}

// maxSections is how many sections a string may have; a mask has up to 64.
const maxSections = 1024

// sectionFacts describe the cells of a column as states of sections.
type sectionFacts struct {
	cells       int // cells that read as some form
	binary      int // characters 0 and 1 only
	states      int // characters 0 to 3 only
	decimal     int // digits only
	prefixed    int // 0x and hex digits
	hex         int // hex digits only, 0x or not
	minLen      int
	maxLen      int
	leadingZero bool          // in a cell of digits and more than one of them
	lengths     []lengthFacts // cells without 0x, by their length; in the order of the file
}

// lengthFacts describe the cells of one length.
type lengthFacts struct {
	cells int
	first string // the first of them
	line  int    // and where it is
}

// usual is the length that most cells have, the first among equals.
func (s *sectionFacts) usual() (u lengthFacts) {
	for _, l := range s.lengths {
		if l.cells > u.cells {
			u = l
		}
	}
	return u
}

// unusual is the first length that differs from it.
func (s *sectionFacts) unusual() (o lengthFacts) {
	u := s.usual()
	for _, l := range s.lengths {
		if l.line != u.line {
			return l
		}
	}
	return u
}

func (s *sectionFacts) seeLength(b []byte, line int) {
	i := slices.IndexFunc(s.lengths, func(l lengthFacts) bool { return len(l.first) == len(b) })
	if i < 0 {
		i = len(s.lengths)
		s.lengths = append(s.lengths, lengthFacts{first: string(b), line: line})
	}
	s.lengths[i].cells++
}

func (s *sectionFacts) see(cell []byte, line int) {
	b := cleanStates(cell)
	if len(b) == 0 || len(b) > maxSections {
		return
	}
	digits, prefixed := b, false
	if len(b) > 2 && b[0] == '0' && (b[1] == 'x' || b[1] == 'X') {
		digits, prefixed = b[2:], true
	}
	top := topDigit(digits)
	if top > 15 {
		return
	}
	s.cells++
	s.hex++
	if prefixed {
		s.prefixed++
		return
	}
	if top <= 1 {
		s.binary++
	}
	if top <= 3 {
		s.states++
	}
	if top <= 9 {
		s.decimal++
		s.leadingZero = s.leadingZero || len(b) > 1 && b[0] == '0'
	}
	if s.minLen == 0 || len(b) < s.minLen {
		s.minLen = len(b)
	}
	s.maxLen = max(s.maxLen, len(b))
	s.seeLength(b, line)
}

// topDigit returns the largest hexadecimal digit, or 16 where there are others.
func topDigit(b []byte) int {
	top := 0
	for _, c := range b {
		top = max(top, hexDigit(c))
	}
	return top
}

func hexDigit(c byte) int {
	switch {
	case c-'0' <= 9:
		return int(c - '0')
	case c-'a' <= 5:
		return int(c-'a') + 10
	case c-'A' <= 5:
		return int(c-'A') + 10
	}
	return 16
}

// cleanStates removes what programs put between or before states: blanks,
// marks, and the apostrophe that keeps a spreadsheet from making a number.
func cleanStates(b []byte) []byte {
	b = trim(b)
	for i, c := range b {
		if isStateMark(c) {
			clean := append([]byte(nil), b[:i]...)
			for _, c := range b[i:] {
				if !isStateMark(c) {
					clean = append(clean, c)
				}
			}
			return clean
		}
	}
	return b
}

func isStateMark(c byte) bool {
	return c == ' ' || c == ',' || c == ';' || c == '|' || c == '-' || c == '\'' || c == '[' || c == ']'
}

// sectionLayout is the form of a column and its number of sections; 0 means
// that the file has to show it.
type sectionLayout struct {
	form  sectionForm
	count int
}

// parseSectionForm reads what a job says: "string", "decimal", "hex", with a
// count as in "decimal of 12".
func parseSectionForm(s string) (sectionLayout, error) {
	words := strings.Fields(strings.ToLower(s))
	var l sectionLayout
	for _, f := range []sectionForm{formString, formDecimal, formHex, formWord} {
		if len(words) > 0 && words[0] == f.String() {
			l.form = f
		}
	}
	ok := l.form != formUnknown
	switch {
	case ok && len(words) == 3 && words[1] == "of":
		n, err := strconv.Atoi(words[2])
		l.count, ok = n, err == nil && n > 0 && (n <= 64 || l.form == formString && n <= maxSections)
	case len(words) != 1:
		ok = false
	}
	if !ok {
		return l, fmt.Errorf(`%q is not a form of sections; write string, decimal or hex, with a count as in "decimal of 12"`, s)
	}
	return l, nil
}

// layout tells the form from the cells. The error says between which forms it
// could not choose.
func (f *facts) layout() (sectionLayout, string, error) {
	s := &f.form
	switch {
	case f.filled == 0:
		return sectionLayout{}, "", fmt.Errorf("the column is empty")
	case s.decimal == 0 && f.most(f.states):
		return sectionLayout{formWord, 1}, "on and off for the whole bar", nil
	case s.cells == 0 || s.hex*10 < f.filled*9:
		return sectionLayout{}, "", fmt.Errorf("the values, such as %q, are not states of sections", f.example())
	case s.prefixed > 0 || s.decimal < s.hex:
		return sectionLayout{formHex, 0}, "bit masks in hexadecimal, bit 0 taken as the leftmost section", nil
	case s.minLen == s.maxLen && (s.binary == s.hex || s.states == s.hex && s.leadingZero):
		return sectionLayout{formString, s.minLen}, fmt.Sprintf("rows of %d states, the first taken as the leftmost section", s.minLen), nil
	case s.minLen == s.maxLen && s.states == s.hex:
		return sectionLayout{}, "", fmt.Errorf("values such as %q may be states 0 to 3 or bit masks", s.usual().first)
	case s.binary == s.hex || s.leadingZero:
		return sectionLayout{}, "", &lengthError{s.unusual(), s.usual(), s.cells}
	}
	return sectionLayout{formDecimal, 0}, "bit masks in decimal, bit 0 taken as the leftmost section", nil
}

// lengthError says that a row has more or fewer sections than most.
type lengthError struct {
	odd, usual lengthFacts
	rows       int // of all lengths
}

func (e *lengthError) Error() string {
	return fmt.Sprintf("%q has %d characters, but %d is the length in %d of the first %d rows, such as %q: the number of sections differs between rows",
		e.odd.first, len(e.odd.first), len(e.usual.first), e.usual.cells, e.rows, e.usual.first)
}

// example is a value of the column, for messages.
func (f *facts) example() string {
	if len(f.samples) > 0 {
		return f.samples[0]
	}
	return ""
}

// sectionFill appends the states of one record. With one column it reads its
// form; with several, one state from each.
type sectionFill struct {
	cols    []int
	layout  sectionLayout
	who     string // what gives the number of sections, for messages
	dst     *Bits
	top     int // highest section on in a mask, plus one
	errors  int // states of error or not installed, taken as off
	blank   int // records without a readable state, taken as off
	empty   int // those of them where nothing is written
	firstAt int // line of the first of those

	known    bool // the record before had lastCell, without fault
	lastCell []byte
}

// fill appends the states of the row. It reports, as text, a row that breaks
// the layout.
func (f *sectionFill) fill(w *row) string {
	start := len(f.dst.Words)
	for range f.dst.Stride() {
		f.dst.Words = append(f.dst.Words, 0)
	}
	words := f.dst.Words[start:]
	if len(f.cols) > 1 || f.layout.form == formWord {
		f.fillList(w, words)
		return ""
	}
	cell := w.cells.at(f.cols[0])
	if f.known && string(cell) == string(f.lastCell) { // sections rarely change
		copy(words, f.dst.Words[start-len(words):start])
		return ""
	}
	b := cell
	if f.layout.form != formString || len(b) != f.layout.count {
		b = cleanStates(cell)
	}
	if len(b) == 0 {
		f.empty++
		f.noState(w)
		return ""
	}
	errors, blank := f.errors, f.blank
	wrong := ""
	if f.layout.form == formString {
		wrong = f.fillString(w, b, words)
	} else {
		wrong = f.fillMask(w, b, words)
	}
	f.known = f.errors == errors && f.blank == blank // else each one counts
	f.lastCell = append(f.lastCell[:0], cell...)
	return wrong
}

func (f *sectionFill) noState(w *row) {
	if f.blank == 0 {
		f.firstAt = w.line
	}
	f.blank++
	f.known = false
}

// add counts what was odd in a later part of the file.
func (f *sectionFill) add(later *sectionFill) {
	f.top = max(f.top, later.top)
	f.errors += later.errors
	if f.blank == 0 {
		f.firstAt = later.firstAt
	}
	f.blank += later.blank
	f.empty += later.empty
}

func (f *sectionFill) fillList(w *row, words []uint64) {
	missing, empty := false, true
	for k, c := range f.cols {
		state, ok := parseState(w.cells.at(c))
		switch {
		case !ok:
			missing = true
			empty = empty && len(trim(w.cells.at(c))) == 0
		case state == stateOn:
			words[k>>6] |= 1 << (k & 63)
		case state == stateError:
			f.errors++
		}
	}
	if missing {
		f.noState(w)
	}
	if missing && empty {
		f.empty++
	}
}

func (f *sectionFill) fillString(w *row, b []byte, words []uint64) string {
	if len(b) != f.layout.count {
		if topDigit(b) > 3 {
			f.noState(w)
			return ""
		}
		return fmt.Sprintf("%q has %d sections, %s %d", b, len(b), f.who, f.layout.count)
	}
	for i := range words {
		part := b[i*64 : min(len(b), i*64+64)]
		var word uint64
		for k, c := range part {
			switch state := c - '0'; {
			case state <= 1:
				word |= uint64(state) << (k & 63)
			case state <= 3:
				f.errors++
			default:
				clear(words)
				f.noState(w)
				return ""
			}
		}
		words[i] = word
	}
	return ""
}

func (f *sectionFill) fillMask(w *row, b []byte, words []uint64) string {
	base := 10
	if f.layout.form == formHex {
		base = 16
		if len(b) > 2 && b[0] == '0' && (b[1] == 'x' || b[1] == 'X') {
			b = b[2:]
		}
	}
	v, err := strconv.ParseUint(string(b), base, 64)
	if err != nil {
		f.noState(w)
		return ""
	}
	if n := bits.Len64(v); f.layout.count > 0 && n > f.layout.count {
		return fmt.Sprintf("%q has section %d on, but there are %d", b, n, f.layout.count)
	}
	words[0] = v
	f.top = max(f.top, bits.Len64(v))
	return ""
}
