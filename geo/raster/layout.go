package raster

import "fmt"

const (
	maxSide  = 1 << 20
	maxBands = 1 << 10
	maxBlock = 256 << 20 // bytes of one strip or tile, unpacked
)

// kind is the type of a pixel's number.
type kind struct {
	format uint64 // SampleFormat
	bytes  int
}

const (
	formatUnsigned  = 1
	formatSigned    = 2
	formatFloat     = 3
	formatUndefined = 4
)

func (k kind) String() string {
	word := map[uint64]string{formatUnsigned: "uint", formatSigned: "int", formatFloat: "float"}[k.format]
	return fmt.Sprintf("%s%d", word, 8*k.bytes)
}

// layout says how the pixels of an image stand in its file.
type layout struct {
	cols, rows, bands    int
	kind                 kind
	separate             bool // bands one after another
	blockCols, blockRows int  // of a tile, or a strip as wide as the image
	across, down         int  // blocks
	tiled                bool
	offsets, counts      []uint64 // of the blocks
	compression          uint64
	predictor            uint64
	alpha                int // band that says where there is data; -1: none
}

func (d directory) layout() (layout, error) {
	l := layout{alpha: -1}
	for _, step := range []func(directory) error{l.readSize, l.readKind, l.readCoding, l.readBlocks, l.readExtra} {
		if err := step(d); err != nil {
			return l, err
		}
	}
	return l, nil
}

// side reads a size that lies between 1 and a limit.
func (d directory) side(tag uint16, most uint64) (int, error) {
	v, err := d.one(tag, 0)
	if err == nil && (v < 1 || v > most) {
		err = d.f.fault(tagPlace(tag), fmt.Sprintf("is %d; between 1 and %d are read", v, most), "cut the image to the field")
	}
	return int(v), err
}

func (l *layout) readSize(d directory) error {
	var err error
	if l.cols, err = d.side(tagCols, maxSide); err != nil {
		return err
	}
	if l.rows, err = d.side(tagRows, maxSide); err != nil {
		return err
	}
	bands, err := d.one(tagSamples, 1)
	if err == nil && (bands < 1 || bands > maxBands) {
		err = d.f.fault(tagPlace(tagSamples), fmt.Sprintf("is %d; between 1 and %d bands are read", bands, maxBands), "keep the bands that are needed")
	}
	l.bands = int(bands)
	return err
}

// same reads a tag with one value for each band, or for all, which must be equal.
func (l *layout) same(d directory, tag uint16, absent uint64) (uint64, error) {
	v, err := d.whole(tag, uint64(l.bands))
	if err != nil || v == nil {
		return absent, err
	}
	if len(v) != l.bands && len(v) != 1 {
		return 0, d.f.fault(tagPlace(tag), fmt.Sprintf("has %d values for %d bands", len(v), l.bands), "export it again")
	}
	for _, w := range v[1:] {
		if w != v[0] {
			return 0, d.f.fault(tagPlace(tag), "differs between bands", "keep bands of one type")
		}
	}
	return v[0], nil
}

func (l *layout) readKind(d directory) error {
	bits, err := l.same(d, tagBits, 1)
	if err != nil {
		return err
	}
	format, err := l.same(d, tagSampleFormat, formatUnsigned)
	if err != nil {
		return err
	}
	if format == formatUndefined { // TIFF 6.0, section 19: as if it were not there
		format = formatUnsigned
	}
	l.kind = kind{format, int(bits / 8)}
	const fix = "convert it to integers of 8, 16 or 32 bits or floating point numbers of 32 or 64"
	switch {
	case format == formatFloat && (bits == 32 || bits == 64):
	case (format == formatUnsigned || format == formatSigned) && (bits == 8 || bits == 16 || bits == 32):
	case format == 5 || format == 6:
		return d.f.fault(tagPlace(tagSampleFormat), "its pixels are complex numbers", fix)
	default:
		return d.f.fault(tagPlace(tagBits), fmt.Sprintf("its pixels have %d bits in format %d", bits, format), fix)
	}
	return nil
}

// readCoding reads how bytes are packed and refuses what is not read here.
func (l *layout) readCoding(d directory) error {
	var err error
	if l.compression, err = d.one(tagCompression, packedNot); err != nil {
		return err
	}
	if _, known := unpacksTo[l.compression]; !known {
		name, ok := otherPackings[l.compression]
		if !ok {
			name = fmt.Sprintf("number %d", l.compression)
		}
		return d.f.fault(tagPlace(tagCompression), "is "+name+", which is not read here", "write it with Deflate, LZW or no compression")
	}
	if l.predictor, err = d.one(tagPredictor, predictorNone); err != nil {
		return err
	}
	switch {
	case l.predictor < predictorNone || l.predictor > predictorFloat:
		err = d.f.fault(tagPlace(tagPredictor), fmt.Sprintf("is %d; 1, 2 and 3 are known", l.predictor), "export it again")
	case l.predictor != predictorNone && (l.compression == packedNot || l.compression == packedBits):
		err = d.f.fault(tagPlace(tagPredictor), fmt.Sprintf("is %d, and compression %d has none", l.predictor, l.compression), "export it again")
	case l.predictor == predictorFloat && l.kind.format != formatFloat:
		err = d.f.fault(tagPlace(tagPredictor), fmt.Sprintf("is 3, which is for floating point numbers, and its pixels are %s", l.kind), "export it again")
	}
	if err != nil {
		return err
	}
	return l.readOddities(d)
}

// readOddities refuses what would have pixels read in a wrong place or order.
func (l *layout) readOddities(d directory) error {
	planar, err := d.one(tagPlanar, 1)
	if err != nil {
		return err
	}
	if planar != 1 && planar != 2 {
		return d.f.fault(tagPlace(tagPlanar), fmt.Sprintf("is %d; 1 and 2 are known", planar), "export it again")
	}
	l.separate = planar == 2 && l.bands > 1
	order, err := d.one(tagFillOrder, 1)
	if err == nil && order != 1 {
		err = d.f.fault(tagPlace(tagFillOrder), fmt.Sprintf("is %d, so that the bits of a byte are turned around", order), "export it again")
	}
	if err != nil {
		return err
	}
	turned, err := d.one(tagOrientation, 1)
	if err == nil && turned != 1 {
		err = d.f.fault(tagPlace(tagOrientation), fmt.Sprintf("is %d: the image is turned or mirrored", turned), "write it with its first row in the north")
	}
	if err != nil {
		return err
	}
	colours, err := d.one(tagPhotometric, 1)
	const palette, luminance = 3, 6
	if err == nil && (colours == luminance || colours == palette) {
		err = d.f.fault(tagPlace(tagPhotometric), fmt.Sprintf("is %d: its numbers stand for colours", colours), "give the index itself, not a picture of it")
	}
	return err
}

// readExtra finds the band that says where there is data.
func (l *layout) readExtra(d directory) error {
	extra, err := d.whole(tagExtra, uint64(l.bands))
	if err != nil {
		return err
	}
	for i, e := range extra {
		if e == 1 || e == 2 {
			l.alpha = l.bands - len(extra) + i
			break
		}
	}
	return nil
}
