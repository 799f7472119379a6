package asapplied

import "bytes"

// quotedRow splits a row in which some cell has a double quote: the slow and
// strict path. A row that breaks the rules is passed over as one line.
func (r *csvReader) quotedRow() ([][]byte, error) {
	line, _ := r.peekLine()
	lines, open := 1, odd(line)
	for open {
		longer, ok := r.peekLonger(len(line))
		if !ok || len(longer) > maxQuoted {
			r.skipLine()
			return nil, errBadRow
		}
		open = open != odd(longer[len(line):])
		line = longer
		lines++
	}
	used := len(line)
	if n := len(line); n > 0 && line[n-1] == '\r' {
		line = line[:n-1]
	}
	ok := r.unquote(line)
	if !ok {
		r.skipLine()
		return nil, errBadRow
	}
	r.take(used)
	r.newline += lines - 1
	return r.cells, nil
}

// odd reports whether the text leaves a quote open. Doubled quotes count as
// two, so counting is enough.
func odd(text []byte) bool { return bytes.Count(text, []byte{'"'})%2 != 0 }

// peekLonger returns the text from the current position to the end of the line
// that follows the first n bytes and their line end.
func (r *csvReader) peekLonger(n int) ([]byte, bool) {
	from := n + 1
	for {
		if r.pos+from <= len(r.buf) {
			if i := bytes.IndexByte(r.buf[r.pos+from:], r.eol); i >= 0 {
				return r.buf[r.pos : r.pos+from+i], true
			}
			if len(r.buf)-r.pos > maxQuoted {
				return nil, false
			}
		}
		if !r.fill() {
			return r.buf[r.pos:], r.pos+from < len(r.buf)
		}
	}
}

// unquote splits a whole row with quotes into r.cells. A quote may stand only
// around a whole cell.
func (r *csvReader) unquote(row []byte) bool {
	r.cells, r.wide = r.cells[:0], r.wide[:0]
	if cap(r.wide) < len(row) { // cells point into wide, so it must not move
		r.wide = make([]byte, 0, 2*len(row))
	}
	for {
		if len(row) == 0 || row[0] != '"' {
			i := bytes.IndexByte(row, r.sep)
			cell := row
			if i >= 0 {
				cell = row[:i]
			}
			if bytes.IndexByte(cell, '"') >= 0 {
				return false
			}
			r.cells = append(r.cells, cell)
			if i < 0 {
				return true
			}
			row = row[i+1:]
			continue
		}
		rest, ok := r.quotedCell(row[1:])
		if !ok {
			return false
		}
		if len(rest) == 0 {
			return true
		}
		if rest[0] != r.sep {
			return false
		}
		row = rest[1:]
	}
}

// quotedCell appends the cell whose opening quote precedes text, and returns
// what follows its closing quote.
func (r *csvReader) quotedCell(text []byte) ([]byte, bool) {
	start := len(r.wide)
	for {
		i := bytes.IndexByte(text, '"')
		if i < 0 {
			return nil, false
		}
		r.wide = append(r.wide, text[:i]...)
		text = text[i+1:]
		if len(text) == 0 || text[0] != '"' {
			r.cells = append(r.cells, r.wide[start:len(r.wide):len(r.wide)])
			return text, true
		}
		r.wide = append(r.wide, '"')
		text = text[1:]
	}
}
