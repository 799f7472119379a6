package raster

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"ratewright/geo/vector"
)

// Options change how a file is read.
type Options struct {
	// CRS names the coordinate system ("EPSG:26915") of a file that declares none. A
	// system that the file declares always holds.
	CRS string
}

// Raster is one image of a GeoTIFF. Bands count from 1, columns from 0 in the west of an
// upright image, rows from 0 in its north. It keeps blocks that it has read, so that one
// Raster is for one goroutine.
type Raster struct {
	f      *file
	layout layout
	place  place
	noData *float64 // in the type of the pixels
	notes  []string
	closer io.Closer

	most  int            // bytes of unpacked blocks that are kept
	kept  map[int][]byte // unpacked blocks by number
	order []int          // of kept, the oldest first
	bytes int            // of kept
}

// Open reads the head of a GeoTIFF file. The caller closes the raster. Every error about
// the content is a [vector.InputError] that names the file.
func Open(path string, o Options) (*Raster, error) {
	blank := &file{name: path}
	h, err := os.Open(path)
	if err != nil {
		var pe *fs.PathError
		if errors.As(err, &pe) {
			err = pe.Err
		}
		if errors.Is(err, fs.ErrNotExist) {
			return nil, blank.fault("", "there is no such file", "check the name and the folder")
		}
		return nil, blank.fault("", "cannot be opened: "+err.Error(), vector.Remedy(err, ""))
	}
	st, err := h.Stat()
	if err != nil || !st.Mode().IsRegular() {
		h.Close()
		return nil, blank.fault("", "is not a file", "name a GeoTIFF")
	}
	r, err := Decode(h, st.Size(), path, o)
	if err != nil {
		h.Close()
		return nil, err
	}
	r.closer = h
	return r, nil
}

// Decode is [Open] for bytes that lie elsewhere: size of them, called name in errors.
func Decode(src io.ReaderAt, size int64, name string, o Options) (*Raster, error) {
	f, first, err := openTIFF(src, size, name)
	if err != nil {
		return nil, err
	}
	d, err := f.directory(first)
	if err != nil {
		return nil, err
	}
	r := &Raster{f: f, most: maxKept, kept: map[int][]byte{}}
	if r.layout, err = d.layout(); err != nil {
		return nil, err
	}
	if r.place, err = d.place(r.layout, o); err != nil {
		return nil, err
	}
	r.notes = r.place.notes
	if err := r.readNoData(d); err != nil {
		return nil, err
	}
	if alpha := r.layout.alpha; alpha >= 0 {
		r.note("band %d says how solid a pixel is; pixels that are wholly transparent have no data", alpha+1)
	}
	return r, r.lookBeyond(d.next)
}

// Close closes the file behind the raster.
func (r *Raster) Close() error {
	if r.closer == nil {
		return nil
	}
	return r.closer.Close()
}

// Size returns how many columns and rows of pixels the image has.
func (r *Raster) Size() (cols, rows int) { return r.layout.cols, r.layout.rows }

// Bands returns how many numbers each pixel has.
func (r *Raster) Bands() int { return r.layout.bands }

// Type names the type of the numbers, such as "uint8" or "float32".
func (r *Raster) Type() string { return r.layout.kind.String() }

// CRSName returns the name of the coordinate system that the image is laid in.
func (r *Raster) CRSName() string { return r.place.system.Name() }

// Datum returns the datum of that system.
func (r *Raster) Datum() string { return r.place.system.Datum() }

// NoData returns the value that stands for no data, and false where the file names none.
func (r *Raster) NoData() (float64, bool) {
	if r.noData == nil {
		return 0, false
	}
	return *r.noData, true
}

// Bounds returns the box around the corners of the image in degrees of its datum. Corners
// that its coordinate system cannot mean are an error.
func (r *Raster) Bounds() (orb.Bound, error) {
	var box orb.MultiPoint
	for _, corner := range [][2]int{{0, 0}, {r.layout.cols, 0}, {0, r.layout.rows}, {r.layout.cols, r.layout.rows}} {
		x, y := r.place.affine.coordinates(float64(corner[0]), float64(corner[1]))
		lon, lat, err := r.place.system.ToDegrees(x, y)
		if err != nil {
			return orb.Bound{}, r.f.fault("", err.Error(), "")
		}
		box = append(box, orb.Point{lon, lat})
	}
	return box.Bound(), nil
}

// Notes are what the user should know of the file and did not stop the reading.
func (r *Raster) Notes() []string { return r.notes }

func (r *Raster) note(format string, args ...any) {
	r.notes = append(r.notes, r.f.name+": "+fmt.Sprintf(format, args...))
}

// readNoData reads the value that stands for no data, as the pixels can have it.
func (r *Raster) readNoData(d directory) error {
	text, err := d.text(tagNoData)
	if err != nil {
		return err
	}
	text = strings.TrimSpace(text)
	if _, ok := d.fields[tagNoData]; !ok || strings.EqualFold(strings.TrimLeft(text, "+-"), "nan") {
		return nil // what is not a number has no data anyway
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil && !errors.Is(err, strconv.ErrRange) {
		return d.f.fault(tagPlace(tagNoData), fmt.Sprintf("is %q, which is not a number", short(text)), "write the number that stands for no data")
	}
	k := r.layout.kind
	if k.format == formatFloat && k.bytes == 4 {
		v = float64(float32(v))
	}
	if math.IsInf(v, 0) {
		return nil // has no data anyway
	}
	if low, high := k.bounds(); v < low || v > high || k.format != formatFloat && v != math.Trunc(v) {
		r.note("no pixel of type %s can be %s, which stands for no data in it: every pixel counts", k, text)
	}
	r.noData = &v
	return nil
}

// bounds are the least and greatest number of a type.
func (k kind) bounds() (low, high float64) {
	bits := 8 * k.bytes
	switch k.format {
	case formatUnsigned:
		return 0, math.Ldexp(1, bits) - 1
	case formatSigned:
		return -math.Ldexp(1, bits-1), math.Ldexp(1, bits-1) - 1
	}
	return math.Inf(-1), math.Inf(1)
}

// maxDirectories is how many images of one file are looked at.
const maxDirectories = 256

// lookBeyond goes through the images behind the first.
func (r *Raster) lookBeyond(at uint64) error {
	images := 1
	for seen := 1; at != 0; seen++ {
		if seen == maxDirectories {
			return r.f.fault("", fmt.Sprintf("has more than %d images, or goes round in a circle", maxDirectories), "keep the first")
		}
		d, err := r.f.directory(at)
		if err != nil {
			return err
		}
		kind, err := d.one(tagSubfile, 0)
		if err != nil {
			return err
		}
		const reduced, mask = 1, 4
		if kind&mask != 0 {
			return r.f.fault("", "keeps apart which of its pixels hold something (a mask)", "write a number that stands for no data into the others")
		}
		if kind&reduced == 0 {
			images++
		}
		at = d.next
	}
	if images > 1 {
		r.note("has %d images; the first was read", images)
	}
	return nil
}
