package weather

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Columns says what the columns of a plain CSV are. Date is due, and one of the
// others at least.
type Columns struct {
	Date           string // name of the column of dates
	DateForm       string // "yyyy-mm-dd" (also where empty), "yyyymmdd", "mm/dd/yyyy" or "dd/mm/yyyy"
	Max, Min, Rain string // names of the columns; empty where there is none
	// Soil is the column of the daily mean temperature of the soil, where there is one.
	Soil string
	// TemperatureUnit is "F" or "C", of air and soil; due where Max, Min or Soil is named.
	TemperatureUnit string
	// RainUnit is "in" or "mm"; due where Rain is named.
	RainUnit string
	// Missing are texts that stand for a missing value, such as "M" or "-99"; an empty
	// cell always does.
	Missing []string
	// Separator parts the fields; 0 is a comma.
	Separator byte
}

// Forms of a date.
const (
	isoDate      = "yyyy-mm-dd"
	yearMonthDay = "yyyymmdd"
	monthFirst   = "mm/dd/yyyy"
	dayFirst     = "dd/mm/yyyy"
)

// layout is how the standard library writes a form of dates; empty for none.
func layout(form string) string {
	switch form {
	case isoDate:
		return time.DateOnly
	case yearMonthDay:
		return "20060102"
	case monthFirst:
		return "1/2/2006"
	case dayFirst:
		return "2/1/2006"
	}
	return ""
}

// readDate reads a date as a number of days.
func readDate(text, form string, l *lines) (int, error) {
	t, err := time.Parse(layout(form), text)
	if err != nil {
		return 0, l.fault("date "+shown(text)+" is none of the form "+form, "name the form that the file has")
	}
	if t.Year() < firstYear || t.Year() > lastYear {
		return 0, l.fault("date "+shown(text)+" is out of reach", fmt.Sprintf("give years from %d to %d", firstYear, lastYear))
	}
	return dayNumber(t), nil
}

// ReadCSV reads a table with a header, one line a day, whose columns and units c
// names. Temperatures in °F and rain in inches are converted; a rain of "T" is a
// trace. A text that is neither a number nor among c.Missing is an error that names
// the line, and so are two values for one day. name is how messages call the file.
func ReadCSV(r io.Reader, name string, c Columns, o Options) (Series, error) {
	b, err := newBuilder(name, o)
	if err != nil {
		return Series{}, err
	}
	if c.Separator == 0 {
		c.Separator = ','
	}
	if c.DateForm == "" {
		c.DateForm = isoDate
	}
	if wrong := c.wrong(); wrong != "" {
		return Series{}, fault(name, "", wrong, "say which columns hold what, and in which unit")
	}
	l := newLines(r, name)
	head, err := readRow(l, nil, c.Separator)
	if errors.Is(err, io.EOF) {
		return Series{}, fault(name, "", "the file is empty", "give a table with a header")
	}
	if err != nil {
		return Series{}, err
	}
	p, err := newPlain(c, head, l)
	if err != nil {
		return Series{}, err
	}
	for row := head; ; {
		row, err = readRow(l, row, c.Separator)
		if errors.Is(err, io.EOF) {
			s, err := b.finish()
			if err == nil {
				err = s.inUnits(c)
			}
			if err != nil {
				return Series{}, err
			}
			return s, nil
		}
		if err == nil {
			err = b.plainRow(p, row, l)
		}
		if err != nil {
			return Series{}, err
		}
	}
}

// wrong says what is amiss with the description of a file, or nothing.
func (c Columns) wrong() string {
	switch {
	case c.Date == "":
		return "no column of dates is named"
	case layout(c.DateForm) == "":
		return "dates of the form " + shown(c.DateForm) + " are not read; the forms are " + strings.Join([]string{isoDate, yearMonthDay, monthFirst, dayFirst}, ", ")
	case c.Max == "" && c.Min == "" && c.Rain == "":
		return "no column of temperature or rain is named"
	case (c.Max != "" || c.Min != "" || c.Soil != "") && c.TemperatureUnit != "F" && c.TemperatureUnit != "C":
		return "the unit of temperature is " + shown(c.TemperatureUnit) + ", not F or C"
	case c.Rain != "" && c.RainUnit != "in" && c.RainUnit != "mm":
		return "the unit of rain is " + shown(c.RainUnit) + ", not in or mm"
	case !strings.ContainsRune(",;\t|", rune(c.Separator)):
		return "the separator " + shown(string(rune(c.Separator))) + " is none of comma, semicolon, tab and bar"
	}
	return ""
}

// plain is where the columns of a table stand.
type plain struct {
	Columns
	columns, date int
	roles         []plainRole
}

type plainRole struct {
	role   role
	column int
	toSI   func(float64) float64
}

func newPlain(c Columns, head []string, l *lines) (plain, error) {
	p := plain{Columns: c, columns: len(head)}
	var taken []string
	place := func(name string) (int, error) {
		at := slices.Index(head, name)
		switch {
		case at < 0:
			return 0, l.fault("there is no column "+shown(name), "the columns are "+strings.Join(head, ", "))
		case slices.Contains(head[at+1:], name):
			return 0, l.fault("the column "+shown(name)+" is there twice", "keep one")
		case slices.Contains(taken, name):
			return 0, l.fault("the column "+shown(name)+" is named for two things", "name one column for each")
		}
		taken = append(taken, name)
		return at, nil
	}
	var err error
	if p.date, err = place(c.Date); err != nil {
		return p, err
	}
	for _, r := range []struct {
		role   role
		column string
		toSI   func(float64) float64
	}{{highest, c.Max, celsius(c.TemperatureUnit)}, {lowest, c.Min, celsius(c.TemperatureUnit)}, {rain, c.Rain, millimetres(c.RainUnit)}, {soilWarmth, c.Soil, celsius(c.TemperatureUnit)}} {
		if r.column == "" {
			continue
		}
		at, err := place(r.column)
		if err != nil {
			return p, err
		}
		p.roles = append(p.roles, plainRole{r.role, at, r.toSI})
	}
	return p, nil
}

func celsius(u string) func(float64) float64 {
	if u == "F" {
		return func(f float64) float64 { return (f - 32) * 5 / 9 }
	}
	return same
}

func millimetres(u string) func(float64) float64 {
	if u == "in" {
		return func(in float64) float64 { return in * 25.4 }
	}
	return same
}

func same(v float64) float64 { return v }

func (b *builder) plainRow(p plain, row []string, l *lines) error {
	if len(row) != p.columns {
		return l.fault(fmt.Sprintf("the line has %d fields, the first line %d", len(row), p.columns), "give each line as many fields as there are columns")
	}
	day, err := readDate(row[p.date], p.DateForm, l)
	if err != nil {
		return err
	}
	for _, r := range p.roles {
		text := row[r.column]
		v := value{day: day, role: r.role, line: l.n, measured: noFlag, quality: noFlag, observed: unknownTime}
		switch {
		case text == "" || slices.Contains(p.Missing, text):
			b.none()
			continue
		case r.role == rain && text == "T":
			v.measured = trace
		default:
			x, err := strconv.ParseFloat(text, 64)
			if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
				return l.fault(fmt.Sprintf("%s of %s is %s, not a number", r.role, date(dateOf(day)), shown(text)), "correct it, or name the text as one that stands for a missing value")
			}
			v.x = r.toSI(x)
		}
		if err := b.put(v); err != nil {
			return err
		}
	}
	return nil
}
