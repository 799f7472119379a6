package asapplied

import (
	"bytes"
	"errors"
	"io"

	"ratewright/geo/parallel"
)

// A large CSV file is read in pieces side by side. Pieces are cut at line ends,
// and only in a file in which no line leaves a quote open, so that each line
// stands for itself and a piece gives the same records wherever it is cut. The
// lines are counted first: a piece then knows the number of its first line, and
// writes its records where they belong in the columns of the log.

// piece is a part of a CSV file that begins and ends with whole lines.
type piece struct {
	from, to int64 // bytes of the file
	line     int   // number of its first line
	at       int   // rows that the pieces before may give
	rows     int   // lines, each of which gives at most one record
}

const (
	// smallestPiece is the size below which another piece does not pay.
	smallestPiece = 1 << 20
	// piecesPerWorker lets a worker whose processor is taken away for a while be
	// overtaken by the others.
	piecesPerWorker = 8
	countSize       = 128 << 10
)

// errOneLine says that the lines of a file do not stand for themselves.
var errOneLine = errors.New("a quote is left open at the end of a line")

// cut divides the rest of a CSV file, with the header read, into about n pieces.
// An error means that it has to be read in one.
func (t *csvTable) cut(n, workers int) ([]piece, error) {
	from, err := t.unread()
	if err != nil {
		return nil, err
	}
	var pieces []piece
	for i := range int64(n) {
		to := t.about.size
		if i < int64(n)-1 {
			to = from + (t.about.size-from)/(int64(n)-i)
			if to, err = lineEnd(t.file, to, t.about.size, t.r.eol); err != nil {
				return nil, err
			}
		}
		if to > from {
			pieces = append(pieces, piece{from: from, to: to})
		}
		from = to
	}
	return pieces, t.number(pieces, workers)
}

// unread is where in the file the rows begin that are not read yet.
func (t *csvTable) unread() (int64, error) {
	at, err := t.file.Seek(0, io.SeekCurrent)
	return at - int64(len(t.r.buf)-t.r.pos), err
}

// number counts the lines of the pieces and so finds the place of each.
func (t *csvTable) number(pieces []piece, workers int) error {
	faults := make([]error, len(pieces))
	parallel.Each(len(pieces), workers, func(i int) {
		p := &pieces[i]
		p.rows, faults[i] = countLines(io.NewSectionReader(t.file, p.from, p.to-p.from), t.r.eol)
	})
	line, at := t.r.newline, 0
	for i := range pieces {
		pieces[i].line, pieces[i].at = line, at
		line, at = line+pieces[i].rows, at+pieces[i].rows
	}
	return errors.Join(faults...)
}

// lineEnd returns the first place at or behind `at` that follows a line end, or
// the end of the file.
func lineEnd(file io.ReaderAt, at, size int64, eol byte) (int64, error) {
	var buf [4 << 10]byte
	for at < size {
		n, err := file.ReadAt(buf[:min(int64(len(buf)), size-at)], at)
		if i := bytes.IndexByte(buf[:n], eol); i >= 0 {
			return at + int64(i) + 1, nil
		}
		if err != nil {
			return 0, err
		}
		at += int64(n)
	}
	return size, nil
}

// countLines counts the lines of a text, the last of which may lack its end. The
// error is errOneLine where one leaves a quote open.
func countLines(src io.Reader, eol byte) (int, error) {
	buf := make([]byte, countSize)
	lines, open, ended := 0, false, true
	for {
		n, err := src.Read(buf)
		text := buf[:n]
		if n > 0 {
			ended = text[n-1] == eol
		}
		if !open && bytes.IndexByte(text, '"') < 0 {
			lines += bytes.Count(text, []byte{eol})
			text = nil
		}
		for i := 0; len(text) > 0; text = text[i+1:] {
			if i = bytes.IndexByte(text, eol); i < 0 {
				open = open != odd(text)
				break
			}
			if open != odd(text[:i]) {
				return 0, errOneLine
			}
			open = false
			lines++
		}
		if err == nil {
			continue
		}
		if err != io.EOF {
			return 0, err
		}
		if open {
			return 0, errOneLine
		}
		if !ended {
			lines++
		}
		return lines, nil
	}
}
