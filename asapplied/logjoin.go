package asapplied

import (
	"io"
	"runtime"
	"slices"
	"sync/atomic"

	"ratewright/geo/parallel"
)

// readRows reads the rows of a file into the log: those of a CSV file of two
// pieces or more, of `least` bytes each, side by side, and with the same result.
func (r *fileReader) readRows(least int64) error {
	pieces, workers := r.pieces(least)
	if len(pieces) < 2 {
		r.reserve(r.rows)
		return r.read()
	}
	base := r.log.Len()
	last := pieces[len(pieces)-1]
	r.reserve(last.at + last.rows)
	parts := make([]*fileReader, len(pieces))
	faults := make([]error, len(pieces))
	var failed atomic.Bool
	parallel.Each(len(pieces), workers, func(i int) {
		if failed.Load() { // in a piece before, for they are taken in order
			return
		}
		if parts[i], faults[i] = r.readPiece(&pieces[i], base); faults[i] != nil {
			failed.Store(true)
		}
	})
	if i := slices.IndexFunc(faults, func(err error) bool { return err != nil }); i >= 0 {
		return faults[i]
	}
	if slices.ContainsFunc(parts, (*fileReader).needsTimeBefore) {
		return r.read()
	}
	for _, part := range parts {
		r.join(part)
	}
	r.conclude()
	return nil
}

// pieces cuts a file where that pays and leaves the records as they are.
func (r *fileReader) pieces(least int64) ([]piece, int) {
	workers := r.spec.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	t, ok := r.table.(*csvTable)
	n := min(int64(workers)*piecesPerWorker, r.about.size/least)
	if !ok || workers < 2 || n < 2 {
		return nil, workers
	}
	pieces, err := t.cut(int(n), workers)
	if err != nil { // one reader alone finds it too, behind the rows before
		return nil, workers
	}
	return pieces, workers
}

// readPiece reads a piece into its place in the columns of r, in a reader whose
// log has that place and nothing else.
func (r *fileReader) readPiece(p *piece, base int) (*fileReader, error) {
	t := r.table.(*csvTable)
	part := &fileReader{
		spec: r.spec, log: &Log{Dropped: map[string]int{}}, index: r.index, about: r.about, m: r.m, point: r.point,
		crs: r.crs, degrees: r.degrees, lanes: map[string]int{},
	}
	if err := part.prepare(); err != nil {
		return nil, err
	}
	if part.time != nil && part.time.clock != nil {
		part.time.clock.cutOff = p.at > 0
	}
	mine := part.columns()
	for i, c := range r.columns() {
		c.lend(mine[i], base+p.at, p.rows)
	}
	part.table = &csvTable{r: &csvReader{
		src: io.NewSectionReader(t.file, p.from, p.to-p.from), path: t.r.path, sep: t.r.sep, eol: t.r.eol, newline: p.line,
	}}
	err := part.readAll()
	part.table = nil // its buffer is not needed any more
	if err == nil && part.log.Len() > p.rows {
		err = inputFault(r.about.path, "", "the file changed while it was read", "wait until it is complete, and read it again")
	}
	return part, err
}

// needsTimeBefore reports whether a piece has times that only the piece before
// tells apart.
func (r *fileReader) needsTimeBefore() bool {
	return r.time != nil && r.time.clock != nil && r.time.clock.unsure
}

// join appends the records of a piece and adds its counts.
func (r *fileReader) join(part *fileReader) {
	theirs := part.columns()
	for i, c := range r.columns() {
		c.join(theirs[i])
	}
	r.log.Read += part.log.Read
	r.nuls.add(part.nuls)
	for reason, n := range part.log.Dropped {
		r.log.Dropped[reason] += n
	}
	for i, f := range part.numbers {
		r.numbers[i].add(f.tally)
	}
	if f := part.fix; f != nil {
		r.fix.add(f.tally)
	}
	if f := part.work; f != nil {
		r.work.add(f.tally)
		r.work.errors += f.errors
	}
	if f := part.sections; f != nil {
		r.sections.add(f)
	}
	if f := part.time; f != nil {
		r.time.local += f.local
		if f.clock != nil {
			r.time.clock.skipped += f.clock.skipped
		}
	}
}

// logColumn is a column of a log that is being filled.
type logColumn interface {
	reserve(records int)
	lend(to logColumn, at, records int)
	join(part logColumn)
}

// columnOf is a column with `stride` entries a record.
type columnOf[T any] struct {
	dst    *[]T
	stride int
}

// columns are those that the rows of a CSV file fill. Readers prepared alike
// have them in the same order.
func (r *fileReader) columns() []logColumn {
	l := r.log
	list := []logColumn{columnOf[int32]{&l.File, 1}, columnOf[int32]{&l.Line, 1}, columnOf[float64]{&l.Lon, 1}, columnOf[float64]{&l.Lat, 1}}
	if r.time != nil {
		list = append(list, columnOf[int64]{&l.TimeNS, 1})
	}
	if r.fix != nil {
		list = append(list, columnOf[int8]{&l.Fix, 1})
	}
	for i, f := range r.numbers {
		if i == 0 || r.numbers[i-1].dst != f.dst { // lanes share a column
			list = append(list, columnOf[float64]{f.dst, f.lanes})
		}
	}
	if r.work != nil {
		list = append(list, columnOf[int8]{r.work.dst, 1})
	}
	for _, f := range r.labels {
		list = append(list, columnOf[string]{f.dst, 1})
	}
	if r.sections != nil {
		list = append(list, columnOf[uint64]{&l.Sections.Words, l.Sections.Stride()})
	}
	return list
}

// reserve makes room for records to come, so that columns seldom move.
func (r *fileReader) reserve(records int) {
	for _, c := range r.columns() {
		c.reserve(records)
	}
}

func (c columnOf[T]) reserve(records int) {
	n := records * c.stride
	if *c.dst == nil { // new memory is not touched before it is written
		*c.dst = make([]T, 0, n)
		return
	}
	*c.dst = slices.Grow(*c.dst, n)
}

// lend gives `to` the reserved room of records from `at` on.
func (c columnOf[T]) lend(to logColumn, at, records int) {
	lo, hi := at*c.stride, (at+records)*c.stride
	*to.(columnOf[T]).dst = (*c.dst)[lo:lo:hi]
}

// join appends what a part wrote into its room, moving it only where rows before
// it gave no record.
func (c columnOf[T]) join(part logColumn) {
	col, p := *c.dst, *part.(columnOf[T]).dst
	n := len(col) + len(p)
	if len(p) > 0 && n <= cap(col) && &col[:n][len(col)] == &p[0] {
		*c.dst = col[:n]
		return
	}
	*c.dst = append(col, p...)
}
