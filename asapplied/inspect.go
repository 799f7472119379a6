package asapplied

import (
	"errors"
	"io"
	"math"
	"slices"
	"time"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// The kinds of file that InspectFile tells apart.
const (
	KindLog      = "log"      // points or rows with a position, or polygons with a time
	KindBoundary = "boundary" // one polygon
	KindZones    = "zones"    // several polygons
	KindPlaces   = "places"   // a few points without time, or lines: wells, inlets, streams
	KindTable    = "table"    // rows without a position
	KindImage    = "image"    // pixels
)

// Inspection says what is in a file before any job is written. Counts, times
// and bounds are of the whole file; columns are described by their first 1000
// rows.
type Inspection struct {
	Path    string         `json:"path"`
	Format  string         `json:"format"`
	Kind    string         `json:"kind"` // a Kind constant
	CRS     string         `json:"crs"`  // as the file names it, or ""
	Datum   string         `json:"datum"`
	Read    int            `json:"read"`    // rows or features
	Records int            `json:"records"` // those with a position and, where the file has times, a time
	Dropped map[string]int `json:"dropped"` // the others, by reason

	Columns   []ColumnReport `json:"columns"`
	Bounds    *Bounds        `json:"bounds"`     // null without positions
	Time      *TimeReport    `json:"time"`       // null without times
	Sections  int            `json:"sections"`   // of each record; 0 where there are none or a bit mask hides their number
	AreaM2    *float64       `json:"area_m2"`    // of polygons; null where some are not valid
	SamePlace int            `json:"same_place"` // records at the very position of the one before
	Image     *ImageReport   `json:"image"`      // null for other kinds

	// Faults would stop a job, or should be looked at before one is written.
	Faults []string `json:"faults"`
	Notes  []string `json:"notes"`

	areas areaTally
}

// ColumnReport describes one column.
type ColumnReport struct {
	Name    string   `json:"name"`
	Role    string   `json:"role"`    // as guessed, or ""
	Unit    string   `json:"unit"`    // as its name says, or ""
	Of      string   `json:"of"`      // "nitrogen" or "product" where its name says it
	Why     string   `json:"why"`     // why that role
	Missing string   `json:"missing"` // what the job has to say before the column can be used
	Samples []string `json:"samples"` // the first different values
	Filled  int      `json:"filled"`  // cells with a value
	Empty   int      `json:"empty"`
	Numbers int      `json:"numbers"`
	Min     *float64 `json:"min"` // of the numbers; null without any
	Max     *float64 `json:"max"`
	values  int      // different ones, up to maxDistinct
	lane    int      // place in the list of its role, from the left
}

// Bounds is a box in degrees.
type Bounds struct {
	West  float64 `json:"west_deg"`
	South float64 `json:"south_deg"`
	East  float64 `json:"east_deg"`
	North float64 `json:"north_deg"`
}

// TimeReport describes the times of a log, in file order.
type TimeReport struct {
	First           string  `json:"first"` // the earliest, RFC 3339 in UTC
	Last            string  `json:"last"`
	MedianIntervalS float64 `json:"median_interval_s"`
	Gaps            int     `json:"gaps"`  // intervals above GapS
	GapS            float64 `json:"gap_s"` // three median intervals
	LongestGapS     float64 `json:"longest_gap_s"`
	Backward        int     `json:"backward"`   // records earlier than the one before
	SameTime        int     `json:"same_time"`  // records of the time of the one before
	Duplicates      int     `json:"duplicates"` // of its time and position
}

// InspectFile looks into a log, boundary, zone file or image. The error is of a file
// that cannot be opened or is of no known format; what is wrong inside a file
// is among the Faults.
func InspectFile(path string) (Inspection, error) {
	in := Inspection{Path: path, Dropped: map[string]int{}, Columns: []ColumnReport{}, Faults: []string{}, Notes: []string{}}
	if isImage(path) {
		return in, in.lookAtImage()
	}
	t, err := openTable(path, "", nil)
	if err != nil {
		return in, withoutJob(err)
	}
	about := t.info()
	s, sampleErr := readSample(t)
	t.close() // nothing was written, so that closing cannot lose anything
	in.Format, in.CRS, in.Datum = about.format, about.crs, about.datum
	if sampleErr != nil {
		in.fault(sampleErr)
	}
	if s.total == 0 {
		in.Kind = KindTable
		in.Faults = append(in.Faults, "the file has no rows")
		return in, nil
	}
	point := findPoint(s, about.sep)
	m := newMapping(path, learn(about.names, s, point))
	undecided := m.guess(LogSpec{}, about)
	in.Kind = kindOfFile(about, m, s.total)
	switch in.Kind {
	case KindLog, KindTable:
		in.judgeRoles(about, m, undecided)
	case KindZones, KindBoundary:
		m.onlyZoneRate()
	}
	for i := range m.facts {
		in.Columns = append(in.Columns, reportColumn(m, i))
	}
	if in.Kind == KindLog {
		in.askSwitches(m)
	}
	in.readAll(about, m, point)
	in.judge(about, m)
	return in, nil
}

// judgeRoles adds what stands against the columns of a log. Files of another kind
// are not read by these roles: a PRODUCT that is a text is no fault of a rate map.
func (in *Inspection) judgeRoles(about *tableInfo, m *mapping, undecided []error) {
	for _, err := range undecided {
		in.fault(err)
	}
	for _, x := range m.misnamed(LogSpec{}, about) {
		in.fault(x.err)
	}
	if in.Kind != KindLog {
		return
	}
	for _, x := range m.unclear(LogSpec{}, about) {
		in.fault(x.err)
	}
}

// withoutJob is an error without the advice that only a job's paths need: what is
// inspected may have no job yet.
func withoutJob(err error) error {
	var e *vector.InputError
	if errors.As(err, &e) && e.Fix == checkJobPath {
		e.Fix = "check the name"
	}
	return err
}

func (in *Inspection) fault(err error) { in.Faults = append(in.Faults, err.Error()) }

// kindOfFile tells what a file is for.
func kindOfFile(about *tableInfo, m *mapping, rows int) string {
	timed := m.has(RoleTime) || m.has(RoleDate) && m.has(RoleClock)
	switch about.shape {
	case polygonShape:
		switch {
		case m.polygonLog():
			return KindLog
		case rows == 1:
			return KindBoundary
		}
		return KindZones
	case pointShape:
		if !timed && rows < 20 {
			return KindPlaces
		}
		return KindLog
	case lineShape:
		return KindPlaces
	}
	if m.has(RoleLon) && m.has(RoleLat) {
		return KindLog
	}
	return KindTable
}

// reportColumn describes a column and the role that was guessed for it.
func reportColumn(m *mapping, i int) ColumnReport {
	f := &m.facts[i]
	c := ColumnReport{
		Name: f.name, Samples: slices.Clone(f.samples), Filled: f.filled, Empty: f.rows - f.filled, Numbers: f.numbers,
		values: len(f.distinct),
	}
	if c.Samples == nil {
		c.Samples = []string{}
	}
	if f.numbers > 0 {
		lo, hi := f.min, f.max
		c.Min, c.Max = &lo, &hi
	}
	for _, a := range m.given {
		if slices.Contains(a.cols, i) {
			c.Role, c.Why, c.lane = a.role.name, a.why, slices.Index(a.cols, i)
			c.Unit, c.Of, c.Missing = m.said(a)
		}
	}
	return c
}

// said is what the names of the columns of a role say, and what they leave open.
func (m *mapping) said(a assignment) (unitText, of, missing string) {
	if a.role.quantity == plain {
		return "", "", ""
	}
	s, counts, err := m.unitOf(a, LogSpec{})
	var unknown *unknownError
	switch {
	case errors.As(err, &unknown):
		return "", "", unknown.Error()
	case err != nil:
		return "", "", err.Error()
	}
	switch a.role.quantity {
	case nRate, flow, amount:
		if s.volume {
			counts = unit.Product
		}
		if counts == 0 {
			return s.unit, "", "it does not say whether it counts nitrogen or product; write of: nitrogen or of: product"
		}
		return s.unit, counts.String(), ""
	}
	return s.unit, "", ""
}

// readAll reads every row for its position and time.
func (in *Inspection) readAll(about *tableInfo, m *mapping, point byte) {
	r := &fileReader{log: &Log{Dropped: map[string]int{}}, m: m, about: about, point: point, degrees: true}
	var err error
	if in.Kind == KindTable {
		in.countRows(about)
		return
	}
	if err = r.startPosition(); err != nil {
		in.fault(err)
		return
	}
	if in.Kind == KindLog {
		if r.time, err = newTimeFill(m, LogSpec{}, point); err != nil {
			in.fault(err)
			r.time = nil
		}
		in.startStates(r)
	}
	if r.table, err = openTable(in.Path, "", about.names); err != nil {
		in.fault(err)
		return
	}
	defer r.table.close() // nothing was written, so that closing cannot lose anything
	r.about = r.table.info()
	if about.shape == polygonShape {
		in.areas.keep = in.Kind != KindLog
		r.each = in.areas.add
	}
	if err = r.read(); err != nil {
		in.fault(err)
	}
	l := r.log
	in.Read, in.Records, in.Dropped = l.Read, l.Len(), l.Dropped
	in.Notes = append(in.Notes, l.Notes...)
	if len(l.Lon) > 0 {
		in.Bounds = &Bounds{slices.Min(l.Lon), slices.Min(l.Lat), slices.Max(l.Lon), slices.Max(l.Lat)}
	}
	in.compare(l)
}

// countRows counts the rows of a table, none of which has a position.
func (in *Inspection) countRows(about *tableInfo) {
	t, err := openTable(in.Path, "", about.names)
	if err != nil {
		in.fault(err)
		return
	}
	defer t.close() // nothing was written, so that closing cannot lose anything
	var w row
	for err == nil || err == errBadRow {
		if err = t.next(&w); err == nil || err == errBadRow {
			in.Read++
		}
	}
	if err != io.EOF {
		in.fault(err)
	}
	in.Dropped[DropNoPosition] = in.Read
}

// startStates adds the quality of the position and the sections, which show in
// the counts.
func (in *Inspection) startStates(r *fileReader) {
	if a, ok := r.m.get(RoleFix); ok {
		r.fix = &fixFill{tally: r.tally(a, 0), col: a.cols[0]}
	}
	a, ok := r.m.get(RoleSections)
	if !ok {
		return
	}
	r.lanes = map[string]int{}
	if err := r.startSections(a); err != nil {
		in.fault(err)
		return
	}
	in.Sections = r.sections.layout.count
}

// compare looks at each record and the one before.
func (in *Inspection) compare(l *Log) {
	t := &TimeReport{}
	var steps []int64
	for i := 1; i < l.Len(); i++ {
		here := l.Lon[i] == l.Lon[i-1] && l.Lat[i] == l.Lat[i-1]
		if here {
			in.SamePlace++
		}
		if l.TimeNS == nil {
			continue
		}
		switch step := l.TimeNS[i] - l.TimeNS[i-1]; {
		case step < 0:
			t.Backward++
		case step > 0:
			steps = append(steps, step)
		default:
			t.SameTime++
			if here {
				t.Duplicates++
			}
		}
	}
	if len(l.TimeNS) == 0 {
		return
	}
	t.First, t.Last = timeText(slices.Min(l.TimeNS)), timeText(slices.Max(l.TimeNS))
	t.intervals(steps)
	in.Time = t
}

// intervals fills in what the steps between records show.
func (t *TimeReport) intervals(steps []int64) {
	if len(steps) == 0 {
		return
	}
	slices.Sort(steps)
	median := steps[len(steps)/2]
	for _, s := range steps {
		if s > 3*median {
			t.Gaps++
		}
	}
	t.MedianIntervalS = float64(median) / 1e9
	t.GapS = float64(3*median) / 1e9
	t.LongestGapS = float64(steps[len(steps)-1]) / 1e9
}

func timeText(ns int64) string { return time.Unix(0, ns).UTC().Format(time.RFC3339Nano) }

// judge adds faults that only the whole shows.
func (in *Inspection) judge(about *tableInfo, m *mapping) {
	if in.Kind == KindTable {
		in.Faults = append(in.Faults, "no columns look like lon and lat ("+m.columnList()+"); a log needs positions")
	}
	if in.Kind == KindLog && about.datum == "" {
		in.Notes = append(in.Notes, "the file names no datum; its positions are taken as WGS 84 degrees")
	}
	in.areas.finish(in)
	if b := in.Bounds; b != nil && math.Max(b.East-b.West, b.North-b.South) > 1 {
		in.Faults = append(in.Faults, "the positions span more than one degree, more than 70 km: some are wrong, or the file holds several fields")
	}
}
