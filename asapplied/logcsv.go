package asapplied

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"ratewright/geo/vector"
)

// A CSV log is text in UTF-8, one record a line, the first line that is
// neither blank nor starts with # being the header. Cells are separated by
// commas, semicolons or tabs, whichever the header has most of outside quotes;
// a line `sep=;` before the header settles it. A cell in double quotes may hold separators, and
// line ends up to maxQuoted bytes; a doubled quote in it stands for one. Lines end in
// LF, CRLF or (where the file has no LF) CR. Blank lines are skipped and are
// not rows. Numbers have a decimal point, or a decimal comma where the
// separator is not a comma. What NUL bytes mean is told in logcsv_nul.go.
//
// The splitter is written by hand because encoding/csv, at about 200 MB/s,
// was the slowest step of reading a log; BenchmarkCSV holds the two together
// and FuzzCSV compares them row by row.

// errBadRow marks a row that breaks the rules of quoting; reading goes on with
// the next line.
var errBadRow = errors.New("broken quoting")

// maxQuoted bounds a cell that spans lines: a quote that was never closed must
// not swallow the rest of the file.
const maxQuoted = 64 << 10

const (
	readSize = 256 << 10
	maxLine  = 16 << 20
)

// csvReader splits a CSV file into cells without copying them. The cells of a
// row are valid until the next row is read.
type csvReader struct {
	src  io.Reader
	path string
	buf  []byte
	pos  int // start of the unread part of buf
	eof  bool
	err  error // a read error, reported after the rows before it

	sep     byte
	eol     byte
	newline int // line number of the next line, from 1

	nul  bool // there are NUL bytes in what was read so far
	nuls nulTally

	names []string
	row   cells  // the row that next read
	own   []byte // text of a row with quotes
}

// newCSVReader reads as far as the header.
func newCSVReader(src io.Reader, path string) (*csvReader, error) {
	r := &csvReader{src: src, path: path, eol: '\n', newline: 1}
	for len(r.buf) < readSize && r.fill() { // a reader may give little at a time
	}
	if r.err != nil {
		return nil, r.fault(1, "cannot be read: "+r.err.Error(), vector.Remedy(r.err, ""))
	}
	if err := r.skipMark(); err != nil {
		return nil, err
	}
	head := r.buf[r.pos:]
	if bytes.IndexByte(head, '\n') < 0 && bytes.IndexByte(head, '\r') >= 0 {
		r.eol = '\r'
	}
	return r, r.readHeader()
}

// skipMark skips a UTF-8 byte order mark and refuses other encodings.
func (r *csvReader) skipMark() error {
	head := r.buf[r.pos:]
	switch wide := vector.WideText(head); {
	case bytes.HasPrefix(head, []byte("\xef\xbb\xbf")):
		r.pos += 3
	case wide != "":
		return r.fault(1, "the file is "+wide+" text", "save it as CSV in UTF-8")
	}
	return r.refuseBinary(head)
}

func (r *csvReader) readHeader() error {
	for {
		line, ok := r.peekLine()
		if !ok {
			if r.err != nil {
				return r.fault(r.newline, "cannot be read: "+r.err.Error(), vector.Remedy(r.err, ""))
			}
			return r.fault(1, "the file is empty", "a log starts with a line of column names")
		}
		if len(line) > maxLine {
			return r.tooLong()
		}
		if bytes.IndexByte(line, 0) >= 0 {
			return r.notText()
		}
		text := bytes.TrimSpace(line)
		if s, found := bytes.CutPrefix(bytes.ToLower(text), []byte("sep=")); found && len(s) == 1 {
			r.sep = s[0]
			r.skipLine()
			continue
		}
		if len(text) == 0 || text[0] == '#' {
			r.skipLine()
			continue
		}
		if r.sep == 0 {
			r.sep = findSeparator(line)
		}
		break
	}
	n, err := r.next()
	if err != nil && err != errBadRow {
		return err
	}
	if err != nil {
		return r.fault(n, "the header has a quote that is not closed", "close it or remove it")
	}
	for i := range r.row.len() {
		r.names = append(r.names, string(bytes.TrimSpace(r.row.at(i))))
	}
	return r.checkHeader(n)
}

// checkHeader refuses a first line of numbers: a log without names of columns.
func (r *csvReader) checkHeader(line int) error {
	numbers, filled := 0, 0
	for _, name := range r.names {
		if name == "" {
			continue
		}
		filled++
		if _, ok := parseNumber([]byte(name), '.'); ok {
			numbers++
		}
	}
	if filled > 0 && numbers*2 > filled {
		return r.fault(line, fmt.Sprintf("the first line (%q …) holds values, not names of columns", r.names[0]),
			"put a line of names above it, such as time,lon,lat")
	}
	return nil
}

// findSeparator picks the separator that occurs most in the header outside
// quotes; a header of one column counts as comma separated.
func findSeparator(line []byte) byte {
	var commas, semicolons, tabs int
	quoted := false
	for _, c := range line {
		switch {
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == ',':
			commas++
		case c == ';':
			semicolons++
		case c == '\t':
			tabs++
		}
	}
	switch {
	case semicolons > commas && semicolons >= tabs:
		return ';'
	case tabs > commas:
		return '\t'
	}
	return ','
}

// fill reads more of the file behind the unread part of the buffer and reports
// whether there was more.
func (r *csvReader) fill() bool {
	if r.eof {
		return false
	}
	if r.pos > 0 {
		r.buf = r.buf[:copy(r.buf, r.buf[r.pos:])]
		r.pos = 0
	}
	for {
		if cap(r.buf)-len(r.buf) < readSize/8 {
			grown := make([]byte, len(r.buf), 2*cap(r.buf)+readSize)
			copy(grown, r.buf)
			r.buf = grown
		}
		n, err := r.src.Read(r.buf[len(r.buf):cap(r.buf)])
		r.buf = r.buf[:len(r.buf)+n]
		r.nul = r.nul || bytes.IndexByte(r.buf[len(r.buf)-n:], 0) >= 0
		if err != nil {
			r.eof = true
			if err != io.EOF {
				r.err = err
			}
		}
		if n > 0 || r.eof {
			return n > 0
		}
	}
}

// peekLine returns the next line without its end, and false at the end of the
// file. Of a line that is too long it returns a part.
func (r *csvReader) peekLine() ([]byte, bool) {
	from := r.pos
	for {
		if i := bytes.IndexByte(r.buf[from:], r.eol); i >= 0 {
			return r.buf[r.pos : from+i], true
		}
		seen := len(r.buf) - r.pos
		if seen > maxLine || !r.fill() {
			return r.buf[r.pos:], r.pos < len(r.buf)
		}
		from = r.pos + seen
	}
}

// skipLine moves past a line that peekLine returned.
func (r *csvReader) skipLine() {
	line, _ := r.peekLine()
	r.take(len(line))
}

// take moves past n bytes and the line end behind them.
func (r *csvReader) take(n int) {
	r.pos = min(r.pos+n+1, len(r.buf))
	r.newline++
}

// next reads the next row and returns its line number. The error is io.EOF at
// the end, errBadRow for a row to be counted, or a read error.
func (r *csvReader) next() (int, error) {
	for {
		line, ok := r.peekLine()
		if !ok {
			if r.err != nil {
				return r.newline, r.fault(r.newline, "cannot be read: "+r.err.Error(), vector.Remedy(r.err, ""))
			}
			return r.newline, io.EOF
		}
		n := r.newline
		if r.nul {
			if i := bytes.IndexByte(line, 0); i >= 0 {
				return n, r.nulRow(i)
			}
		}
		if len(line) > maxLine {
			return n, r.tooLong()
		}
		if bytes.IndexByte(line, '"') >= 0 {
			return n, r.quotedRow()
		}
		r.take(len(line))
		if len(line) > 0 && line[len(line)-1] == '\r' {
			line = line[:len(line)-1]
		}
		if len(line) == 0 {
			continue
		}
		r.row.text = line
		r.row.ends = split(r.row.ends[:0], line, r.sep)
		return n, nil
	}
}

// split appends where the cells of a line without quotes end.
func split(ends []int32, line []byte, sep byte) []int32 {
	for from := 0; ; {
		i := bytes.IndexByte(line[from:], sep)
		if i < 0 {
			return append(ends, int32(len(line)))
		}
		ends = append(ends, int32(from+i))
		from += i + 1
	}
}

func (r *csvReader) tooLong() error {
	return r.fault(r.newline, "the line is longer than 16 MiB", "give a CSV file with one record a line")
}

// fault is an error at a line of the file.
func (r *csvReader) fault(line int, what, fix string) error {
	return inputFault(r.path, fmt.Sprintf("line %d", line), what, fix)
}
