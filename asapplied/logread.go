package asapplied

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"ratewright/geo/crs"
)

// ReadLog reads the files of a spec into one log. Every data row gives a record
// or is counted in Log.Dropped; a file that cannot be understood is an error
// (*vector.InputError) that names file, line or column, and what to do.
func ReadLog(spec LogSpec) (Log, error) { return readLog(spec, smallestPiece) }

// readLog is ReadLog with pieces of at least so many bytes.
func readLog(spec LogSpec, least int64) (Log, error) {
	var log Log
	if len(spec.Files) == 0 {
		return log, inputFault("", "logs", "no file is named", "write files: [log.csv]")
	}
	if err := checkSpec(spec); err != nil {
		return log, err
	}
	log.Dropped = map[string]int{}
	var first *fileReader
	top := 0
	for i, path := range spec.Files {
		r, err := newFileReader(spec, path, &log, int32(i))
		if err != nil {
			return Log{}, err
		}
		if err = r.start(first); err == nil {
			err = r.readRows(least)
		}
		r.table.close() // nothing was written, so that closing cannot lose anything
		if err != nil {
			return Log{}, err
		}
		if first == nil {
			first = r
		}
		if r.sections != nil {
			top = max(top, r.sections.top)
		}
	}
	if err := log.finish(first, top); err != nil {
		return Log{}, err
	}
	return log, nil
}

// finish settles what only the whole log shows, and refuses one without records.
func (l *Log) finish(first *fileReader, top int) error {
	if l.Len() == 0 {
		return inputFault(l.Files[0], "", fmt.Sprintf("none of the %d rows gives a record (%s)", l.Read, countsText(l.Dropped)),
			"look at the file with inspect, and check which columns hold position and time")
	}
	if l.Working != nil && !slices.ContainsFunc(l.Working, func(w int8) bool { return w >= 0 }) {
		return inputFault(l.Files[0], "", "no record says in its column for working whether it works",
			"name the column whose words are yes and no, on and off or 1 and 0, or write working: none under columns")
	}
	if s := first.sections; s != nil && s.layout.count == 0 {
		l.Sections.N = max(1, top)
		l.SectionsAtLeast = true
		l.Notes = append(l.Notes, fmt.Sprintf("sections come as bit masks: their number, %d, is the highest ever on; write units: {sections: %s of N} to say it",
			l.Sections.N, s.layout.form))
	}
	return nil
}

// countsText lists counts in the order of their names; without any it says none.
func countsText(counts map[string]int) string {
	if len(counts) == 0 {
		return "none"
	}
	var parts []string
	for _, k := range slices.Sorted(maps.Keys(counts)) {
		parts = append(parts, fmt.Sprintf("%s %d", k, counts[k]))
	}
	return strings.Join(parts, ", ")
}

// fileReader reads one file of a log.
type fileReader struct {
	spec  LogSpec
	log   *Log
	index int32
	table table
	about *tableInfo
	m     *mapping
	point byte
	rows  int // about how many there are, 0 if unknown

	lon, lat *numberFill // nil where the shapes have the positions
	crs      crs.CRS
	degrees  bool // positions need no conversion

	time     *timeFill
	fix      *fixFill
	work     *workFill
	sections *sectionFill
	numbers  []*numberFill
	labels   []*labelFill
	lanes    map[string]int
	how      map[string]string // role -> how its values are read
	nuls     nulTally          // rows of a text file that NUL bytes stand for
	each     func(*row)        // sees every record besides; may be nil
}

// newFileReader opens a file, learns its columns from its first rows, and opens
// it again to read it all.
func newFileReader(spec LogSpec, path string, log *Log, index int32) (*fileReader, error) {
	s, projected, err := system(spec)
	if err != nil {
		return nil, err
	}
	about, facts, point, rows, err := study(path, spec.CRS, projected)
	if err != nil {
		return nil, err
	}
	m, err := mapColumns(spec, about, facts)
	if err != nil {
		return nil, err
	}
	r := &fileReader{
		spec: spec, log: log, index: index, m: m, point: point, crs: s, degrees: !projected, rows: rows,
		lanes: map[string]int{},
	}
	if r.table, err = openTable(path, spec.CRS, about.names); err != nil {
		return nil, err
	}
	r.about = r.table.info()
	log.Files = append(log.Files, path)
	log.Notes = append(log.Notes, m.notes...)
	return r, nil
}

// study reads the first rows of a file and describes its columns.
func study(path, crsName string, projected bool) (about *tableInfo, all []facts, point byte, rows int, err error) {
	t, err := openTable(path, crsName, nil)
	if err != nil {
		return nil, nil, 0, 0, err
	}
	defer t.close() // nothing was written, so that closing cannot lose anything
	about = t.info()
	if about.shape == lineShape {
		return nil, nil, 0, 0, inputFault(path, "", "the file has lines or mixed shapes", "a log is of points, or of polygons, one a record")
	}
	s, err := readSample(t)
	if err != nil {
		return nil, nil, 0, 0, err
	}
	if s.total == 0 {
		return nil, nil, 0, 0, inputFault(path, "", "the log is empty: it has no rows", "export it again, or leave the file out of logs:")
	}
	point = findPoint(s, about.sep)
	all = learn(about.names, s, point)
	for i := range all {
		all[i].projected = projected
	}
	return about, all, point, max(about.rows, s.rowsIn(about.size)), nil
}

// start prepares the columns. Files after the first must have the same roles.
func (r *fileReader) start(first *fileReader) error {
	if err := r.prepare(); err != nil {
		return err
	}
	if first != nil {
		return r.sameRoles(first)
	}
	r.noteDatum()
	return nil
}

// prepare settles how each column is read.
func (r *fileReader) prepare() error {
	if err := r.startPosition(); err != nil {
		return err
	}
	var err error
	if r.time, err = newTimeFill(r.m, r.spec, r.point); err != nil {
		return err
	}
	if t, ok := r.table.(*featureTable); ok {
		t.want(r.m.columns())
	}
	return r.startColumns()
}

// sameRoles refuses files of one log with different columns: what one lacks
// would silently count as not known there.
func (r *fileReader) sameRoles(first *fileReader) error {
	for _, pair := range [][2]*fileReader{{first, r}, {r, first}} {
		have, lack := pair[0], pair[1]
		for _, role := range roles {
			if have.m.has(role.name) && !lack.m.has(role.name) {
				return inputFault(lack.about.path, "", fmt.Sprintf("it has no column for the role %s, which %s has", role.name, have.about.path),
					"name the column, or give the files as two entries under logs:")
			}
			if a, b := have.lanes[role.name], lack.lanes[role.name]; a != b {
				return inputFault(lack.about.path, "", fmt.Sprintf("it has %d values of the role %s a record, %s has %d", b, role.name, have.about.path, a),
					"give the files as two entries under logs:")
			}
		}
	}
	if (r.about.shape == polygonShape) != (first.about.shape == polygonShape) {
		return inputFault(r.about.path, "", fmt.Sprintf("it has %s, %s has %s", r.about.shape, first.about.path, first.about.shape),
			"give the files as two entries under logs:")
	}
	if r.about.datum != first.about.datum {
		r.log.Notes = append(r.log.Notes, fmt.Sprintf("%s and %s name different datums (%s, %s); positions may differ by metres",
			first.about.path, r.about.path, orNone(first.about.datum), orNone(r.about.datum)))
	}
	return nil
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}

// noteDatum says which datum the positions have.
func (r *fileReader) noteDatum() {
	l := r.log
	switch {
	case r.about.datum != "":
		l.Datum = r.about.datum
		l.DatumNote = fmt.Sprintf("%s has positions in %s", r.about.path, orNone(r.about.crs))
	case r.spec.CRS != "":
		l.Datum = r.crs.Datum()
		l.DatumNote = fmt.Sprintf("%s has positions in %s, as the job says", r.about.path, r.crs.Name())
	default:
		l.DatumNote = fmt.Sprintf("%s names no datum; its positions are taken as WGS 84 degrees", r.about.path)
	}
}

// read reads all rows and accounts for them.
func (r *fileReader) read() error {
	if err := r.readAll(); err != nil {
		return err
	}
	r.conclude()
	return nil
}

// readAll reads all rows.
func (r *fileReader) readAll() error {
	var w row
	read := 0
	for {
		err := r.table.next(&w)
		if err == io.EOF {
			break
		}
		if err != nil && err != errBadRow {
			return err
		}
		read++
		if err == errBadRow {
			r.log.Dropped[DropUnreadable]++
			continue
		}
		if err := r.row(&w); err != nil {
			return err
		}
	}
	r.log.Read += read
	if t, ok := r.table.(*csvTable); ok {
		r.nuls = t.r.nuls
	}
	return nil
}

// conclude counts what the table passed over, and says what was odd.
func (r *fileReader) conclude() {
	for reason, n := range r.about.skipped {
		reason = strings.ReplaceAll(reason, " ", "_")
		r.log.Read += n
		r.log.Dropped[reason] += n
	}
	r.notes()
	r.lacking()
}

// row turns one row into a record, or counts why not.
func (r *fileReader) row(w *row) error {
	switch {
	case r.about.shape == noShape && w.cells.blank():
		r.log.Dropped[DropEmpty]++
		return nil
	case !w.cells.fit(len(r.about.names)):
		r.log.Dropped[DropRagged]++
		return nil
	}
	fix := int8(-1)
	if r.fix != nil {
		if fix = r.fix.value(w); fix == 0 {
			r.log.Dropped[DropNoFix]++
			return nil
		}
	}
	if !r.position(w) {
		if r.about.shape == noShape && w.cells.are(r.about.names) {
			r.log.Dropped[DropHeaderAgain]++
		} else {
			r.log.Dropped[DropNoPosition]++
		}
		return nil
	}
	var ns int64
	if r.time != nil {
		var ok, wrong bool
		if ns, ok, wrong = r.time.read(w); wrong {
			return r.wrongOrder(w)
		}
		if !ok {
			r.log.Dropped[DropNoTime]++
			return nil
		}
	}
	return r.record(w, ns, fix)
}

func (r *fileReader) wrongOrder(w *row) error {
	return inputFault(r.about.path, fmt.Sprintf("%s %d", r.about.place, w.line),
		fmt.Sprintf("the date %q does not fit the order of day and month of the rows before", w.cells.at(r.time.cols[0])),
		fmt.Sprintf("say the order with units: {%s: d/m/y} or m/d/y", r.timeRole()))
}

func (r *fileReader) timeRole() string {
	if len(r.time.cols) == 2 {
		return RoleDate
	}
	return RoleTime
}

// record appends a record.
func (r *fileReader) record(w *row, ns int64, fix int8) error {
	l := r.log
	l.File = append(l.File, r.index)
	l.Line = append(l.Line, int32(w.line))
	l.Lon = append(l.Lon, w.lon)
	l.Lat = append(l.Lat, w.lat)
	if r.time != nil {
		l.TimeNS = append(l.TimeNS, ns)
	}
	if r.fix != nil {
		l.Fix = append(l.Fix, fix)
	}
	if r.about.shape == polygonShape {
		l.Polygons = append(l.Polygons, w.outline)
	}
	if r.each != nil {
		r.each(w)
	}
	for _, f := range r.numbers {
		f.fill(w)
	}
	if r.work != nil {
		r.work.fill(w)
	}
	for _, f := range r.labels {
		f.fill(w)
	}
	if r.sections == nil {
		return nil
	}
	if wrong := r.sections.fill(w); wrong != "" {
		return inputFault(r.about.path, fmt.Sprintf("%s %d", r.about.place, w.line),
			fmt.Sprintf("column %q: %s", r.m.facts[r.sections.cols[0]].name, wrong),
			"write the state of every section in every row, as text if a spreadsheet cuts leading zeros")
	}
	return nil
}

// position puts the position of the row into w in degrees, and reports whether
// there is one. Receivers without a position write 0, 0.
func (r *fileReader) position(w *row) bool {
	if r.lon != nil {
		x, okX := parseNumber(w.cells.at(r.lon.col), r.point)
		y, okY := parseNumber(w.cells.at(r.lat.col), r.point)
		if !okX || !okY {
			return false
		}
		w.lon, w.lat = x, y
		if !r.degrees {
			var err error
			if w.lon, w.lat, err = r.crs.ToDegrees(x, y); err != nil {
				return false
			}
		}
	}
	if w.lon == 0 && w.lat == 0 {
		return false
	}
	return w.lon >= -180 && w.lon <= 180 && w.lat >= -90 && w.lat <= 90
}
