package job

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"ratewright/geo"
	"ratewright/geo/vector"
)

// plot is one row of a table: where it stands, and the text of each role. A feature has
// its outline, too.
type plot struct {
	place   string
	cells   map[string]string
	commas  bool // decimals may be written with a comma
	outline *geo.Outline
}

// plots reads a table with a header, or features whose attributes are taken as they
// are.
func (o *opener) plots(t *TableSpec) ([]plot, error) {
	switch strings.ToLower(filepath.Ext(t.File)) {
	case ".csv", ".txt", ".tsv":
		return t.table()
	}
	layer, err := o.read(t.File, t.CRS)
	if err != nil {
		return nil, err
	}
	var names []string
	for _, c := range layer.Columns {
		names = append(names, c.Name)
	}
	if err := t.checkColumns(names); err != nil {
		return nil, err
	}
	rows := make([]plot, 0, len(layer.Features))
	for _, f := range layer.Features {
		p := plot{place: fmt.Sprintf("record %d", f.At.Record), cells: map[string]string{}, outline: &f.Outline}
		for role, column := range t.Columns {
			v, _ := f.Get(column)
			p.cells[role] = strings.TrimSpace(v.String())
		}
		rows = append(rows, p)
	}
	return rows, nil
}

// table reads rows from text with commas, semicolons or tabs.
func (t *TableSpec) table() ([]plot, error) {
	data, err := os.ReadFile(t.File)
	if err != nil {
		return nil, &vector.InputError{File: t.File, What: "cannot be read: " + cause(err), Fix: vector.Remedy(err, "check its name in the job; it is relative to the job file")}
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	r := csv.NewReader(strings.NewReader(text))
	head, _, _ := strings.Cut(text, "\n")
	for _, comma := range ";\t" {
		if strings.Count(head, string(comma)) > strings.Count(head, string(r.Comma)) {
			r.Comma = comma
		}
	}
	r.TrimLeadingSpace = r.Comma != '\t'
	names, err := r.Read()
	if errors.Is(err, io.EOF) {
		return nil, &vector.InputError{File: t.File, What: "is empty", Fix: "begin it with the names of its columns"}
	}
	if err != nil {
		return nil, &vector.InputError{File: t.File, Place: "line 1", What: "has no header: " + err.Error(), Fix: "begin it with the names of its columns"}
	}
	if err := t.checkColumns(names); err != nil {
		return nil, err
	}
	var rows []plot
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			place := ""
			var bad *csv.ParseError
			if errors.As(err, &bad) {
				place, err = fmt.Sprintf("line %d", bad.StartLine), bad.Err // where the quote opens, not where the file ends
			}
			return nil, &vector.InputError{File: t.File, Place: place, What: err.Error(), Fix: "give it as many cells as the header has, and close what is quoted"}
		}
		line, _ := r.FieldPos(0) // there is none where a row cannot be read
		p := plot{place: fmt.Sprintf("line %d", line), cells: map[string]string{}, commas: r.Comma == ';'}
		for role, column := range t.Columns {
			p.cells[role] = strings.TrimSpace(cells[indexFold(names, column)])
		}
		rows = append(rows, p)
	}
}

func (t *TableSpec) checkColumns(names []string) error {
	for _, role := range sortedKeys(t.Columns) {
		want := t.Columns[role]
		if i := indexFold(names, want); i >= 0 && indexFold(names[i+1:], want) >= 0 {
			return &vector.InputError{File: t.File, What: fmt.Sprintf("has two columns %q, which the job names for %s", want, role), Fix: "give each a name of its own"}
		} else if i < 0 {
			return &vector.InputError{
				File: t.File, What: fmt.Sprintf("has no column %q, which the job names for %s", want, role),
				Fix: fmt.Sprintf("did you mean %q? its columns are %s", nearest(want, names), strings.Join(names, ", ")),
			}
		}
	}
	return nil
}

func indexFold(list []string, s string) int {
	for i, have := range list {
		if strings.EqualFold(strings.TrimSpace(have), s) {
			return i
		}
	}
	return -1
}

// number reads a cell; false where it is empty.
func (t *TableSpec) number(p plot, role string) (float64, bool, error) {
	text := p.cells[role]
	if text == "" || strings.EqualFold(text, "NA") {
		return 0, false, nil
	}
	if p.commas && strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
		text = strings.Replace(text, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, false, &vector.InputError{
			File: t.File, Place: p.place, What: fmt.Sprintf("column %s holds %q, which is not a number", t.Columns[role], text),
			Fix: "write a number, or leave the cell empty where there is none",
		}
	}
	return v, true, nil
}
