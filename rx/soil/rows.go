package soil

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strconv"
	"strings"

	"ratewright/geo/vector"
)

// rows calls do for every row of a table but its header. A quoted text may go over lines.
// Only a table with a header is held to the rules of quotes: of other CSV files in a folder
// the first row alone is looked at. A row of another width than the table is an error, and so is a text that has run over
// its end because a quote is missing: nothing of a table is lost in silence.
func rows(t table, do func(line int, row []string) error) error {
	f, err := os.Open(t.path)
	if err != nil {
		return &vector.InputError{File: t.path, What: "cannot be read: " + cause(err), Fix: vector.Remedy(err, "download the survey area again, with its tabular data")}
	}
	defer f.Close()
	in := bufio.NewReader(f)
	if mark, err := in.Peek(3); err == nil && string(mark) == "\ufeff" {
		_, _ = in.Discard(3) // it was just peeked
	}
	r := csv.NewReader(in)
	r.Comma, r.FieldsPerRecord, r.LazyQuotes, r.ReuseRecord = t.comma, -1, t.comma == barred || !t.header, true
	for first := true; ; first = false {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return unreadable(t, err)
		}
		line, _ := r.FieldPos(0)
		if err := t.whole(line, row); err != nil {
			return err
		}
		if first && t.header {
			continue
		}
		if err := do(line, row); err != nil {
			return err
		}
	}
}

// barred parts the columns of a survey's own tables. Their texts may hold a quote that is
// not doubled, so that they are read with lenience and then looked at by whole.
const barred = '|'

// whole refuses a row that is not as wide as its table.
func (t table) whole(line int, row []string) error {
	bad := func(what string) error {
		return &vector.InputError{File: t.path, Place: fmt.Sprintf("line %d", line), What: what, Fix: "download the survey area again, or correct the row"}
	}
	if t.wide == 0 {
		return nil
	}
	for i, cell := range row {
		if t.comma == barred && strings.ContainsRune(cell, t.comma) && strings.ContainsAny(cell, "\"\n") {
			return bad(fmt.Sprintf("the text of column %d runs over its end: a quote is missing", i+1))
		}
	}
	if len(row) != t.wide {
		return bad(fmt.Sprintf("has %d columns of %d: the row is cut, or a quote or a column is missing", len(row), t.wide))
	}
	return nil
}

// unreadable says where the quotes of a table are wrong.
func unreadable(t table, err error) error {
	var parse *csv.ParseError
	if !errors.As(err, &parse) {
		return &vector.InputError{File: t.path, What: "cannot be read: " + cause(err), Fix: "download the survey area again"}
	}
	return &vector.InputError{File: t.path, Place: fmt.Sprintf("line %d", parse.StartLine), What: "a quote is missing, or is one too many: " + parse.Err.Error(), Fix: "correct the row, or download the survey area again"}
}

func cause(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err.Error()
	}
	return err.Error()
}

// text returns a cell; "" where the table has no such column or the cell says that it
// has no value.
func (t table) text(row []string, column string) string {
	i, ok := t.columns[column]
	if !ok || i >= len(row) {
		return ""
	}
	if s := strings.TrimSpace(row[i]); s != "NA" {
		return s
	}
	return ""
}

// number returns a cell; false where it is empty. What lies outside of low and high is an
// error.
func (t table) number(line int, row []string, column string, low, high float64) (float64, bool, error) {
	s := t.text(row, column)
	if s == "" {
		return 0, false, nil
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || !(v >= low && v <= high) {
		return 0, false, &vector.InputError{
			File: t.path, Place: fmt.Sprintf("line %d", line),
			What: fmt.Sprintf("column %s holds %q, which lies not between %g and %g", column, s, low, high), Fix: "correct it, or empty the cell",
		}
	}
	return v, true, nil
}
