package vector

import (
	"encoding/binary"
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

const (
	shpFileCode   = 9994
	shpVersion    = 1000
	shpHeaderSize = 100
)

// Shape types of the ESRI Shapefile Technical Description, July 1998. The Z forms
// are ten higher and the M forms twenty.
const (
	shpNull       = 0
	shpPoint      = 1
	shpPolyLine   = 3
	shpPolygon    = 5
	shpMultiPoint = 8
	shpMultiPatch = 31
)

// shpType is a shape type taken apart.
type shpType struct {
	base int // shpPoint, shpPolyLine, shpPolygon or shpMultiPoint
	z, m bool
}

// splitType takes a shape type apart; false where there is no such type.
func splitType(code int32) (shpType, bool) {
	t := shpType{base: int(code % 10), z: code/10 == 1, m: code/10 == 2}
	switch t.base {
	case shpPoint, shpPolyLine, shpPolygon, shpMultiPoint:
		return t, code > 0 && code < 30
	}
	return t, false
}

// shpHeader is the header that .shp and .shx share.
type shpHeader struct {
	code  int32 // shape type of the file
	bytes int64 // length of the file
	box   orb.Bound
}

// readShpHeader reads and checks the first 100 bytes of a .shp or .shx.
func readShpHeader(s *stream) (shpHeader, error) {
	bad := func(what, fix string) (shpHeader, error) {
		return shpHeader{}, &InputError{File: s.name, Place: "header", What: what, Fix: fix}
	}
	if s.size < shpHeaderSize {
		return bad(fmt.Sprintf("the file has %d bytes, and the header alone has %d", s.size, shpHeaderSize), "copy or export it again")
	}
	b, err := s.window(shpHeaderSize)
	if err != nil {
		return shpHeader{}, err
	}
	if code := int32(binary.BigEndian.Uint32(b)); code != shpFileCode {
		return bad(fmt.Sprintf("the file code is %d, not %d", code, shpFileCode), "give a shapefile")
	}
	if v := int32(binary.LittleEndian.Uint32(b[28:])); v != shpVersion {
		return bad(fmt.Sprintf("the version is %d, not %d", v, shpVersion), "export it again")
	}
	h := shpHeader{
		code:  int32(binary.LittleEndian.Uint32(b[32:])),
		bytes: 2 * int64(int32(binary.BigEndian.Uint32(b[24:]))),
		box: orb.Bound{
			Min: orb.Point{floatAt(b, 36), floatAt(b, 44)},
			Max: orb.Point{floatAt(b, 52), floatAt(b, 60)},
		},
	}
	if h.bytes < shpHeaderSize || h.bytes > s.size {
		return bad(fmt.Sprintf("the header says %d bytes and the file has %d", h.bytes, s.size), "copy or export it again")
	}
	switch _, ok := splitType(h.code); {
	case h.code == shpMultiPatch:
		return bad("the shapes are MultiPatch surfaces", "export them as polygons")
	case !ok && h.code != shpNull:
		return bad(fmt.Sprintf("%d is no shape type", h.code), "export it again")
	}
	return h, nil
}

func floatAt(b []byte, at int) float64 {
	return math.Float64frombits(binary.LittleEndian.Uint64(b[at:]))
}
