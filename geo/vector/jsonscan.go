package vector

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"
)

const (
	jsonWindow   = 64 << 10 // bytes read at a time
	jsonMaxToken = 16 << 20 // longest text or kept value, so that memory stays bounded
	jsonMaxDepth = 64       // deepest nesting of a value that is passed over
)

// jsonScanner pulls strict JSON (RFC 8259) out of a stream through a window that
// holds little more than the current token. What it returns is valid until the
// next call.
type jsonScanner struct {
	r        io.Reader
	file     string
	buf      []byte
	pos, end int // unread part of buf
	tok      int // start of the token being read, -1 without one
	mark     int // start of a value being kept, -1 without one
	lines    int // line ends before buf[0]
	bol      int // bytes of the current line before buf[0]
	scratch  []byte
	ioErr    error
}

func newJSONScanner(file string, r io.Reader) *jsonScanner {
	return &jsonScanner{r: r, file: file, buf: make([]byte, jsonWindow), tok: -1, mark: -1}
}

// fill reads more behind the kept part of the window; false at the end of the
// file, on a read error, or where a token is too long.
func (s *jsonScanner) fill() bool {
	if s.ioErr != nil {
		return false
	}
	keep := s.pos
	if s.tok >= 0 {
		keep = min(keep, s.tok)
	}
	if s.mark >= 0 {
		keep = min(keep, s.mark)
	}
	if keep > 0 {
		s.drop(keep)
	}
	if s.end == len(s.buf) {
		if len(s.buf) >= jsonMaxToken {
			s.ioErr = s.fail(fmt.Sprintf("one value is longer than %d MiB", jsonMaxToken>>20), "shorten it")
			return false
		}
		s.buf = append(s.buf, make([]byte, len(s.buf))...)
	}
	for range 100 {
		n, err := s.r.Read(s.buf[s.end:])
		s.end += n
		if err != nil {
			s.ioErr = err
		}
		if n > 0 || err != nil {
			return n > 0
		}
	}
	s.ioErr = io.ErrNoProgress
	return false
}

// drop forgets the first n bytes of the window and keeps the line count right.
func (s *jsonScanner) drop(n int) {
	if i := bytes.LastIndexByte(s.buf[:n], '\n'); i >= 0 {
		s.lines += bytes.Count(s.buf[:n], []byte{'\n'})
		s.bol = n - i - 1
	} else {
		s.bol += n
	}
	copy(s.buf, s.buf[n:s.end])
	s.pos -= n
	s.end -= n
	if s.tok >= 0 {
		s.tok -= n
	}
	if s.mark >= 0 {
		s.mark -= n
	}
}

// place names the line and column of the next byte.
func (s *jsonScanner) place() string {
	line, col := s.lines+1, s.bol+s.pos+1
	if i := bytes.LastIndexByte(s.buf[:s.pos], '\n'); i >= 0 {
		line += bytes.Count(s.buf[:s.pos], []byte{'\n'})
		col = s.pos - i
	}
	return fmt.Sprintf("line %d, column %d", line, col)
}

func (s *jsonScanner) fail(what, fix string) error {
	return &InputError{File: s.file, Place: s.place(), What: what, Fix: fix}
}

// ended says why there is nothing more to read.
func (s *jsonScanner) ended() error {
	var ie *InputError
	if s.ioErr == nil || errors.Is(s.ioErr, io.EOF) {
		return s.fail("the file ends in the middle", "copy or export it again")
	}
	if errors.As(s.ioErr, &ie) {
		return s.ioErr
	}
	return &InputError{File: s.file, Place: s.place(), What: "cannot be read: " + s.ioErr.Error(), Fix: Remedy(s.ioErr, "copy or export it again")}
}

// next returns the next byte that is not blank without taking it.
func (s *jsonScanner) next() (byte, error) {
	for {
		for s.pos < s.end {
			switch c := s.buf[s.pos]; c {
			case ' ', '\n', '\t', '\r':
				s.pos++
			default:
				return c, nil
			}
		}
		if !s.fill() {
			return 0, s.ended()
		}
	}
}

// atEnd reports whether only blanks are left.
func (s *jsonScanner) atEnd() (bool, error) {
	for {
		for s.pos < s.end {
			switch s.buf[s.pos] {
			case ' ', '\n', '\t', '\r':
				s.pos++
			default:
				return false, nil
			}
		}
		if !s.fill() {
			if errors.Is(s.ioErr, io.EOF) {
				return true, nil
			}
			return false, s.ended()
		}
	}
}

// take reads the byte c, blanks before it allowed.
func (s *jsonScanner) take(c byte) error {
	got, err := s.next()
	if err != nil {
		return err
	}
	if got != c {
		return s.fail(fmt.Sprintf("%q stands where %q is due", got, c), "repair the JSON")
	}
	s.pos++
	return nil
}

// more steps to the next element of an array or object that ends with end.
func (s *jsonScanner) more(first bool, end byte) (bool, error) {
	c, err := s.next()
	if err != nil {
		return false, err
	}
	switch {
	case c == end:
		s.pos++
		return false, nil
	case first:
		return true, nil
	case c == ',':
		s.pos++
		if c, err = s.next(); err == nil && c == end {
			err = s.fail(fmt.Sprintf("a comma stands before %q", end), "remove it")
		}
		return true, err
	}
	return false, s.fail(fmt.Sprintf("%q stands where ',' or %q is due", c, end), "repair the JSON")
}

// key reads the name of a member and its colon.
func (s *jsonScanner) key() ([]byte, error) {
	name, err := s.text()
	if err != nil {
		return nil, err
	}
	// The colon may lie behind the window; the name must outlive the refill.
	if s.pos < s.end && s.buf[s.pos] == ':' {
		s.pos++
		return name, nil
	}
	s.scratch = append(s.scratch[:0], name...)
	if err := s.take(':'); err != nil {
		return nil, err
	}
	return s.scratch, nil
}

// text reads a string, without its quotes and with its escapes resolved.
func (s *jsonScanner) text() ([]byte, error) {
	if err := s.take('"'); err != nil {
		return nil, err
	}
	s.tok = s.pos
	defer func() { s.tok = -1 }()
	escaped := false
	for {
		for s.pos < s.end {
			c := s.buf[s.pos]
			switch {
			case c == '"':
				return s.finishText(escaped)
			case c == '\\':
				escaped = true
				s.pos++
				if s.pos == s.end && !s.fill() {
					return nil, s.ended()
				}
				s.pos++
			case c < ' ':
				return nil, s.fail("a text holds a control character", "escape it or close the text with a quote")
			default:
				s.pos++
			}
		}
		if !s.fill() {
			return nil, s.ended()
		}
	}
}

// finishText takes the closing quote of the string that began at tok.
func (s *jsonScanner) finishText(escaped bool) ([]byte, error) {
	raw := s.buf[s.tok:s.pos]
	if !utf8.Valid(raw) {
		return nil, s.fail("a text is not valid UTF-8", "save the file as UTF-8")
	}
	s.pos++
	if !escaped {
		return raw, nil
	}
	out, ok := unescape(s.scratch[:0], raw)
	s.scratch = out
	if !ok {
		return nil, s.fail("a text holds an escape that JSON does not have", `write \\ for a backslash`)
	}
	return out, nil
}

// number reads a number and returns its text.
func (s *jsonScanner) number() ([]byte, error) {
	if _, err := s.next(); err != nil {
		return nil, err
	}
	s.tok = s.pos
	defer func() { s.tok = -1 }()
	for {
		for s.pos < s.end {
			c := s.buf[s.pos]
			if (c < '0' || c > '9') && c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E' {
				return s.finishNumber()
			}
			s.pos++
		}
		if !s.fill() {
			if errors.Is(s.ioErr, io.EOF) {
				return s.finishNumber()
			}
			return nil, s.ended()
		}
	}
}

func (s *jsonScanner) finishNumber() ([]byte, error) {
	raw := s.buf[s.tok:s.pos]
	if isJSONNumber(raw) {
		return raw, nil
	}
	s.pos = s.tok
	if len(raw) == 0 && s.pos < s.end {
		return nil, s.fail(fmt.Sprintf("%q stands where a number is due", s.buf[s.pos]), "repair the JSON")
	}
	return nil, s.fail(fmt.Sprintf("%.40q is not a number", raw), "repair the JSON")
}

// word reads true, false or null.
func (s *jsonScanner) word(w string) error {
	for i := range len(w) {
		if s.pos == s.end && !s.fill() {
			return s.ended()
		}
		if s.buf[s.pos] != w[i] {
			return s.fail("a value is not JSON", fmt.Sprintf("write %s, a number, or text in quotes", w))
		}
		s.pos++
	}
	return nil
}

// skip passes over one value of any kind.
func (s *jsonScanner) skip(depth int) error {
	if depth > jsonMaxDepth {
		return s.fail(fmt.Sprintf("values are nested deeper than %d", jsonMaxDepth), "flatten them")
	}
	c, err := s.next()
	if err != nil {
		return err
	}
	switch c {
	case '"':
		_, err = s.text()
		return err
	case '{', '[':
		return s.skipNested(c, depth)
	case 't':
		return s.word("true")
	case 'f':
		return s.word("false")
	case 'n':
		return s.word("null")
	}
	_, err = s.number()
	return err
}

func (s *jsonScanner) skipNested(open byte, depth int) error {
	s.pos++
	end := open + 2 // ']' follows '[' and '}' follows '{' by two in ASCII
	for first := true; ; first = false {
		ok, err := s.more(first, end)
		if err != nil || !ok {
			return err
		}
		if open == '{' {
			if _, err := s.key(); err != nil {
				return err
			}
		}
		if err := s.skip(depth + 1); err != nil {
			return err
		}
	}
}

// raw passes over one value and returns its text as it stands in the file.
func (s *jsonScanner) raw() ([]byte, error) {
	if _, err := s.next(); err != nil {
		return nil, err
	}
	s.mark = s.pos
	defer func() { s.mark = -1 }()
	if err := s.skip(0); err != nil {
		return nil, err
	}
	return s.buf[s.mark:s.pos], nil
}
