package vector

import (
	"bytes"
	"fmt"
	"io"

	"github.com/paulmach/orb"
)

// Bounds on what one feature, and a stream of ever new property names, can take.
const (
	maxColumns  = 2048
	maxNameSize = 1 << 10
	maxTextSize = 32 << 20
)

// geojsonSource reads the features of a GeoJSON file one by one.
type geojsonSource struct {
	file    io.Closer
	s       *jsonScanner
	path    string
	columns *columnSet
	record  int
	inside  bool // within the features array
	first   bool // before its first element
	started bool
	done    bool
	crsSeen bool // the search before reading found a crs member
	top     jsonObject
	nest    nest
	props   []jsonProperty
	text    []byte
}

// jsonProperty is one property of the feature being read; its text is a piece of
// geojsonSource.text.
type jsonProperty struct {
	name       string
	start, end int
	kind       Kind
}

// jsonObject is what was found in a feature or in the outermost object.
type jsonObject struct {
	typ                   string
	shape                 orb.Geometry
	coordinates, features bool
	geometry, properties  bool
	geometries, id        bool
	parts                 []orb.Geometry
	props                 []jsonProperty
	idProp                jsonProperty
}

func newGeoJSONSource(path string, f io.ReadCloser, columns *columnSet, crsSeen bool) *geojsonSource {
	return &geojsonSource{
		file: f, s: newJSONScanner(path, f), path: path, columns: columns, crsSeen: crsSeen,
	}
}

func (g *geojsonSource) close() error { return g.file.Close() }

func (g *geojsonSource) notes() []string { return nil }

func (g *geojsonSource) place(record int) string { return fmt.Sprintf("feature %d", record) }

// next reads one feature; io.EOF behind the last.
func (g *geojsonSource) next(r *row) error {
	if g.done {
		return io.EOF
	}
	if !g.started {
		g.started = true
		if err := startJSON(g.s); err != nil {
			return err
		}
	}
	if g.inside {
		ok, err := g.s.more(g.first, ']')
		if err != nil {
			return err
		}
		g.first = false
		if ok {
			return g.feature(r)
		}
		g.inside = false
	}
	return g.outermost(r)
}

// WideText tells by the byte order mark at the head of a file, of which it needs four
// bytes, whether its text is UTF-16 or UTF-32: it returns that name, else "".
func WideText(head []byte) string {
	starts := func(mark string) bool { return bytes.HasPrefix(head, []byte(mark)) }
	switch {
	case starts("\xff\xfe\x00\x00"), starts("\x00\x00\xfe\xff"):
		return "UTF-32" // first, for the mark of UTF-16 begins the same
	case starts("\xff\xfe"), starts("\xfe\xff"):
		return "UTF-16"
	}
	return ""
}

// startJSON steps over a byte order mark and the first brace.
func startJSON(s *jsonScanner) error {
	for s.end < 4 && s.fill() {
	}
	head := s.buf[:s.end]
	switch wide := WideText(head); {
	case len(head) == 0:
		return &InputError{File: s.file, What: "the file is empty", Fix: "export it again"}
	case len(head) >= 3 && string(head[:3]) == "\xef\xbb\xbf":
		s.pos = 3
	case wide != "":
		return &InputError{File: s.file, What: "the file is " + wide, Fix: "save it as UTF-8"}
	}
	c, err := s.next()
	if err != nil {
		return err
	}
	if c != '{' {
		return s.fail("the file does not begin with a GeoJSON object", "give a FeatureCollection in braces")
	}
	s.pos++
	return nil
}

// outermost reads the members of the outermost object up to the features array
// or the end of the file.
func (g *geojsonSource) outermost(r *row) error {
	first := !g.top.features && g.record == 0
	for ; ; first = false {
		ok, err := g.s.more(first, '}')
		if err != nil {
			return err
		}
		if !ok {
			return g.finish(r)
		}
		name, err := g.s.key()
		if err != nil {
			return err
		}
		switch string(name) {
		case "features":
			if g.top.features {
				return g.s.fail("the member features stands twice", "keep one")
			}
			if g.top.typ != "" && g.top.typ != "FeatureCollection" {
				return g.s.fail(fmt.Sprintf("a %s has features", g.top.typ), "give a FeatureCollection")
			}
			if err := g.s.take('['); err != nil {
				return err
			}
			g.top.features, g.inside, g.first = true, true, true
			return g.next(r)
		case "crs":
			if !g.crsSeen {
				return g.s.fail("the member crs is spelled with escapes", `write it "crs"`)
			}
			if err := g.s.skip(0); err != nil {
				return err
			}
		default:
			if err := g.member(&g.top, string(name), 0); err != nil {
				return err
			}
		}
	}
}

// finish checks the outermost object when its brace closes, and hands out the
// feature where the file is one feature or one geometry.
func (g *geojsonSource) finish(r *row) error {
	g.done = true
	end, err := g.s.atEnd()
	if err != nil {
		return err
	}
	if !end {
		return g.s.fail("something follows the GeoJSON object", "keep one object to a file")
	}
	switch t := g.top.typ; {
	case t == "":
		return &InputError{File: g.path, What: "the outermost object has no type", Fix: "give a FeatureCollection"}
	case t == "FeatureCollection" && g.top.features:
		return io.EOF
	case t == "FeatureCollection":
		return &InputError{File: g.path, What: "the FeatureCollection has no features", Fix: "export it again"}
	case g.top.features:
		return &InputError{File: g.path, What: fmt.Sprintf("a %.40s has features", t), Fix: "give a FeatureCollection"}
	case t == "Feature":
		g.record = 1
		return g.deliver(r, &g.top)
	case isGeometryType(t):
		g.record = 1
		shape, err := g.build(&g.top)
		if err != nil {
			return err
		}
		g.top.shape = shape
		return g.deliver(r, &g.top)
	default:
		return &InputError{
			File: g.path, What: fmt.Sprintf("the outermost object is a %.40q", t),
			Fix: "give a FeatureCollection, a Feature or a geometry",
		}
	}
}

// feature reads one element of the features array.
func (g *geojsonSource) feature(r *row) error {
	g.record++
	if err := g.s.take('{'); err != nil {
		return g.wrap(err)
	}
	g.props, g.text, g.nest.total = g.props[:0], g.text[:0], 0
	var o jsonObject
	for first := true; ; first = false {
		ok, err := g.s.more(first, '}')
		if err != nil {
			return g.wrap(err)
		}
		if !ok {
			break
		}
		name, err := g.s.key()
		if err != nil {
			return g.wrap(err)
		}
		if err := g.member(&o, string(name), 0); err != nil {
			return g.wrap(err)
		}
	}
	if o.typ != "Feature" {
		return g.bad(fmt.Sprintf("its type is %.40q", o.typ), `give each element of features the type "Feature"`)
	}
	return g.deliver(r, &o)
}

// member reads the value of one member of a feature, or of the outermost object
// where that may be a feature or a geometry.
func (g *geojsonSource) member(o *jsonObject, name string, depth int) error {
	twice := func(seen *bool) error {
		if *seen {
			return g.s.fail(fmt.Sprintf("the member %s stands twice", name), "keep one")
		}
		*seen = true
		return nil
	}
	switch name {
	case "type":
		return g.typeName(o)
	case "geometry":
		if err := twice(&o.geometry); err != nil {
			return err
		}
		shape, err := g.geometry(depth)
		o.shape = shape
		return err
	case "properties":
		if err := twice(&o.properties); err != nil {
			return err
		}
		return g.properties(o)
	case "id":
		if err := twice(&o.id); err != nil {
			return err
		}
		return g.value("id", &o.idProp)
	case "coordinates":
		if err := twice(&o.coordinates); err != nil {
			return err
		}
		return g.nest.read(g.s)
	case "geometries":
		if err := twice(&o.geometries); err != nil {
			return err
		}
		return g.collection(o, depth)
	case "crs":
		return g.s.fail("a crs stands inside the features", "declare one for the whole file")
	}
	return g.s.skip(0)
}

func (g *geojsonSource) typeName(o *jsonObject) error {
	if o.typ != "" {
		return g.s.fail("the member type stands twice", "keep one")
	}
	t, err := g.s.text()
	if err != nil {
		return err
	}
	if len(t) == 0 {
		return g.s.fail("the type is empty", "name it")
	}
	o.typ = string(t)
	return nil
}

// deliver turns an object into a row.
func (g *geojsonSource) deliver(r *row, o *jsonObject) error {
	r.record, r.skip, r.shape = g.record, "", o.shape
	if o.typ == "Feature" && !o.geometry {
		return g.bad("the feature has no geometry", `write "geometry": null where it has no place`)
	}
	props := o.props
	if o.id && o.idProp.kind != KindNull && !hasProperty(props, "id") {
		props = append(props, o.idProp)
	}
	text := string(g.text)
	if cap(r.attributes) < len(props) {
		r.attributes = make([]Attribute, len(props))
	}
	r.attributes = r.attributes[:len(props)]
	for i, p := range props {
		r.attributes[i] = Attribute{p.name, Value{text[p.start:p.end], p.kind}}
	}
	if f := g.columns.note(r.attributes); f != nil {
		return g.bad(f.what, f.fix)
	}
	if o.shape == nil {
		r.skip = SkippedNull
		return nil
	}
	if f := checkShape(o.shape); f != nil {
		return g.bad(f.what, f.fix)
	}
	return nil
}

// bad is an error in the content of the current feature.
func (g *geojsonSource) bad(what, fix string) error {
	return &InputError{File: g.path, Place: g.place(g.record), What: what, Fix: fix}
}

// wrap adds the feature's number to an error that names the line.
func (g *geojsonSource) wrap(err error) error {
	if ie, ok := err.(*InputError); ok {
		at := g.place(g.record)
		if ie.Place != "" {
			at += ", " + ie.Place
		}
		return &InputError{File: ie.File, Place: at, What: ie.What, Fix: ie.Fix}
	}
	return err
}
