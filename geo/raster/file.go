package raster

import (
	"encoding/binary"
	"fmt"
	"io"

	"ratewright/geo/vector"
)

// file is a TIFF file as its bytes.
type file struct {
	name  string
	r     io.ReaderAt
	size  int64
	order binary.ByteOrder
	big   bool // offsets of 64 bits
}

// openTIFF reads the first bytes and returns the place of the first directory.
func openTIFF(r io.ReaderAt, size int64, name string) (*file, uint64, error) {
	f := &file{name: name, r: r, size: size}
	head, err := f.bytes(0, uint64(min(size, 16)))
	if err != nil {
		return nil, 0, err
	}
	notTIFF := f.fault("", "is not a TIFF file", "give a GeoTIFF")
	if len(head) < 8 {
		return nil, 0, notTIFF
	}
	switch string(head[:2]) {
	case "II":
		f.order = binary.LittleEndian
	case "MM":
		f.order = binary.BigEndian
	default:
		return nil, 0, notTIFF
	}
	switch f.order.Uint16(head[2:]) {
	case 42:
		return f, uint64(f.order.Uint32(head[4:])), nil
	case 43:
		if len(head) < 16 || f.order.Uint16(head[4:]) != 8 || f.order.Uint16(head[6:]) != 0 {
			return nil, 0, f.fault("", "is a BigTIFF file with a broken head", "export it again")
		}
		f.big = true
		return f, f.order.Uint64(head[8:]), nil
	}
	return nil, 0, notTIFF
}

func (f *file) fault(place, what, fix string) error {
	return &vector.InputError{File: f.name, Place: place, What: what, Fix: fix}
}

// holds reports whether n bytes lie at a place of the file.
func (f *file) holds(at, n uint64) bool {
	return at <= uint64(f.size) && n <= uint64(f.size)-at
}

// bytes reads n bytes, which it takes memory for only where the file has them.
func (f *file) bytes(at, n uint64) ([]byte, error) {
	if !f.holds(at, n) {
		return nil, f.fault("", fmt.Sprintf("points to %d bytes at %d and has only %d", n, at, f.size), "copy or export it again")
	}
	b := make([]byte, n)
	if got, err := f.r.ReadAt(b, int64(at)); got < len(b) {
		return nil, f.fault("", "cannot be read: "+err.Error(), "copy or export it again")
	}
	return b, nil
}
