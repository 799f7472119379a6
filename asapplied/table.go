package asapplied

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"ratewright/geo"
	"ratewright/geo/vector"
)

// row is one row of a log file. Cells are valid until the next row is read.
type row struct {
	line    int
	cells   cells
	lon     float64 // of a point, where the file has shapes
	lat     float64
	outline geo.Outline // of a polygon
}

// tableInfo is what is known about a file before its rows are read.
type tableInfo struct {
	path    string
	format  string
	place   string // "line" or "record": what a row is called in messages
	names   []string
	shape   shapeKind
	crs     string
	datum   string
	sep     byte  // 0 where the file is not text
	size    int64 // of a text file, in bytes
	rows    int   // about how many, where a file says so
	notes   []string
	skipped map[string]int
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

// openTable opens a log by the ending of its name. known are the names of its
// columns where it was open before, else nil.
func openTable(path, crsName string, known []string) (table, error) {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return nil, inputFault(path, "", "is a folder, not a file", "name the files in it")
	}
	switch strings.ToLower(filepath.Ext(path)) {
	case ".shp", ".zip", ".geojson", ".json":
		return openFeatures(path, crsName, known)
	case ".csv", ".txt", ".tsv", ".tab":
		return openCSV(path)
	}
	fix := "give a .csv, .txt, .tsv, .shp, .zip, .geojson or .json file"
	switch strings.ToLower(filepath.Ext(path)) {
	case ".xlsx", ".xls", ".ods":
		fix = "save the sheet as CSV, with the seconds of its times"
	}
	return nil, inputFault(path, "", fmt.Sprintf("the ending %q names no format that is read", filepath.Ext(path)), fix)
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
		format = Shown(string(rune(r.sep)))
	}
	var size int64
	if st, err := f.Stat(); err == nil {
		size = st.Size()
	}
	return &csvTable{f, r, tableInfo{
		path: path, size: size, format: "CSV, " + format + " separated", place: "line", names: r.names, sep: r.sep,
	}}, nil
}

func (t *csvTable) info() *tableInfo { return &t.about }
func (t *csvTable) close() error     { return t.file.Close() }

func (t *csvTable) next(w *row) error {
	var err error
	w.line, err = t.r.next()
	w.cells = t.r.row
	return err
}

// rowsIn estimates the rows of a text file from the mean of a sample, a little
// above rather than below; 0 where it cannot.
func (s *sample) rowsIn(size int64) int {
	if s.bytes == 0 {
		return 0
	}
	return int(float64(size)/float64(s.bytes)*float64(s.total)*1.01) + 1
}

// checkJobPath advises on a path that a job names.
const checkJobPath = "check the name; paths are relative to the job file"

// fileFault is an error of the operating system about a file.
func fileFault(path string, err error) error {
	var pe *os.PathError
	if errors.As(err, &pe) {
		err = pe.Err
	}
	if errors.Is(err, os.ErrNotExist) {
		return inputFault(path, "", "there is no such file", checkJobPath)
	}
	return inputFault(path, "", "cannot be opened: "+err.Error(), vector.Remedy(err, ""))
}

// sampleRows is how many rows at the start of a file columns are judged by.
const sampleRows = 1000

// sample is the start of a file: its rows of the right width, as text.
type sample struct {
	rows  [][]string
	lines []int
	total int // rows seen, odd ones included
	bytes int // of their text
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
		s.bytes += len(w.cells.text) + 1
		if err == errBadRow {
			continue
		}
		if !w.cells.fit(len(names)) || w.cells.are(names) {
			continue
		}
		text := make([]string, len(names))
		for i := range text {
			text[i] = string(trim(w.cells.at(i)))
		}
		s.rows = append(s.rows, text)
		s.lines = append(s.lines, w.line)
	}
	return s, nil
}
