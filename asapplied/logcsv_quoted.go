package asapplied

import "bytes"

// quotedRow splits a row in which some cell has a double quote: the slow and
// strict path. A row that breaks the rules is passed over as one line.
func (r *csvReader) quotedRow() error {
	line, _ := r.peekLine()
	lines, open := 1, odd(line)
	for open {
		longer, ok := r.peekLonger(len(line))
		if !ok || len(longer) > maxQuoted {
			r.skipLine()
			return errBadRow
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
		return errBadRow
	}
	if r.nul {
		if i := bytes.IndexByte(line, 0); i >= 0 {
			return r.nulAmongData(r.newline + bytes.Count(line[:i], []byte{r.eol}))
		}
	}
	r.take(used)
	r.newline += lines - 1
	return nil
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

// unquote splits a whole row with quotes into r.row. A quote may stand only
// around a whole cell.
func (r *csvReader) unquote(row []byte) bool {
	r.row.reset(r.own)
	defer func() { r.own = r.row.text }() // keep what it grew to
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
			r.row.add(cell)
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
	for {
		i := bytes.IndexByte(text, '"')
		if i < 0 {
			return nil, false
		}
		r.row.text = append(r.row.text, text[:i]...)
		text = text[i+1:]
		if len(text) == 0 || text[0] != '"' {
			r.row.close()
			return text, true
		}
		r.row.text = append(r.row.text, '"')
		text = text[1:]
	}
}
