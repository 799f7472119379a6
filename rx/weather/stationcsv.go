package weather

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// ReadStationCSV reads the CSV of one station of GHCN-Daily as NOAA serves it, in one
// of two forms that the first line tells apart.
//
// The long form has a line for a value: station, date as yyyymmdd, element, value,
// measurement, quality and source flag, and the time of observation as hours and
// minutes, which may be empty or absent; a first line of names (ID, DATE, ELEMENT ...)
// is passed over. The wide form has a first line of names with STATION and DATE, then
// a line for a day with a column for an element (TMAX, TMIN, PRCP, MDPR, DAPR) and one
// of its flags (TMAX_ATTRIBUTES ...).
//
// In both, temperatures are tenths of °C and rain tenths of mm; a value with a decimal
// point is refused, for it is of other units. What is missing, failed or a trace is
// treated as ReadDLY does. name is how messages call the file.
func ReadStationCSV(r io.Reader, name string, o Options) (Series, error) {
	b, err := newBuilder(name, o)
	if err != nil {
		return Series{}, err
	}
	l := newLines(r, name)
	head, err := readRow(l, nil, ',')
	if errors.Is(err, io.EOF) {
		return Series{}, fault(name, "", "the file is empty", "give the file of a station with daily values")
	}
	if err != nil {
		return Series{}, err
	}
	take := b.longRow
	switch {
	case slices.Contains(head, "STATION"):
		w, err := newWide(head, l)
		if err != nil {
			return Series{}, err
		}
		b.notes = append(b.notes, name+": whole numbers are taken as tenths of °C and of mm, as NOAA's files of one station have them")
		if bare := w.withoutFlags(); bare != "" {
			b.notes = append(b.notes, name+": no column of flags for "+bare+": values that failed NOAA's checks cannot be told from others")
		}
		take = func(row []string, l *lines) error { return b.wideRow(w, row, l) }
	case len(head) >= 3 && head[0] == "ID" && head[1] == "DATE" && head[2] == "ELEMENT":
	default:
		if err := b.longRow(head, l); err != nil {
			return Series{}, err
		}
	}
	row := head
	for {
		row, err = readRow(l, row, ',')
		if errors.Is(err, io.EOF) {
			return b.finish()
		}
		if err == nil {
			err = take(row, l)
		}
		if err != nil {
			return Series{}, err
		}
	}
}

// readRow is the next row in fields, put into row.
func readRow(l *lines, row []string, separator byte) ([]string, error) {
	text, err := l.next()
	if err != nil {
		return nil, err
	}
	row, wrong := split(row, text, separator)
	if wrong != "" {
		return nil, l.fault(wrong, "put a value in two quotes or in none")
	}
	return row, nil
}

func (b *builder) longRow(row []string, l *lines) error {
	if len(row) != 7 && len(row) != 8 {
		return l.fault(fmt.Sprintf("the line has %d fields", len(row)), "a line of NOAA's station CSV has station, date, element, value, three flags and the time of observation; a file with a header has the column STATION")
	}
	if err := b.sameStation(row[0], l); err != nil {
		return err
	}
	day, err := readDate(row[1], yearMonthDay, l)
	if err != nil {
		return err
	}
	if !isElement(row[2]) {
		return l.fault("element "+shown(row[2])+" is none", "the third field holds four capital letters or digits, such as TMAX")
	}
	flags, wrong := readFlags(row[4:])
	if wrong != "" {
		return l.fault(wrong, "a flag is one character or none")
	}
	return b.noaaValue(l, day, row[2], row[3], flags.measured, flags.quality, flags.observed)
}

type flags struct {
	measured, quality byte
	observed          int
}

// readFlags reads measurement, quality and source flag and the time of observation;
// those at the end may be absent. A time that is none counts as not known.
func readFlags(parts []string) (f flags, wrong string) {
	f = flags{noFlag, noFlag, unknownTime}
	for i, part := range parts {
		part = strings.TrimSpace(part)
		switch {
		case part == "":
		case i == 3:
			if at, ok := clock(part); ok {
				f.observed = at
			}
		case len(part) != 1 || part[0] < '!' || part[0] > '~':
			return f, "flag " + shown(part) + " is none"
		case i == 0:
			f.measured = part[0]
		case i == 1:
			f.quality = part[0]
		}
	}
	return f, ""
}

// wide is where the columns of a wide file stand.
type wide struct {
	columns       int
	station, date int
	elements      []wideElement
}

type wideElement struct {
	name             string
	value, attribute int // attribute -1: none
}

func newWide(head []string, l *lines) (wide, error) {
	w := wide{columns: len(head), station: slices.Index(head, "STATION"), date: slices.Index(head, "DATE")}
	for i, name := range head {
		if slices.Contains(head[:i], name) {
			return w, l.fault("the column "+shown(name)+" is there twice", "keep one")
		}
		if isElement(name) && name != "DATE" && name != "NAME" {
			w.elements = append(w.elements, wideElement{name, i, slices.Index(head, name+"_ATTRIBUTES")})
		}
	}
	switch {
	case w.date < 0:
		return w, l.fault("there is no column DATE", "give the file as NOAA serves it")
	case !slices.ContainsFunc(w.elements, func(e wideElement) bool { return element(e.name) != unused }):
		return w, l.fault("there is no column TMAX, TMIN or PRCP", "give the file of a station with daily values")
	}
	return w, nil
}

func (w wide) withoutFlags() string {
	var bare []string
	for _, e := range w.elements {
		if e.attribute < 0 && element(e.name) != unused {
			bare = append(bare, e.name)
		}
	}
	return strings.Join(bare, ", ")
}

func (b *builder) wideRow(w wide, row []string, l *lines) error {
	if len(row) != w.columns {
		return l.fault(fmt.Sprintf("the line has %d fields, the first line %d", len(row), w.columns), "give each line as many fields as there are columns")
	}
	if err := b.sameStation(row[w.station], l); err != nil {
		return err
	}
	day, err := readDate(row[w.date], isoDate, l)
	if err != nil {
		return err
	}
	for _, e := range w.elements {
		f := flags{noFlag, noFlag, unknownTime}
		if e.attribute >= 0 {
			var wrong string
			if f, wrong = readFlags(strings.Split(row[e.attribute], ",")); wrong != "" {
				return l.fault(e.name+": "+wrong, "a flag is one character or none")
			}
		}
		raw := row[e.value]
		if raw == "" {
			raw = missing
		}
		if err := b.noaaValue(l, day, e.name, raw, f.measured, f.quality, f.observed); err != nil {
			return err
		}
	}
	return nil
}
