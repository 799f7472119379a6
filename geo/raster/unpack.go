package raster

import (
	"bufio"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"io"

	"golang.org/x/image/tiff/lzw"
)

// The compressions that are read.
const (
	packedNot     = 1
	packedLZW     = 5
	packedDeflate = 8
	packedBits    = 32773
	packedZlib    = 32946 // Deflate under its older number
)

// unpacksTo is how many bytes a byte of each compression can at most unpack to: by LZW
// a code of 9 bits gives no more than 4,096 bytes, by Deflate a match of 258 takes 2 bits.
var unpacksTo = map[uint64]uint64{packedNot: 1, packedLZW: 3641, packedDeflate: 1032, packedZlib: 1032, packedBits: 64}

var otherPackings = map[uint64]string{
	2: "CCITT modified Huffman", 3: "CCITT T.4", 4: "CCITT T.6", 6: "JPEG of the old form", 7: "JPEG",
	34712: "JPEG 2000", 34887: "LERC", 34925: "LZMA", 50000: "Zstandard", 50001: "WebP",
}

const (
	predictorNone       = 1
	predictorHorizontal = 2
	predictorFloat      = 3
)

// unpack reads a block and undoes its compression and predictor. The bytes of its
// numbers are in the order of the file.
func (f *file) unpack(l *layout, block int) ([]byte, error) {
	broken := func(what string) error {
		return f.fault(l.blockPlace(block), what, "copy or export it again")
	}
	need := uint64(l.rowsOf(block)) * uint64(l.rowBytes())
	count := l.counts[block]
	if need/unpacksTo[l.compression] > count {
		return nil, broken("is too short for its pixels")
	}
	src := io.NewSectionReader(f.r, int64(l.offsets[block]), int64(count))
	out := make([]byte, need)
	if err := unpackInto(out, l.compression, src); err != nil {
		switch {
		case errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF):
			return nil, broken("is too short for its pixels")
		default:
			return nil, broken("cannot be unpacked: " + err.Error())
		}
	}
	row := l.rowBytes()
	switch l.predictor {
	case predictorHorizontal:
		for at := 0; at < len(out); at += row {
			addUp(out[at:at+row], f.order, l.kind.bytes, l.pixelSamples())
		}
	case predictorFloat:
		planes := make([]byte, row)
		for at := 0; at < len(out); at += row {
			joinPlanes(out[at:at+row], planes, f.order, l.kind.bytes, l.pixelSamples())
		}
	}
	return out, nil
}

func unpackInto(out []byte, compression uint64, src io.Reader) error {
	switch compression {
	case packedLZW:
		r := lzw.NewReader(src, lzw.MSB, 8)
		defer r.Close()
		_, err := io.ReadFull(r, out)
		return err
	case packedDeflate, packedZlib:
		return inflate(out, src)
	case packedBits:
		return unpackBits(out, bufio.NewReader(src))
	}
	_, err := io.ReadFull(src, out)
	return err
}

// inflate also looks behind the block, where the checksum stands. A last strip that was
// filled up to the height of the others goes on there.
func inflate(out []byte, src io.Reader) error {
	r, err := zlib.NewReader(src)
	if err != nil {
		return err
	}
	if _, err := io.ReadFull(r, out); err != nil {
		return err
	}
	var more [1]byte
	if _, err := io.ReadFull(r, more[:]); !errors.Is(err, io.EOF) {
		return err
	}
	return nil
}

// unpackBits undoes PackBits. Source: TIFF 6.0, section 9.
func unpackBits(out []byte, src *bufio.Reader) error {
	for len(out) > 0 {
		b, err := src.ReadByte()
		if err != nil {
			return err
		}
		switch n := int8(b); {
		case n >= 0: // n + 1 bytes as they are
			k := int(n) + 1
			if k > len(out) {
				return errors.New("a run goes beyond the block")
			}
			if _, err := io.ReadFull(src, out[:k]); err != nil {
				return err
			}
			out = out[k:]
		case n != -128: // the next byte 1 - n times
			k := 1 - int(n)
			if k > len(out) {
				return errors.New("a run goes beyond the block")
			}
			v, err := src.ReadByte()
			if err != nil {
				return err
			}
			for i := range k {
				out[i] = v
			}
			out = out[k:]
		}
	}
	return nil
}

// addUp undoes horizontal differencing in a row: each number is the difference from the
// same band of the pixel before, in the arithmetic of its width, whatever its format.
// Source: TIFF 6.0, section 14.
func addUp(row []byte, order binary.ByteOrder, bytes, samples int) {
	step := bytes * samples
	for i := step; i+bytes <= len(row); i += bytes {
		a, b := row[i-step:], row[i:]
		switch bytes {
		case 1:
			b[0] += a[0]
		case 2:
			order.PutUint16(b, order.Uint16(b)+order.Uint16(a))
		case 4:
			order.PutUint32(b, order.Uint32(b)+order.Uint32(a))
		case 8:
			order.PutUint64(b, order.Uint64(b)+order.Uint64(a))
		}
	}
}

// joinPlanes undoes the floating point predictor in a row: its bytes were parted into
// planes, the most significant bytes of all numbers first, and each byte is the
// difference from the one as many numbers before as a pixel has. planes is memory as
// long as the row. Source: TIFF Technical Note 3 (Adobe 2005).
func joinPlanes(row, planes []byte, order binary.ByteOrder, bytes, samples int) {
	for i := samples; i < len(row); i++ {
		row[i] += row[i-samples]
	}
	copy(planes, row)
	n := len(row) / bytes
	little := order == binary.ByteOrder(binary.LittleEndian)
	for i := range n {
		for k := range bytes {
			to := i*bytes + k
			if little {
				to = i*bytes + bytes - 1 - k
			}
			row[to] = planes[k*n+i]
		}
	}
}
