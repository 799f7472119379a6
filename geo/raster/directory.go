package raster

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// The tags that are looked at.
const (
	tagSubfile      = 254
	tagCols         = 256
	tagRows         = 257
	tagBits         = 258
	tagCompression  = 259
	tagPhotometric  = 262
	tagFillOrder    = 266
	tagStripOffsets = 273
	tagOrientation  = 274
	tagSamples      = 277
	tagRowsPerStrip = 278
	tagStripCounts  = 279
	tagPlanar       = 284
	tagPredictor    = 317
	tagTileCols     = 322
	tagTileRows     = 323
	tagTileOffsets  = 324
	tagTileCounts   = 325
	tagExtra        = 338
	tagSampleFormat = 339
	tagPixelScale   = 33550
	tagTiepoint     = 33922
	tagTransform    = 34264
	tagGeoKeys      = 34735
	tagGeoText      = 34737
	tagNoData       = 42113
)

var tagNames = map[uint16]string{
	tagSubfile: "NewSubfileType", tagCols: "ImageWidth", tagRows: "ImageLength", tagBits: "BitsPerSample",
	tagCompression: "Compression", tagPhotometric: "PhotometricInterpretation", tagFillOrder: "FillOrder",
	tagStripOffsets: "StripOffsets", tagOrientation: "Orientation", tagSamples: "SamplesPerPixel",
	tagRowsPerStrip: "RowsPerStrip", tagStripCounts: "StripByteCounts", tagPlanar: "PlanarConfiguration",
	tagPredictor: "Predictor", tagTileCols: "TileWidth", tagTileRows: "TileLength", tagTileOffsets: "TileOffsets",
	tagTileCounts: "TileByteCounts", tagExtra: "ExtraSamples", tagSampleFormat: "SampleFormat",
	tagPixelScale: "ModelPixelScale", tagTiepoint: "ModelTiepoint", tagTransform: "ModelTransformation",
	tagGeoKeys: "GeoKeyDirectory", tagGeoText: "GeoAsciiParams",
	tagNoData: "GDAL_NODATA",
}

func tagPlace(tag uint16) string { return fmt.Sprintf("tag %d (%s)", tag, tagNames[tag]) }

// field is one entry of a directory: where its values stand.
type field struct {
	kind  uint16
	count uint64
	at    uint64 // place of the values in the file
}

// directory is what the file says of one image.
type directory struct {
	f      *file
	fields map[uint16]field
	next   uint64
}

// The types of values by number: bytes of each. Types of no use here have none.
var typeBytes = map[uint16]uint64{1: 1, 2: 1, 3: 2, 4: 4, 12: 8, 16: 8}

const (
	typeByte   = 1
	typeText   = 2
	typeShort  = 3
	typeLong   = 4
	typeDouble = 12
	typeLong8  = 16
)

// maxEntries is how many tags one image can have: each number of 16 bits once.
const maxEntries = 1 << 16

// directory reads the entries at a place, of which it keeps the known.
func (f *file) directory(at uint64) (directory, error) {
	d := directory{f: f, fields: map[uint16]field{}}
	countBytes, entryBytes, inline := uint64(2), uint64(12), uint64(4)
	if f.big {
		countBytes, entryBytes, inline = 8, 20, 8
	}
	b, err := f.bytes(at, countBytes)
	if err != nil {
		return d, err
	}
	n := f.word(b)
	if n > maxEntries || !f.holds(at+countBytes, n*entryBytes+inline) {
		return d, f.fault("", fmt.Sprintf("its directory at byte %d has %d entries and ends beyond the file", at, n), "copy or export it again")
	}
	if b, err = f.bytes(at+countBytes, n*entryBytes+inline); err != nil {
		return d, err
	}
	for i := range n {
		e := b[i*entryBytes:]
		tag := f.order.Uint16(e)
		if tagNames[tag] == "" {
			continue
		}
		if _, twice := d.fields[tag]; twice {
			return d, f.fault(tagPlace(tag), "stands twice in one directory", "export it again")
		}
		v := field{kind: f.order.Uint16(e[2:]), count: f.word(e[4 : 4+inline])}
		v.at = at + countBytes + i*entryBytes + 4 + inline
		if size := typeBytes[v.kind]; size > 0 && v.count > inline/size {
			v.at = f.word(e[4+inline : 4+2*inline])
		}
		d.fields[tag] = v
	}
	d.next = f.word(b[n*entryBytes:])
	return d, nil
}

// word reads an unsigned number of 2, 4 or 8 bytes.
func (f *file) word(b []byte) uint64 {
	switch len(b) {
	case 2:
		return uint64(f.order.Uint16(b))
	case 4:
		return uint64(f.order.Uint32(b))
	}
	return f.order.Uint64(b)
}

// raw reads the values of a tag as bytes; nil where it is absent. There may be at most
// some, and their type must be one of kinds.
func (d directory) raw(tag uint16, most uint64, kinds ...uint16) ([]byte, field, error) {
	v, ok := d.fields[tag]
	if !ok {
		return nil, v, nil
	}
	if !slices.Contains(kinds, v.kind) {
		return nil, v, d.f.fault(tagPlace(tag), fmt.Sprintf("has values of type %d, which it cannot have", v.kind), "export it again")
	}
	if v.count == 0 || v.count > most {
		return nil, v, d.f.fault(tagPlace(tag), fmt.Sprintf("has %d values; 1 to %d are read", v.count, most), "copy or export it again")
	}
	b, err := d.f.bytes(v.at, v.count*typeBytes[v.kind])
	return b, v, err
}

// whole reads the unsigned numbers of a tag, at most some; nil where it is absent.
func (d directory) whole(tag uint16, most uint64) ([]uint64, error) {
	b, v, err := d.raw(tag, most, typeByte, typeShort, typeLong, typeLong8)
	if b == nil || err != nil {
		return nil, err
	}
	out := make([]uint64, v.count)
	size := typeBytes[v.kind]
	for i := range out {
		if size == 1 {
			out[i] = uint64(b[i])
			continue
		}
		out[i] = d.f.word(b[uint64(i)*size : uint64(i+1)*size])
	}
	return out, nil
}

// one reads the only number of a tag, or takes the default.
func (d directory) one(tag uint16, absent uint64) (uint64, error) {
	v, err := d.whole(tag, 1)
	if v == nil || err != nil {
		return absent, err
	}
	return v[0], nil
}

// doubles reads the floating point numbers of a tag, all of them finite.
func (d directory) doubles(tag uint16) ([]float64, error) {
	const most = 1 << 16 // more than any matrix or list of points tied to the ground
	b, v, err := d.raw(tag, most, typeDouble)
	if b == nil || err != nil {
		return nil, err
	}
	out := make([]float64, v.count)
	for i := range out {
		out[i] = math.Float64frombits(d.f.order.Uint64(b[8*i:]))
		if math.IsNaN(out[i]) || math.IsInf(out[i], 0) {
			return nil, d.f.fault(tagPlace(tag), fmt.Sprintf("its value %d is %v", i+1, out[i]), "export it again")
		}
	}
	return out, nil
}

// text reads the text of a tag without the NUL at its end.
func (d directory) text(tag uint16) (string, error) {
	const most = 1 << 20
	b, _, err := d.raw(tag, most, typeText)
	return strings.ToValidUTF8(strings.TrimRight(string(b), "\x00"), "?"), err
}
