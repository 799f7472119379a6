package asapplied

import (
	"fmt"
	"io"
	"strings"

	"github.com/paulmach/orb"

	"ratewright/geo/vector"
)

// featureTable is a file of points or polygons as a table: one feature a row,
// its attributes the cells.
type featureTable struct {
	r       *vector.Reader
	about   tableInfo
	feature vector.Feature // the last one read
	ahead   bool           // it was read to learn what the shapes are
	cells   cells
}

// openFeatures opens a file of features whose columns have the names known, or
// learns them where known is nil: those of all features, for a property that comes
// late, such as a rate from where the work begins, is a column like any other.
func openFeatures(path, crsName string, known []string) (table, error) {
	r, err := vector.Open(path, vector.Options{CRS: crsName})
	if err != nil {
		return nil, err
	}
	if known == nil {
		r.LearnColumns()
	}
	t := &featureTable{r: r}
	err = r.ReadInto(&t.feature)
	switch {
	case err == nil:
		t.ahead = true
	case err != io.EOF:
		r.Close()
		return nil, err
	}
	head := r.Header()
	t.about = tableInfo{
		path: path, format: head.Format, place: "record", crs: Shown(head.CRSName), datum: Shown(head.Datum),
		rows: r.Records(),
	}
	if strings.HasPrefix(head.Format, "GeoJSON") {
		t.about.place = "feature"
	}
	t.about.names = known
	if known == nil {
		t.about.names = make([]string, len(head.Columns))
		for i, c := range head.Columns {
			t.about.names[i] = c.Name
		}
	}
	if t.ahead {
		t.about.shape = kindOf(&t.feature)
	}
	t.refresh()
	return t, nil
}

func kindOf(f *vector.Feature) shapeKind {
	switch f.Outline.Geometry().(type) {
	case orb.Point:
		return pointShape
	case orb.Polygon, orb.MultiPolygon:
		return polygonShape
	}
	return lineShape
}

// refresh takes over what the reader learns as it goes on.
func (t *featureTable) refresh() {
	head := t.r.Header()
	t.about.skipped, t.about.notes = head.Skipped, head.Notes
}

// want says which columns will be looked at.
func (t *featureTable) want(columns []bool) { t.r.Want(columns) }

func (t *featureTable) info() *tableInfo { return &t.about }
func (t *featureTable) close() error     { return t.r.Close() }

func (t *featureTable) next(w *row) error {
	f := &t.feature
	if t.ahead {
		t.ahead = false
	} else if err := t.r.ReadInto(f); err != nil {
		t.refresh()
		return err
	}
	w.line = f.At.Record
	t.fill(f)
	w.cells = t.cells
	return t.shapeOf(f, w)
}

// shapeOf puts the position of a feature into the row.
func (t *featureTable) shapeOf(f *vector.Feature, w *row) error {
	if kind := kindOf(f); kind != t.about.shape {
		return inputFault(t.about.path, fmt.Sprintf("%s %d", t.about.place, f.At.Record),
			fmt.Sprintf("the file has %s and other shapes, mixed", t.about.shape), "give points and polygons in files of their own")
	}
	if p, ok := f.Outline.Geometry().(orb.Point); ok {
		w.lon, w.lat = p[0], p[1]
		return nil
	}
	w.outline = f.Outline
	if b, ok := f.Outline.Bounds(); ok {
		w.lon, w.lat = b.Center()[0], b.Center()[1]
	}
	return nil
}

// fill writes the attributes of a feature as cells in the order of the columns;
// a missing one is empty.
func (t *featureTable) fill(f *vector.Feature) {
	t.cells.reset(t.cells.text)
	for i, name := range t.about.names {
		var v vector.Value
		if i < len(f.Attributes) && f.Attributes[i].Name == name {
			v = f.Attributes[i].Value
		} else {
			v = attribute(f, name)
		}
		t.cells.text = append(t.cells.text, v.String()...)
		t.cells.close()
	}
}

func attribute(f *vector.Feature, name string) vector.Value {
	for _, a := range f.Attributes {
		if a.Name == name {
			return a.Value
		}
	}
	return vector.Value{}
}
