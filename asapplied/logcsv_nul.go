package asapplied

import (
	"bytes"
	"fmt"

	"ratewright/geo/vector"
)

// A logger that loses power leaves NUL bytes where its last rows were to go: the
// file was made longer, and what should stand there never reached the disk. So a
// line of nothing but NUL bytes is a row that cannot be read, wherever it is, and
// so is a row that NUL bytes cut off at the end of the file. NUL bytes among the
// data of any other row are an error: no reader can know which of its values are
// whole. A file that is binary from its beginning is refused as such.

// binaryHead is how much of a file is looked at for bytes that no text has.
const binaryHead = 512

// refuseBinary refuses a file that begins like none of text: with NUL bytes in its
// first line, or with some and other control characters in its first bytes.
func (r *csvReader) refuseBinary(head []byte) error {
	if !r.nul || len(head) == 0 {
		return nil
	}
	if len(bytes.TrimLeft(head, "\x00\r\n")) == 0 {
		return r.fault(1, "the file begins with NUL bytes only: what was logged never reached the disk", "copy it again from the machine")
	}
	first := head
	if i := bytes.IndexAny(head, "\r\n"); i >= 0 {
		first = head[:i]
	}
	start := head[:min(len(head), binaryHead)]
	if bytes.IndexByte(first, 0) >= 0 || bytes.IndexByte(start, 0) >= 0 && bytes.ContainsFunc(start, isControl) {
		return r.notText()
	}
	return nil
}

func (r *csvReader) notText() error {
	return r.fault(r.newline, "the file holds NUL bytes and is not text", "give a CSV file, a shapefile or GeoJSON")
}

// isControl tells a control character that text files do not have. Bytes that are
// no UTF-8 come as U+FFFD and are none.
func isControl(c rune) bool {
	return c > 0 && c < ' ' && c != '\t' && c != '\n' && c != '\v' && c != '\f' && c != '\r'
}

// nulRow moves past a line whose first NUL byte follows `before` others. NUL bytes
// may be as many as the disk holds: they are passed as they are read, and not kept.
func (r *csvReader) nulRow(before int) error {
	line := r.newline
	r.pos += before
	for r.pos < len(r.buf) && r.buf[r.pos] == 0 {
		for r.pos < len(r.buf) && r.buf[r.pos] == 0 {
			r.pos++
		}
		if r.pos == len(r.buf) {
			r.fill()
		}
	}
	if len(r.buf)-r.pos == 1 && r.buf[r.pos] == '\r' {
		r.fill() // to see whether it ends the line
	}
	rest := r.buf[r.pos:]
	switch {
	case r.err != nil && len(rest) == 0: // what follows is not known
		return r.fault(line, "cannot be read: "+r.err.Error(), vector.Remedy(r.err, ""))
	case len(rest) == 0 && before > 0:
		r.nuls.cut = line
	case len(rest) == 0 || before == 0 && (rest[0] == r.eol || len(rest) > 1 && rest[0] == '\r' && rest[1] == r.eol):
		r.nuls.add(nulTally{rows: 1, first: line})
	default:
		return r.nulAmongData(line)
	}
	r.take(max(0, bytes.IndexByte(rest, r.eol)))
	return errBadRow
}

func (r *csvReader) nulAmongData(line int) error {
	return r.fault(line, "the row holds NUL bytes among its data", "delete the row, or the NUL bytes if what is left of it is right")
}

// nulTally counts rows that NUL bytes stand for.
type nulTally struct {
	rows  int // lines of nothing else
	first int // line number of the first of them
	cut   int // line number of a row cut off at the end of the file, 0 if none
}

// add adds the rows of a later part of the file.
func (t *nulTally) add(more nulTally) {
	if t.rows == 0 {
		t.first = more.first
	}
	t.rows += more.rows
	t.cut = max(t.cut, more.cut)
}

func (t nulTally) notes(path string) []string {
	const cause = "as where a machine lost power"
	var notes []string
	switch {
	case t.rows == 1:
		notes = append(notes, fmt.Sprintf("%s: line %d is left out: it holds nothing but NUL bytes, %s", path, t.first, cause))
	case t.rows > 1:
		notes = append(notes, fmt.Sprintf("%s: %d lines are left out, the first of them line %d: they hold nothing but NUL bytes, %s", path, t.rows, t.first, cause))
	}
	if t.cut > 0 {
		notes = append(notes, fmt.Sprintf("%s: line %d, the last, is left out: NUL bytes cut it off, %s", path, t.cut, cause))
	}
	return notes
}
