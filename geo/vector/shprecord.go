package vector

import (
	"encoding/binary"
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// decodeShape reads the content of one record of a file of the given type. A nil
// shape without a fault is a null shape. Z and M values are stepped over; whether
// they are there is told by the length of the content.
func decodeShape(code int32, b []byte) (orb.Geometry, *fault) {
	// The caller has seen to the four bytes of the type.
	got := int32(binary.LittleEndian.Uint32(b))
	if got == shpNull {
		return nil, fitLength(b, 4)
	}
	if got != code {
		return nil, &fault{fmt.Sprintf("its shape type is %d in a file of type %d", got, code), "export the layer again with one type of shape"}
	}
	t, ok := splitType(code)
	if !ok {
		return nil, &fault{fmt.Sprintf("%d is no shape type", code), "export the layer again"}
	}
	switch t.base {
	case shpPoint:
		return decodePoint(t, b)
	case shpMultiPoint:
		return decodeMultiPoint(t, b)
	}
	return decodeParts(t, b)
}

// fitLength compares the length of a content with those that its counts allow.
func fitLength(b []byte, want ...int64) *fault {
	for _, w := range want {
		if int64(len(b)) == w {
			return nil
		}
	}
	return &fault{fmt.Sprintf("its content has %d bytes and its counts need %d", len(b), want[0]), "copy or export the file again"}
}

// withMeasures returns the lengths that a content may have whose x and y take
// plain bytes for n points: a Z block, and an M block that may be missing. Each
// block is a range and one value a point.
func (t shpType) withMeasures(plain, n int64) []int64 {
	block := 16 + 8*n
	switch {
	case t.z:
		return []int64{plain + block, plain + 2*block}
	case t.m:
		return []int64{plain, plain + block}
	}
	return []int64{plain}
}

func decodePoint(t shpType, b []byte) (orb.Geometry, *fault) {
	const plain = 20
	var f *fault
	switch {
	case t.z:
		f = fitLength(b, plain+8, plain+16)
	case t.m:
		f = fitLength(b, plain, plain+8)
	case len(b) != plain:
		f = fitLength(b, plain)
	}
	if f != nil {
		return nil, f
	}
	p := orb.Point{floatAt(b, 4), floatAt(b, 12)}
	if !finite(p) {
		return nil, &fault{"the point is " + spot(p) + ", which is not a number", "repair or remove it"}
	}
	return p, nil
}

// finite is false for NaN and Inf.
func finite(p orb.Point) bool {
	return math.Abs(p[0]) <= math.MaxFloat64 && math.Abs(p[1]) <= math.MaxFloat64
}

func decodeMultiPoint(t shpType, b []byte) (orb.Geometry, *fault) {
	const head = 40
	if len(b) < head {
		return nil, fitLength(b, head)
	}
	n := int64(int32(binary.LittleEndian.Uint32(b[36:])))
	if n < 0 {
		return nil, &fault{fmt.Sprintf("it counts %d points", n), "copy or export the file again"}
	}
	if f := fitLength(b, t.withMeasures(head+16*n, n)...); f != nil {
		return nil, f
	}
	if n == 0 {
		return nil, nil
	}
	points, f := decodePoints(b[head:], int(n))
	return orb.MultiPoint(points), f
}

// decodeParts reads lines or rings.
func decodeParts(t shpType, b []byte) (orb.Geometry, *fault) {
	const head = 44
	if len(b) < head {
		return nil, fitLength(b, head)
	}
	parts := int64(int32(binary.LittleEndian.Uint32(b[36:])))
	n := int64(int32(binary.LittleEndian.Uint32(b[40:])))
	if parts < 0 || n < 0 || parts > n {
		return nil, &fault{fmt.Sprintf("it counts %d parts and %d points", parts, n), "copy or export the file again"}
	}
	plain := head + 4*parts + 16*n
	if f := fitLength(b, t.withMeasures(plain, n)...); f != nil {
		return nil, f
	}
	if n == 0 {
		return nil, nil
	}
	ends, f := decodeEnds(b[head:], int(parts), int(n))
	if f != nil {
		return nil, f
	}
	points, f := decodePoints(b[head+4*parts:], int(n))
	if f != nil {
		return nil, f
	}
	if t.base == shpPolyLine {
		return joinLines(points, ends)
	}
	return joinRings(points, ends)
}

// decodeEnds reads where each part begins and returns where it ends.
func decodeEnds(b []byte, parts, n int) ([]int, *fault) {
	if parts == 0 {
		return nil, &fault{fmt.Sprintf("it counts no parts and %d points", n), "copy or export the file again"}
	}
	ends := make([]int, parts)
	before := -1
	for i := range parts {
		start := int(int32(binary.LittleEndian.Uint32(b[4*i:])))
		if start <= before || start >= n || i == 0 && start != 0 {
			return nil, &fault{fmt.Sprintf("part %d begins at point %d of %d", i+1, start, n), "copy or export the file again"}
		}
		if i > 0 {
			ends[i-1] = start
		}
		before = start
	}
	ends[parts-1] = n
	return ends, nil
}

func decodePoints(b []byte, n int) ([]orb.Point, *fault) {
	points := make([]orb.Point, n)
	for i := range points {
		p := orb.Point{floatAt(b, 16*i), floatAt(b, 16*i+8)}
		if !finite(p) {
			return nil, &fault{fmt.Sprintf("point %d is %s, which is not a number", i+1, spot(p)), "repair or remove it"}
		}
		points[i] = p
	}
	return points, nil
}

func joinLines(points []orb.Point, ends []int) (orb.Geometry, *fault) {
	lines := make(orb.MultiLineString, len(ends))
	start := 0
	for i, end := range ends {
		lines[i] = points[start:end:end]
		start = end
	}
	if f := checkShape(lines); f != nil {
		return nil, f
	}
	if len(lines) == 1 {
		return lines[0], nil
	}
	return lines, nil
}

func joinRings(points []orb.Point, ends []int) (orb.Geometry, *fault) {
	rings := make([]orb.Ring, len(ends))
	start := 0
	for i, end := range ends {
		rings[i] = points[start:end:end]
		start = end
		if f := checkRing(i, "", rings[i]); f != nil {
			return nil, f
		}
	}
	if len(rings) == 1 {
		return orb.Polygon(rings), nil
	}
	mp := nestRings(rings)
	if len(mp) == 1 {
		return mp[0], nil
	}
	return mp, nil
}
