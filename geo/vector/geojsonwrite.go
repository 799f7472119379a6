package vector

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"ratewright/geo"
)

// Member is one named value of a JSON object, in the order of writing. The value
// may be anything that encoding/json writes; a number that is not finite is an
// error.
type Member struct {
	Name  string
	Value any
}

// Item is one feature to be written. An empty outline becomes a null geometry.
type Item struct {
	Outline    geo.Outline
	Properties []Member
}

// Collection is a FeatureCollection to be written.
type Collection struct {
	Decimals int      // digits behind the point of every coordinate, 0 to 15
	Members  []Member // foreign members, before the features
	Items    []Item
}

// WriteGeoJSON writes a collection by RFC 7946: shells counter-clockwise, holes
// clockwise, a fixed number of decimals, no crs. Equal positions stay equal, so
// that neighbours go on sharing their vertices. The same collection gives the same
// bytes. The first ring of a polygon is its shell.
func WriteGeoJSON(w io.Writer, fc Collection) error {
	if fc.Decimals < 0 || fc.Decimals > 15 {
		return fmt.Errorf("write GeoJSON: %d decimals; give 0 to 15", fc.Decimals)
	}
	for _, m := range fc.Members {
		switch m.Name {
		case "type", "features", "coordinates", "geometry", "geometries", "properties":
			return fmt.Errorf("write GeoJSON: a foreign member is named %q, which RFC 7946 defines; name it otherwise", m.Name)
		}
	}
	j := jsonWriter{w: bufio.NewWriterSize(w, 64<<10), decimals: fc.Decimals}
	j.raw(`{"type":"FeatureCollection"`)
	for _, m := range fc.Members {
		j.raw(",\n")
		j.member(m, "the collection")
	}
	j.raw(",\n\"features\":[")
	for i, item := range fc.Items {
		if i > 0 {
			j.raw(",")
		}
		j.raw("\n")
		j.item(i+1, item)
	}
	j.raw("\n]}\n")
	if j.err != nil {
		return fmt.Errorf("write GeoJSON: %w", j.err)
	}
	return j.w.Flush()
}

// jsonWriter keeps the first error.
type jsonWriter struct {
	w        *bufio.Writer
	decimals int
	err      error
}

func (j *jsonWriter) raw(s string) {
	if j.err == nil {
		_, j.err = j.w.WriteString(s)
	}
}

func (j *jsonWriter) member(m Member, where string) {
	if j.err != nil {
		return
	}
	name, err := marshalPlain(m.Name)
	if err != nil {
		j.err = err
		return
	}
	value, err := marshalPlain(m.Value)
	if err != nil {
		j.err = fmt.Errorf("%s: member %s: %w", where, name, err)
		return
	}
	j.raw(string(name) + ":" + string(value))
}

func (j *jsonWriter) item(n int, item Item) {
	where := fmt.Sprintf("feature %d", n)
	seen := map[string]bool{}
	j.raw(`{"type":"Feature","properties":{`)
	for i, m := range item.Properties {
		if seen[m.Name] && j.err == nil {
			j.err = fmt.Errorf("%s: the property %q stands twice", where, m.Name)
		}
		seen[m.Name] = true
		if i > 0 {
			j.raw(",")
		}
		j.member(m, where)
	}
	j.raw(`},"geometry":`)
	if item.Outline.IsEmpty() {
		j.raw("null")
	} else {
		j.geometry(item.Outline.Geometry(), where)
	}
	j.raw("}")
}

func (j *jsonWriter) geometry(g orb.Geometry, where string) {
	if c, ok := g.(orb.Collection); ok {
		j.raw(`{"type":"GeometryCollection","geometries":[`)
		for i, part := range c {
			if i > 0 {
				j.raw(",")
			}
			j.geometry(part, where)
		}
		j.raw("]}")
		return
	}
	if j.err != nil {
		return
	}
	j.raw(`{"type":"` + g.GeoJSONType() + `","coordinates":`)
	switch g := g.(type) {
	case orb.Point:
		j.position(g)
	case orb.MultiPoint:
		j.positions(g)
	case orb.LineString:
		j.positions(g)
	case orb.MultiLineString:
		list(j, g, func(l orb.LineString) { j.positions(l) })
	case orb.Polygon:
		j.polygon(g)
	case orb.MultiPolygon:
		list(j, g, j.polygon)
	default:
		j.err = fmt.Errorf("%s: a %T cannot be written", where, g)
	}
	j.raw("}")
}

// list writes a JSON array.
func list[T any](j *jsonWriter, items []T, write func(T)) {
	j.raw("[")
	for i, item := range items {
		if i > 0 {
			j.raw(",")
		}
		write(item)
	}
	j.raw("]")
}

func (j *jsonWriter) polygon(p orb.Polygon) {
	j.raw("[")
	for i, r := range p {
		if i > 0 {
			j.raw(",")
		}
		j.positions(wound(r, i == 0))
	}
	j.raw("]")
}

func (j *jsonWriter) positions(ps []orb.Point) { list(j, ps, j.position) }

func (j *jsonWriter) position(p orb.Point) {
	b := append(j.w.AvailableBuffer(), '[')
	b = appendFixed(b, p[0], j.decimals)
	b = append(b, ',')
	b = appendFixed(b, p[1], j.decimals)
	b = append(b, ']')
	if j.err == nil {
		_, j.err = j.w.Write(b)
	}
}

// powersOfTen are exact, as are products below 2^53 of them and a whole number.
var powersOfTen = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12}

// onGrid returns f in steps of its last decimal where f is just that number of
// steps, as coordinates are that were put on a grid before.
func onGrid(f float64, decimals int) (int64, bool) {
	if decimals >= len(powersOfTen) || math.Abs(f) > 1000 {
		return 0, false
	}
	n := int64(f*powersOfTen[decimals] + math.Copysign(0.5, f)) // the nearest
	return n, float64(n)/powersOfTen[decimals] == f
}

// appendFixed writes f with a fixed number of decimals and no negative zero.
func appendFixed(b []byte, f float64, decimals int) []byte {
	if n, ok := onGrid(f, decimals); ok {
		return appendSteps(b, n, decimals)
	}
	from := len(b)
	b = strconv.AppendFloat(b, f, 'f', decimals, 64)
	if b[from] != '-' {
		return b
	}
	for _, c := range b[from+1:] {
		if c != '0' && c != '.' {
			return b
		}
	}
	return append(b[:from], b[from+1:]...)
}

// wound returns the ring turning counter-clockwise, or clockwise; a ring without
// area as it is.
func wound(r orb.Ring, ccw bool) orb.Ring {
	area := signedArea(r)
	if area == 0 || math.Signbit(area) != ccw {
		return r
	}
	back := make(orb.Ring, len(r))
	for i, p := range r {
		back[len(r)-1-i] = p
	}
	return back
}

// appendSteps writes a number of steps of the last decimal, two digits at a time.
func appendSteps(b []byte, n int64, decimals int) []byte {
	if n < 0 {
		b = append(b, '-')
		n = -n
	}
	steps := uint64(powersOfTen[decimals]) // in one
	whole, rest := uint64(n)/steps, uint64(n)%steps
	b = strconv.AppendUint(b, whole, 10)
	if decimals == 0 {
		return b
	}
	at := len(b) + 1 + decimals
	b = append(b, ".000000000000"[:1+decimals]...)
	for ; rest > 9; rest /= 100 {
		at -= 2
		pair := digitPairs[2*(rest%100):]
		b[at], b[at+1] = pair[0], pair[1]
	}
	if rest > 0 {
		b[at-1] = byte('0' + rest)
	}
	return b
}

const digitPairs = "00010203040506070809" +
	"10111213141516171819" +
	"20212223242526272829" +
	"30313233343536373839" +
	"40414243444546474849" +
	"50515253545556575859" +
	"60616263646566676869" +
	"70717273747576777879" +
	"80818283848586878889" +
	"90919293949596979899"
