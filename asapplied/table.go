package asapplied

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"ratewright/geo"
)

// row is one row of a log file. Cells are valid until the next row is read.
type row struct {
	line    int
	cells   [][]byte
	lon     float64 // of a point, where the file has shapes
	lat     float64
	outline geo.Outline // of a polygon
}

// tableInfo is what is known about a file before its rows are read.
type tableInfo struct {
	path     string
	format   string
	place    string // "line" or "record": what a row is called in messages
	names    []string
	shape    shapeKind
	crs      string
	datum    string
	sep      byte // 0 where the file is not text
	notes    []string
	skipped  map[string]int
	hasShape bool
}

// shapeKind is what the features of a file are.
type shapeKind uint8

const (
	noShape shapeKind = iota
	pointShape
	polygonShape
	lineShape
)

func (k shapeKind) String() string {
	return [...]string{"rows", "points", "polygons", "lines"}[k]
}

// table is an opened log file.
type table interface {
	info() *tableInfo
	// next fills in the row. The error is io.EOF at the end, errBadRow for a row
	// to be counted as unreadable, or an error that ends the reading.
	next(*row) error
	close() error
}

// openTable opens a log by the ending of its name.
func openTable(path, crsName string) (table, error) {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".shp", ".zip", ".geojson", ".json":
		return openFeatures(path, crsName)
	case ".csv", ".txt", ".tsv", ".tab":
		return openCSV(path)
	}
	return nil, inputFault(path, "", fmt.Sprintf("the ending %q names no format that is read", filepath.Ext(path)),
		"give a .csv, .txt, .tsv, .shp, .zip, .geojson or .json file")
}

// csvTable is a CSV file as a table.
type csvTable struct {
	file  *os.File
	r     *csvReader
	about tableInfo
}

func openCSV(path string) (table, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fileFault(path, err)
	}
	r, err := newCSVReader(f, path)
	if err != nil {
		f.Close()
		return nil, err
	}
	format := map[byte]string{',': "comma", ';': "semicolon", '\t': "tab"}[r.sep]
	if format == "" {
		format = string(r.sep)
	}
	return &csvTable{f, r, tableInfo{
		path: path, format: "CSV, " + format + " separated", place: "line", names: r.names, sep: r.sep,
	}}, nil
}

func (t *csvTable) info() *tableInfo { return &t.about }
func (t *csvTable) close() error     { return t.file.Close() }

func (t *csvTable) next(w *row) error {
	cells, line, err := t.r.next()
	w.line, w.cells = line, cells
	return err
}

// fileFault is an error of the operating system about a file.
func fileFault(path string, err error) error {
	var pe *os.PathError
	if errors.As(err, &pe) {
		err = pe.Err
	}
	if errors.Is(err, os.ErrNotExist) {
		return inputFault(path, "", "there is no such file", "check the name; paths are relative to the job file")
	}
	return inputFault(path, "", err.Error(), "")
}

// sampleRows is how many rows at the start of a file columns are judged by.
const sampleRows = 1000

// sample is the start of a file: its rows of the right width, as text.
type sample struct {
	rows  [][]string
	lines []int
	total int // rows seen, odd ones included
}

// readSample reads the first rows of a table.
func readSample(t table) (sample, error) {
	var s sample
	var w row
	names := t.info().names
	for s.total < sampleRows {
		err := t.next(&w)
		if err == io.EOF {
			return s, nil
		}
		if err != nil && err != errBadRow {
			return s, err
		}
		s.total++
		if err == errBadRow {
			continue
		}
		cells, ok := fitCells(w.cells, len(t.info().names))
		if !ok || isHeader(cells, names) {
			continue
		}
		text := make([]string, len(cells))
		for i, c := range cells {
			text[i] = string(trim(c))
		}
		s.rows = append(s.rows, text)
		s.lines = append(s.lines, w.line)
	}
	return s, nil
}

// fitCells accepts a row with as many cells as the header, or with empty cells
// beyond: many programs end each line with a separator.
func fitCells(cells [][]byte, want int) ([][]byte, bool) {
	for len(cells) > want && len(trim(cells[len(cells)-1])) == 0 {
		cells = cells[:len(cells)-1]
	}
	return cells, len(cells) == want
}

// isHeader reports whether a row repeats the names of the columns.
func isHeader(cells [][]byte, names []string) bool {
	for i, name := range names {
		if string(trim(cells[i])) != name {
			return false
		}
	}
	return len(names) > 0
}

// isBlank reports whether all cells of a row are empty.
func isBlank(cells [][]byte) bool {
	for _, c := range cells {
		if len(trim(c)) > 0 {
			return false
		}
	}
	return true
}
