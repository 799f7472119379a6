package vector

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
)

// maxContent bounds the bytes of one record, which is held as a whole; it is 4
// million vertices.
const maxContent = 64 << 20

// shapefileSource reads the records of a shapefile one by one.
type shapefileSource struct {
	shp      *stream
	shx      *stream // nil: records in file order
	dbf      *dbfTable
	header   shpHeader
	record   int
	consumed int64 // bytes of the records read
	done     bool
}

func (s *shapefileSource) place(record int) string { return fmt.Sprintf("record %d", record) }

func (s *shapefileSource) notes() []string {
	if s.dbf == nil {
		return nil
	}
	return s.dbf.notes
}

func (s *shapefileSource) close() error {
	err := s.shp.close()
	if s.shx != nil {
		err = errors.Join(err, s.shx.close())
	}
	if s.dbf != nil {
		err = errors.Join(err, s.dbf.s.close())
	}
	return err
}

func (s *shapefileSource) bad(what, fix string) error {
	return &InputError{File: s.shp.name, Place: s.place(s.record), What: what, Fix: fix}
}

// next reads one record and the row that belongs to it.
func (s *shapefileSource) next(r *row) error {
	if s.done {
		return io.EOF
	}
	content, err := s.content()
	if errors.Is(err, io.EOF) {
		return s.finish()
	}
	if err != nil {
		return err
	}
	r.record, r.skip = s.record, ""
	if s.dbf == nil {
		r.attributes = nil
	} else {
		attributes, deleted, err := s.dbf.next(r.attributes)
		if err != nil {
			return err
		}
		if deleted {
			r.skip = SkippedDeleted
			return nil
		}
		r.attributes = attributes
	}
	shape, f := decodeShape(s.header.code, content)
	if f != nil {
		return s.bad(f.what, f.fix)
	}
	if shape == nil {
		r.skip = SkippedNull
		return nil
	}
	r.shape = shape
	return nil
}

// content returns the content of the next record, io.EOF behind the last.
func (s *shapefileSource) content() ([]byte, error) {
	words, err := s.locate()
	if err != nil {
		return nil, err
	}
	head, err := s.shp.window(8)
	if err != nil {
		return nil, err
	}
	length := 2 * int64(int32(binary.BigEndian.Uint32(head[4:])))
	switch {
	case length < 4:
		return nil, s.bad(fmt.Sprintf("its content is given as %d bytes", length), "copy or export the file again")
	case length > s.header.bytes-s.shp.pos:
		return nil, s.bad(fmt.Sprintf("its content is given as %d bytes and the file has only %d more", length, s.header.bytes-s.shp.pos), "copy or export the file again")
	case length > maxContent:
		return nil, s.bad(fmt.Sprintf("its content has %d MiB, and no more than %d are read", length>>20, maxContent>>20), "split or simplify the shape")
	case words >= 0 && 2*words != length:
		return nil, s.bad(fmt.Sprintf("its content is given as %d bytes, and by the .shx as %d", length, 2*words), "remove the .shx to read in file order, or export the layer again")
	}
	s.consumed += 8 + length
	if s.consumed > s.header.bytes-shpHeaderSize {
		return nil, s.bad("the .shx points at records more than once", "remove the .shx to read in file order, or export the layer again")
	}
	return s.shp.bytes(int(length))
}

// locate goes to the next record. It returns the length that the .shx has for it,
// -1 without an .shx.
func (s *shapefileSource) locate() (words int64, err error) {
	if s.shx == nil {
		if s.shp.pos >= s.header.bytes {
			return 0, io.EOF
		}
		s.record++
		if left := s.header.bytes - s.shp.pos; left < 8 {
			return 0, s.bad(fmt.Sprintf("the file ends %d bytes into its header", left), "copy or export the file again")
		}
		return -1, nil
	}
	if s.shx.left() < 8 {
		return 0, io.EOF
	}
	s.record++
	entry, err := s.shx.window(8)
	if err != nil {
		return 0, err
	}
	offset := 2 * int64(int32(binary.BigEndian.Uint32(entry)))
	words = int64(int32(binary.BigEndian.Uint32(entry[4:])))
	if offset < shpHeaderSize || offset > s.header.bytes-8 {
		return 0, &InputError{
			File: s.shx.name, Place: s.place(s.record),
			What: fmt.Sprintf("it points at byte %d of the .shp, whose records lie in %d to %d", offset, shpHeaderSize, s.header.bytes),
			Fix:  "remove the .shx to read in file order, or export the layer again",
		}
	}
	return words, s.shp.moveTo(offset)
}

// finish compares what the parts hold when the records end.
func (s *shapefileSource) finish() error {
	s.done = true
	if s.dbf != nil && s.dbf.row < s.dbf.rows {
		return s.dbf.mismatch(s.record)
	}
	for _, part := range s.streams() {
		if err := part.finish(); err != nil {
			return err
		}
	}
	return io.EOF
}

func (s *shapefileSource) streams() []*stream {
	all := []*stream{s.shp}
	if s.shx != nil {
		all = append(all, s.shx)
	}
	if s.dbf != nil {
		all = append(all, s.dbf.s)
	}
	return all
}

// records returns how many records the table counts, and no more than the bytes of
// the .shp allow.
func (s *shapefileSource) records() int {
	const smallest = 8 + 4 // of a record: a null shape
	if s.dbf == nil || s.shp.seek == nil {
		return 0
	}
	return int(min(int64(s.dbf.rows), (s.header.bytes-shpHeaderSize)/smallest))
}

// useIndex takes the .shx for the order of the records.
func (s *shapefileSource) useIndex(shx *stream) error {
	s.shx = shx
	h, err := readShpHeader(shx)
	if err != nil {
		return err
	}
	if (h.bytes-shpHeaderSize)%8 != 0 || h.bytes != shx.size {
		return &InputError{
			File: shx.name, Place: "header", What: fmt.Sprintf("the header says %d bytes and the file has %d", h.bytes, shx.size),
			Fix: "remove the .shx to read in file order, or export the layer again",
		}
	}
	return nil
}
