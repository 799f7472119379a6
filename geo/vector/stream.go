package vector

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
)

const (
	streamWindow = 256 << 10 // bytes read at a time; more than the longest dBASE row
	growStep     = 1 << 20   // a long record takes memory only as its bytes arrive
)

// stream is one part of a shapefile, read forward.
type stream struct {
	name string // for messages
	size int64  // bytes that the part has, or that its zip entry promises
	pos  int64
	r    *bufio.Reader
	file io.ReadCloser
	seek io.Seeker // nil where there is only forward
	kept []byte
}

func newStream(name string, size int64, file io.ReadCloser) *stream {
	seeker, _ := file.(io.Seeker)
	window := int(min(size, streamWindow)) // small parts need no large window
	return &stream{name: name, size: size, r: bufio.NewReaderSize(file, window), file: file, seek: seeker}
}

// openStream opens a part that is a file.
func openStream(path string) (*stream, error) {
	f, err := openFile(path)
	if err != nil {
		return nil, err
	}
	st, err := f.Stat()
	if err != nil {
		f.Close()
		return nil, unreadable(path, err)
	}
	return newStream(path, st.Size(), f), nil
}

func (s *stream) close() error { return s.file.Close() }

// left returns the bytes behind the current position.
func (s *stream) left() int64 { return s.size - s.pos }

// window returns the next n bytes and steps over them; n is at most streamWindow.
// The bytes hold until the next call.
func (s *stream) window(n int) ([]byte, error) {
	b, err := s.r.Peek(n)
	if err != nil {
		return nil, s.broken(err)
	}
	if _, err := s.r.Discard(n); err != nil {
		return nil, s.broken(err)
	}
	s.pos += int64(n)
	return b, nil
}

// bytes returns the next n bytes, however many, and steps over them. The caller has
// compared n with left. The bytes hold until the next call.
func (s *stream) bytes(n int) ([]byte, error) {
	if n <= streamWindow {
		return s.window(n)
	}
	s.kept = s.kept[:0]
	for len(s.kept) < n {
		from := len(s.kept)
		step := min(n-from, growStep)
		s.kept = append(s.kept, make([]byte, step)...)
		if _, err := io.ReadFull(s.r, s.kept[from:]); err != nil {
			return nil, s.broken(err)
		}
	}
	s.pos += int64(n)
	return s.kept, nil
}

// moveTo goes to a position of the part.
func (s *stream) moveTo(pos int64) error {
	if pos == s.pos {
		return nil
	}
	if s.seek == nil {
		return &InputError{
			File: s.name, What: "its records do not stand in the order of its .shx",
			Fix: "unpack the zip and read the .shp",
		}
	}
	if _, err := s.seek.Seek(pos, io.SeekStart); err != nil {
		return s.broken(err)
	}
	s.r.Reset(s.file)
	s.pos = pos
	return nil
}

// finish reads what is left, so that a zip entry is compared with its checksum.
func (s *stream) finish() error {
	if s.seek != nil {
		return nil
	}
	n, err := io.CopyN(io.Discard, s.r, s.left()+1)
	switch {
	case errors.Is(err, io.EOF) && n == s.left():
		return nil
	case err != nil:
		return s.broken(err)
	}
	return &InputError{File: s.name, What: "unpacks to more than the zip says", Fix: "make the zip again"}
}

// broken turns a read error into one that names the file.
func (s *stream) broken(err error) error {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return &InputError{File: s.name, What: fmt.Sprintf("the file ends in the middle, behind byte %d", s.pos), Fix: "copy or export it again"}
	}
	var pe *os.PathError
	if errors.As(err, &pe) {
		err = pe.Err
	}
	return &InputError{File: s.name, What: "cannot be read: " + err.Error(), Fix: Remedy(err, "copy or export it again")}
}

// small returns the whole of a part that must be short, such as a .prj.
func (s *stream) small(limit int64) ([]byte, error) {
	if s.size > limit {
		return nil, &InputError{File: s.name, What: fmt.Sprintf("has %d bytes, and no such file needs more than %d", s.size, limit), Fix: "export it again"}
	}
	b, err := s.bytes(int(s.size))
	if err != nil {
		return nil, err
	}
	return b, s.finish()
}
