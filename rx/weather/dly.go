package weather

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"
)

// The fixed columns of a .dly line: 11 for the station, 4 for the year, 2 for the
// month, 4 for the element, then 31 times 5 for the value and one each for its
// measurement, quality and source flag.
//
// Source: NOAA, GHCN-Daily readme, section III.
func dlyLength() (head, day, whole int) { return 21, 8, 21 + 31*8 }

// ReadDLY reads a file of GHCN-Daily in NOAA's native form, one line for an element
// of a month. Temperatures are tenths of °C, rain tenths of mm, -9999 is missing. A
// value with a quality flag is made missing and counted; a measurement flag T makes
// a trace, P (presumed zero) a missing value. name is how messages call the file.
// Blanks that an editor has cut off the end of a line are put back; any other length,
// a value on a day that the month does not have, and two values for one day are
// errors that name the lines.
func ReadDLY(r io.Reader, name string, o Options) (Series, error) {
	b, err := newBuilder(name, o)
	if err != nil {
		return Series{}, err
	}
	l := newLines(r, name)
	for {
		text, err := l.next()
		if errors.Is(err, io.EOF) {
			return b.finish()
		}
		if err == nil {
			err = b.dlyLine(text, l)
		}
		if err != nil {
			return Series{}, err
		}
	}
}

func (b *builder) dlyLine(text []byte, l *lines) error {
	head, width, whole := dlyLength()
	line, ok := dlyWhole(string(text), whole)
	if !ok {
		return l.fault(fmt.Sprintf("the line has %d characters, a line of a .dly file has %d", len(text), whole), "give the file as NOAA serves it")
	}
	if err := b.sameStation(strings.TrimSpace(line[:11]), l); err != nil {
		return err
	}
	year, okY := digits(line[11:15])
	month, okM := digits(line[15:17])
	if !okY || !okM || year < firstYear || year > lastYear || month < 1 || month > 12 {
		return l.fault("year and month "+shown(line[11:17])+" are no month", fmt.Sprintf("columns 12 to 17 hold the year from %d to %d and the month", firstYear, lastYear))
	}
	name := line[17:head]
	if !isElement(name) {
		return l.fault("element "+shown(name)+" is none", "columns 18 to 21 hold four capital letters or digits, such as TMAX")
	}
	first := numberOf(year, time.Month(month), 1)
	length := numberOf(year, time.Month(month)+1, 1) - first
	for i := range 31 {
		cell := line[head+i*width : head+(i+1)*width]
		raw := strings.TrimSpace(cell[:5])
		if i >= length {
			if raw != missing && raw != "" {
				return l.fault(fmt.Sprintf("value %s stands on day %d, the month has %d", shown(raw), i+1, length), "give the file as NOAA serves it")
			}
			continue
		}
		err := b.noaaValue(l, first+i, name, raw, cell[5], cell[6], unknownTime)
		if err != nil {
			return err
		}
	}
	return nil
}

// dlyWhole is a line of the right length: the flags of the last day may have been
// blanks at its end.
func dlyWhole(line string, whole int) (string, bool) {
	if len(line) > whole {
		line = line[:whole] + strings.TrimRight(line[whole:], " ")
	}
	if len(line) < whole && len(line) >= whole-3 {
		line += strings.Repeat(" ", whole-len(line))
	}
	return line, len(line) == whole
}

// noaaValue takes a value of GHCN-Daily as its files write it.
func (b *builder) noaaValue(l *lines, day int, name, raw string, measured, quality byte, observed int) error {
	what := element(name)
	n, err := strconv.Atoi(raw)
	switch {
	case raw == missing:
		b.none()
		return nil
	case what == unused:
		b.other()
		return nil
	case err != nil || raw[0] == '+':
		return l.fault(fmt.Sprintf("%s of %s is %s, not a whole number", name, date(dateOf(day)), shown(raw)),
			"files of GHCN-Daily have tenths without a point; read other units as a plain CSV and name them")
	}
	v := value{day: day, role: what, x: float64(n), line: l.n, measured: measured, quality: quality, observed: observed}
	if what != spanOfRain {
		v.x /= 10
	}
	return b.put(v)
}

// digits reads a number of digits alone.
func digits(s string) (int, bool) {
	n, err := strconv.ParseUint(s, 10, 31)
	return int(n), err == nil
}

func isElement(s string) bool {
	for _, c := range []byte(s) {
		if (c < 'A' || c > 'Z') && (c < '0' || c > '9') {
			return false
		}
	}
	return len(s) == 4
}
