package vector

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"

	"ratewright/geo/crs"
)

// maxPart is the longest part of a shapefile, in bytes: offsets are 32-bit counts
// of 16-bit words, and readers stop at 2 GB.
const maxPart = math.MaxInt32 - 1

// Shape is one record to be written: its polygons in degrees and a value for each
// field.
type Shape struct {
	Polygons orb.MultiPolygon
	Values   []any
}

// Parts are the files of one shapefile.
type Parts struct{ SHP, SHX, DBF, PRJ, CPG []byte }

// EncodeShapefile writes polygons in longitude and latitude on WGS 84 with their
// values: shells clockwise, holes counter-clockwise, no null shapes, text in UTF-8.
// The first ring of a polygon is its shell. The day of date goes into the .dbf, so
// that the same input gives the same bytes. Every limit of the format is checked;
// the error names the shape and what to do.
func EncodeShapefile(fields []Field, shapes []Shape, date time.Time) (Parts, error) {
	table, err := encodeDBF(fields, shapes, date)
	if err != nil {
		return Parts{}, err
	}
	size := int64(shpHeaderSize)
	for i, s := range shapes {
		if err := checkPolygons(s.Polygons); err != nil {
			return Parts{}, fmt.Errorf("write shapefile: shape %d: %w", i+1, err)
		}
		rings, points := countPolygons(s.Polygons)
		size += 8 + 44 + 4*int64(rings) + 16*int64(points)
	}
	if size > maxPart {
		return Parts{}, fmt.Errorf("write shapefile: the .shp would have %d bytes, more than 2 GB; write fewer shapes or fewer vertices", size)
	}
	shp := make([]byte, shpHeaderSize, size)
	shx := make([]byte, shpHeaderSize, shpHeaderSize+8*len(shapes))
	box := emptyBox
	for i, s := range shapes {
		start := len(shp)
		around := boxAround(s.Polygons)
		shp = append(shp, make([]byte, 8)...)
		shp = appendPolygon(shp, s.Polygons, around)
		words := uint32((len(shp) - start - 8) / 2)
		binary.BigEndian.PutUint32(shp[start:], uint32(i+1))
		binary.BigEndian.PutUint32(shp[start+4:], words)
		shx = binary.BigEndian.AppendUint32(shx, uint32(start/2))
		shx = binary.BigEndian.AppendUint32(shx, words)
		box = box.Union(around)
	}
	putHeader(shp, box)
	putHeader(shx, box)
	return Parts{SHP: shp, SHX: shx, DBF: table, PRJ: []byte(crs.ESRIWKT()), CPG: []byte("UTF-8")}, nil
}

// emptyBox holds nothing and grows by union.
var emptyBox = orb.Bound{Min: orb.Point{1, 1}, Max: orb.Point{-1, -1}}

// checkPolygons refuses what the format does not allow: no polygon, open or short
// rings, rings without area, positions that are not degrees.
func checkPolygons(mp orb.MultiPolygon) error {
	if len(mp) == 0 {
		return fmt.Errorf("it has no polygon; leave it out, for a null shape is never written")
	}
	n := 0
	for _, p := range mp {
		if len(p) == 0 {
			return fmt.Errorf("a polygon has no rings; leave it out")
		}
		for _, r := range p {
			n++
			if len(r) < 4 || r[0] != r[len(r)-1] {
				return fmt.Errorf("ring %d has %d points and is not a closed ring of four or more; close it by repeating its first point", n, len(r))
			}
			for _, q := range r {
				if !(math.Abs(q[0]) <= 180 && math.Abs(q[1]) <= 90) {
					return fmt.Errorf("ring %d: %s is not longitude and latitude in degrees; convert it first", n, spot(q))
				}
			}
			if signedArea(r) == 0 {
				return fmt.Errorf("ring %d at %s has no area; leave it out", n, spot(r[0]))
			}
		}
	}
	return nil
}

func countPolygons(mp orb.MultiPolygon) (rings, points int) {
	for _, p := range mp {
		rings += len(p)
		for _, r := range p {
			points += len(r)
		}
	}
	return rings, points
}

// boxAround is [orb.MultiPolygon.Bound] of polygons that have been checked, and so much
// faster.
func boxAround(mp orb.MultiPolygon) orb.Bound {
	low := mp[0][0][0]
	high := low
	for _, p := range mp {
		for _, q := range p[0] {
			low = orb.Point{min(low[0], q[0]), min(low[1], q[1])}
			high = orb.Point{max(high[0], q[0]), max(high[1], q[1])}
		}
	}
	return orb.Bound{Min: low, Max: high}
}

// appendPolygon writes the content of one polygon record with the box around it.
func appendPolygon(b []byte, mp orb.MultiPolygon, around orb.Bound) []byte {
	rings, points := countPolygons(mp)
	b = binary.LittleEndian.AppendUint32(b, shpPolygon)
	b = appendBox(b, around)
	b = binary.LittleEndian.AppendUint32(b, uint32(rings))
	b = binary.LittleEndian.AppendUint32(b, uint32(points))
	start := 0
	for _, p := range mp {
		for _, r := range p {
			b = binary.LittleEndian.AppendUint32(b, uint32(start))
			start += len(r)
		}
	}
	for _, p := range mp {
		for i, r := range p {
			for _, q := range wound(r, i > 0) {
				b = appendFloat(appendFloat(b, q[0]), q[1])
			}
		}
	}
	return b
}

func appendBox(b []byte, box orb.Bound) []byte {
	for _, f := range []float64{box.Min[0], box.Min[1], box.Max[0], box.Max[1]} {
		b = appendFloat(b, f)
	}
	return b
}

func appendFloat(b []byte, f float64) []byte {
	return binary.LittleEndian.AppendUint64(b, math.Float64bits(f))
}

// putHeader fills the first 100 bytes of a .shp or .shx.
func putHeader(b []byte, box orb.Bound) {
	binary.BigEndian.PutUint32(b, shpFileCode)
	binary.BigEndian.PutUint32(b[24:], uint32(len(b)/2))
	binary.LittleEndian.PutUint32(b[28:], shpVersion)
	binary.LittleEndian.PutUint32(b[32:], shpPolygon)
	if !box.IsEmpty() {
		appendBox(b[:36], box)
	}
}

// Zip packs the parts at top level under one name of at most eight letters,
// digits, '_' or '-', which is what old terminals read. Its times are fixed, so that
// the same parts give the same bytes.
func (p Parts) Zip(name string) ([]byte, error) {
	if !isShortName(name) {
		return nil, fmt.Errorf("zip shapefile: the name %q; use 1 to 8 characters A-Z, a-z, 0-9, _ or -, the first a letter or digit", name)
	}
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, part := range []struct {
		ext     string
		content []byte
	}{{".shp", p.SHP}, {".shx", p.SHX}, {".dbf", p.DBF}, {".prj", p.PRJ}, {".cpg", p.CPG}} {
		w, err := z.CreateHeader(&zip.FileHeader{
			Name: name + part.ext, Method: zip.Deflate,
			Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC), // the first day a zip can name
		})
		if err != nil {
			return nil, fmt.Errorf("zip shapefile: %w", err)
		}
		if _, err := w.Write(part.content); err != nil {
			return nil, fmt.Errorf("zip shapefile: %w", err)
		}
	}
	if err := z.Close(); err != nil {
		return nil, fmt.Errorf("zip shapefile: %w", err)
	}
	return b.Bytes(), nil
}

// isShortName checks the part of an 8.3 name before the dot.
func isShortName(s string) bool {
	if len(s) < 1 || len(s) > 8 {
		return false
	}
	for i := range len(s) {
		c := s[i]
		letter := c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c >= '0' && c <= '9'
		if !letter && (i == 0 || c != '_' && c != '-') {
			return false
		}
	}
	return true
}
