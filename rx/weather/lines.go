package weather

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"ratewright/geo/vector"
)

// lines hands out the lines of a file that are not blank, without their ends and
// without a byte order mark, and never holds more than one.
type lines struct {
	r    *bufio.Reader
	name string
	n    int // number of the line handed out last, from 1
}

func newLines(r io.Reader, name string) *lines {
	return &lines{r: bufio.NewReaderSize(r, longestLine), name: name}
}

// next is the next line, valid until it is called again, or io.EOF.
func (l *lines) next() ([]byte, error) {
	for {
		text, err := l.r.ReadSlice('\n')
		if len(text) == 0 && errors.Is(err, io.EOF) {
			return nil, io.EOF
		}
		l.n++
		switch {
		case errors.Is(err, bufio.ErrBufferFull):
			return nil, l.fault(fmt.Sprintf("the line is longer than %d characters", longestLine), "give the file of one station as plain text")
		case err != nil && !errors.Is(err, io.EOF):
			return nil, l.fault("the file cannot be read: "+err.Error(), vector.Remedy(err, ""))
		case bytes.IndexByte(text, 0) >= 0:
			return nil, l.fault("the line holds a NUL byte", "save the file as plain text in UTF-8, not packed and not as UTF-16")
		}
		if l.n == 1 {
			text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
		}
		text = bytes.TrimSuffix(text, []byte("\n"))
		text = bytes.TrimSuffix(text, []byte("\r"))
		if len(bytes.TrimSpace(text)) > 0 {
			return text, nil
		}
	}
}

// fault is an error about the line handed out last.
func (l *lines) fault(what, fix string) error {
	return fault(l.name, "line "+strconv.Itoa(l.n), what, fix)
}

func fault(name, place, what, fix string) error {
	return &vector.InputError{File: name, Place: place, What: what, Fix: fix}
}

// split cuts a row at its separators into fields, which may stand in quotes, and
// puts them into row. It says what is wrong with the quotes, or nothing.
func split(row []string, text []byte, separator byte) (fields []string, wrong string) {
	fields = row[:0]
	for {
		var field []byte
		if len(text) > 0 && text[0] == '"' {
			field, text, wrong = quoted(text[1:])
			if wrong != "" {
				return nil, wrong
			}
			if len(text) > 0 && text[0] != separator {
				return nil, "text follows the closing quote of a field"
			}
		} else {
			end := bytes.IndexByte(text, separator)
			if end < 0 {
				end = len(text)
			}
			field, text = text[:end], text[end:]
		}
		fields = append(fields, strings.TrimSpace(string(field)))
		if len(text) == 0 {
			return fields, ""
		}
		text = text[1:]
	}
}

// quoted is a field up to its closing quote, where two quotes stand for one, and
// what follows it.
func quoted(text []byte) (field, rest []byte, wrong string) {
	for i := 0; i < len(text); i++ {
		if text[i] != '"' {
			field = append(field, text[i])
			continue
		}
		if i+1 < len(text) && text[i+1] == '"' {
			field = append(field, '"')
			i++
			continue
		}
		return field, text[i+1:], ""
	}
	return nil, nil, "a quote is opened and not closed on the line"
}

// shown is text of a file as it can stand in a message.
func shown(s string) string {
	const most = 40
	if len(s) > most {
		s = strings.ToValidUTF8(s[:most], "") + "…"
	}
	return strconv.Quote(s)
}
