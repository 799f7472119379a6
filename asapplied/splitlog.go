package asapplied

import (
	"maps"
	"slices"

	"ratewright/geo"
)

// SplitLog is a log that covers many fields, ready to be split among them by
// place. It may be used by several goroutines at once.
type SplitLog struct {
	log   Log
	boxes []degreeBox // of stretchRecords consecutive records each
}

// stretchRecords is the number of consecutive records that share a box: a
// machine does not get far in them, so that few stretches need a closer look.
const stretchRecords = 256

// degreeBox is a rectangle in degrees.
type degreeBox struct{ west, south, east, north float64 }

func (b degreeBox) holds(lon, lat float64) bool {
	return lon >= b.west && lon <= b.east && lat >= b.south && lat <= b.north
}

func (b degreeBox) meets(o degreeBox) bool {
	return b.west <= o.east && o.west <= b.east && b.south <= o.north && o.south <= b.north
}

// Split makes a log ready to be split. The log must not be changed afterwards.
func Split(log Log) *SplitLog {
	s := &SplitLog{log: log}
	for from := 0; from < log.Len(); from += stretchRecords {
		to := min(from+stretchRecords, log.Len())
		lon, lat := log.Lon[from:to], log.Lat[from:to]
		s.boxes = append(s.boxes, degreeBox{slices.Min(lon), slices.Min(lat), slices.Max(lon), slices.Max(lat)})
	}
	return s
}

// Near returns the part of the log that a field can use, in its order, as a log
// of its own. Records that are certainly more than 100 m from the field's
// boundary are left out and counted as other_field, so that [Reconcile] gives
// the same as with the whole log.
func (s *SplitLog) Near(boundary geo.Region) Log {
	box, ok := nearBox(boundary)
	if !ok {
		return s.log.pick(nil)
	}
	var keep []int32
	for i, b := range s.boxes {
		if !b.meets(box) {
			continue
		}
		from := i * stretchRecords
		for r := from; r < min(from+stretchRecords, s.log.Len()); r++ {
			if box.holds(s.log.Lon[r], s.log.Lat[r]) {
				keep = append(keep, int32(r))
			}
		}
	}
	return s.log.pick(keep)
}

// nearBox holds every place within reach of the boundary: its own box in the
// plane, widened by half as much again as the limit, in degrees. The sides of
// that box are nearly straight in degrees over the size of a field, and the extra
// 50 m are far more than they bend.
func nearBox(boundary geo.Region) (degreeBox, bool) {
	if boundary.IsEmpty() {
		return degreeBox{}, false
	}
	b := boundary.Bound().Pad(1.5 * otherFieldM)
	p := boundary.Plane()
	first := p.Unproject(b.Min)
	box := degreeBox{first.Lon(), first.Lat(), first.Lon(), first.Lat()}
	const steps = 8 // along each side
	for i := range steps + 1 {
		t := float64(i) / steps
		x, y := b.Min[0]+t*(b.Max[0]-b.Min[0]), b.Min[1]+t*(b.Max[1]-b.Min[1])
		for _, at := range [][2]float64{{x, b.Min[1]}, {x, b.Max[1]}, {b.Min[0], y}, {b.Max[0], y}} {
			ll := p.Unproject(at)
			box.west, box.east = min(box.west, ll.Lon()), max(box.east, ll.Lon())
			box.south, box.north = min(box.south, ll.Lat()), max(box.north, ll.Lat())
		}
	}
	return box, true
}

// pick returns a log of the records kept, the others counted as other_field.
func (l *Log) pick(keep []int32) Log {
	out := *l
	out.Files, out.Notes, out.Mapping = slices.Clone(l.Files), slices.Clone(l.Notes), slices.Clone(l.Mapping)
	out.Lacking = slices.Clone(l.Lacking)
	out.Dropped = maps.Clone(l.Dropped)
	if out.Dropped == nil {
		out.Dropped = map[string]int{}
	}
	if left := l.Len() - len(keep); left > 0 {
		out.Dropped[DropOtherField] += left
	}
	out.File, out.Line, out.TimeNS = picked(l.File, keep, 1), picked(l.Line, keep, 1), picked(l.TimeNS, keep, 1)
	out.Lon, out.Lat = picked(l.Lon, keep, 1), picked(l.Lat, keep, 1)
	out.Heading, out.Speed = picked(l.Heading, keep, 1), picked(l.Speed, keep, 1)
	out.Distance, out.Duration, out.Width = picked(l.Distance, keep, 1), picked(l.Duration, keep, 1), picked(l.Width, keep, 1)
	out.Working, out.Fix = picked(l.Working, keep, 1), picked(l.Fix, keep, 1)
	out.Sections.Words = picked(l.Sections.Words, keep, l.Sections.Stride())
	out.Rate.V, out.Depth.V = picked(l.Rate.V, keep, l.Rate.N), picked(l.Depth.V, keep, l.Depth.N)
	out.Target, out.Flow, out.Product = picked(l.Target, keep, 1), picked(l.Flow, keep, 1), picked(l.Product, keep, 1)
	out.Load, out.Machine = picked(l.Load, keep, 1), picked(l.Machine, keep, 1)
	out.Polygons = picked(l.Polygons, keep, 1)
	return out
}

// picked copies the entries kept of a column with `stride` entries a record. A
// column that the log lacks stays nil.
func picked[T any](column []T, keep []int32, stride int) []T {
	if column == nil {
		return nil
	}
	out := make([]T, 0, len(keep)*stride)
	for _, r := range keep {
		out = append(out, column[int(r)*stride:(int(r)+1)*stride]...)
	}
	return out
}

// Bytes is about how much memory the columns take.
func (s *SplitLog) Bytes() int64 {
	l := &s.log
	words := len(l.TimeNS) + len(l.Sections.Words)
	for _, c := range [][]float64{
		l.Lon, l.Lat, l.Heading, l.Speed, l.Distance, l.Duration, l.Width,
		l.Rate.V, l.Depth.V, l.Target, l.Flow, l.Product,
	} {
		words += len(c)
	}
	const outline = 256 // a quad with its headers
	text := 2 * (len(l.Load) + len(l.Machine))
	return int64(8*(words+text) + 4*(len(l.File)+len(l.Line)) + len(l.Working) + len(l.Fix) + outline*len(l.Polygons))
}
