package vector

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// readAhead is how many features Open reads to learn the columns of a GeoJSON
// file.
const readAhead = 100

// row is one record of a file before its coordinates are degrees.
type row struct {
	record     int
	skip       string // reason where the record gives no feature
	shape      orb.Geometry
	attributes []Attribute // before next, memory that it may use again
}

// source reads the records of one format. next gives io.EOF behind the last one;
// what it stores in a row belongs to the caller.
type source interface {
	next(*row) error
	place(record int) string
	notes() []string
	close() error
}

// Reader hands out the features of one file in its order.
type Reader struct {
	head    Layer // Columns apart
	columns columnSet
	src     source
	row     row // the one that src reads into
	frame   frame
	ahead   []Feature
	err     error // what Read gives once ahead is empty
	polar   bool  // the note of noteSwap was given
}

// Open begins to read a file: .geojson, .json, .shp with its siblings, or a .zip
// of one shapefile. The caller closes the reader.
func Open(path string, o Options) (*Reader, error) {
	r := &Reader{head: Layer{Path: path, Skipped: map[string]int{}}}
	var err error
	switch ext := strings.ToLower(filepath.Ext(path)); ext {
	case ".geojson", ".json":
		err = r.openGeoJSON(path, o)
	case ".shp":
		var parts shapefileParts
		r.head.Format = "shapefile"
		if parts, err = folderParts(path); err == nil {
			err = r.openShapefile(parts, o)
		}
	case ".zip":
		r.head.Format = "zipped shapefile"
		err = r.openZip(path, o)
	case ".shx", ".dbf", ".prj", ".cpg":
		err = &InputError{File: path, What: "is one part of a shapefile", Fix: "name the .shp"}
	default:
		err = &InputError{
			File: path, What: fmt.Sprintf("%q is not a kind of file that is read here", ext),
			Fix: "give a .geojson, .json, .shp or .zip file",
		}
	}
	if err != nil {
		return nil, err
	}
	return r, nil
}

// openGeoJSON opens a GeoJSON file and reads its first features, so that the
// columns are known.
func (r *Reader) openGeoJSON(path string, o Options) error {
	r.head.Format = "GeoJSON"
	system, declared, err := geojsonSystem(path, o)
	if err != nil {
		return err
	}
	r.use(system)
	f, err := openFile(path)
	if err != nil {
		return err
	}
	r.src = newGeoJSONSource(path, f, &r.columns, declared)
	for len(r.ahead) < readAhead && r.err == nil {
		var feature Feature
		if r.err = r.read(&feature); r.err == nil {
			r.ahead = append(r.ahead, feature)
		}
	}
	if len(r.ahead) == 0 && r.err != nil && !errors.Is(r.err, io.EOF) {
		r.Close()
		return r.err
	}
	return nil
}

// Read returns the next feature, and io.EOF behind the last. After an error it
// gives the same error again.
func (r *Reader) Read() (Feature, error) {
	var f Feature
	err := r.ReadInto(&f)
	return f, err
}

// ReadInto is [Reader.Read] for a caller that is done with the feature before: it
// writes over f, the memory of f.Attributes included. After an error f is empty.
func (r *Reader) ReadInto(f *Feature) error {
	if len(r.ahead) > 0 {
		*f = r.ahead[0]
		r.ahead = r.ahead[1:]
		return nil
	}
	if r.err == nil {
		r.err = r.read(f)
	}
	if r.err != nil {
		*f = Feature{}
	}
	return r.err
}

// read takes one feature from the source, counting the records that give none.
func (r *Reader) read(f *Feature) error {
	row := &r.row
	row.attributes = f.Attributes
	for {
		if err := r.src.next(row); err != nil {
			return err
		}
		if row.skip != "" {
			r.head.Skipped[row.skip]++
			continue
		}
		outline, fault := r.frame.outline(row.shape)
		if fault != nil {
			return fault.in(r.head.Path, r.src.place(row.record))
		}
		if !r.polar {
			r.noteSwap(outline.Geometry())
		}
		f.Outline, f.Attributes = outline, row.attributes
		f.At = Position{r.head.Path, row.record}
		return nil
	}
}

// Fields lie between these latitudes, in degrees.
const (
	southernmost = -60
	northernmost = 72
)

// noteSwap tells of a latitude where nothing is grown. In most of North America a
// swapped position is out of range and refused, but east of 90 degrees west it is
// a place in the Antarctic.
func (r *Reader) noteSwap(g orb.Geometry) {
	lat, ok := someLatitude(g)
	if !ok || lat >= southernmost && lat <= northernmost {
		return
	}
	r.polar = true
	r.head.Notes = append(r.head.Notes, fmt.Sprintf(
		"%s: the latitude %v lies where nothing is grown; longitude and latitude look swapped", r.head.Path, lat))
}

// someLatitude returns the latitude of the first position.
func someLatitude(g orb.Geometry) (float64, bool) {
	switch g := g.(type) {
	case nil:
		return 0, false
	case orb.Point:
		return g[1], true
	}
	return g.Bound().Min[1], true
}

// Header returns what is known of the file so far: everything but the features.
// Columns, Skipped and Notes may grow as Read goes on.
func (r *Reader) Header() Layer {
	h := r.head
	h.Columns = slices.Clone(r.columns.columns)
	h.Skipped = maps.Clone(h.Skipped)
	h.Notes = slices.Concat(h.Notes, r.src.notes())
	return h
}

// Records returns how many records the table of a shapefile counts, deleted ones
// included, so that a caller can make room for them. It is 0 where that is not
// known before they are read: in GeoJSON, in a zip, which may promise more than it
// holds, and without a .dbf.
func (r *Reader) Records() int {
	if s, ok := r.src.(*shapefileSource); ok {
		return s.records()
	}
	return 0
}

// Want says which columns, in the order of [Reader.Header], the caller looks at.
// The values of others may then be null: a shapefile is not read for them.
func (r *Reader) Want(columns []bool) {
	if s, ok := r.src.(*shapefileSource); ok && s.dbf != nil {
		for i := range s.dbf.columns {
			s.dbf.columns[i].unread = !columns[i]
		}
	}
}

// Close closes the files behind the reader.
func (r *Reader) Close() error { return r.src.close() }

// Read reads all features of a file; see [Open].
func Read(path string, o Options) (Layer, error) {
	r, err := Open(path, o)
	if err != nil {
		return Layer{}, err
	}
	return r.all()
}

// all reads the features that are left and closes the reader.
func (r *Reader) all() (Layer, error) {
	defer r.Close() // nothing was written, so that closing cannot lose anything
	var features []Feature
	for {
		f, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return Layer{}, err
		}
		features = append(features, f)
	}
	l := r.Header()
	l.Features = features
	return l, nil
}

// openFile opens a regular file for reading.
func openFile(path string) (*os.File, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, unreadable(path, err)
	}
	if st, err := f.Stat(); err != nil || st.IsDir() {
		f.Close()
		return nil, &InputError{File: path, What: "is a folder, not a file", Fix: "name the file in it"}
	}
	return f, nil
}

// unreadable says why a file could not be opened.
func unreadable(path string, err error) error {
	var pe *os.PathError
	if errors.As(err, &pe) {
		err = pe.Err
	}
	e := &InputError{File: path, What: "cannot be opened: " + err.Error(), Fix: Remedy(err, "")}
	if errors.Is(err, os.ErrNotExist) {
		e.What, e.Fix = "there is no such file", "check the name and the folder"
	}
	return e
}
