package growth

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// Day is the temperature of a date.
type Day struct {
	Date       time.Time // only the date that it shows counts
	MaxC, MinC float64   // °C
	Known      bool      // both are known; false: the day is missing
}

// Method is how a day's warmth is counted. Where both are zero, 86 and 50 stand in.
type Method struct {
	CapF   float64 // a higher temperature counts as this, °F
	FloorF float64 // a lower temperature counts as this, and it is taken off, °F
}

// Day is the degree days (°F) of a day with the temperatures maxC and minC (°C): the
// mean of the two, each held between floor and cap, less the floor. It is an error
// where a temperature is no number, or the minimum is above the maximum.
//
// Source: Purdue Pest & Crop newsletter, modified growing degree days ("86/50").
func (m Method) Day(maxC, minC float64) (float64, error) {
	m, err := m.whole()
	if err != nil {
		return 0, err
	}
	switch {
	case !finite(maxC) || !finite(minC):
		return 0, fmt.Errorf("a temperature of %g or %g °C is no number; leave the day missing", maxC, minC)
	case minC > maxC:
		return 0, fmt.Errorf("the minimum of %g °C is above the maximum of %g °C; leave the day missing", minC, maxC)
	}
	hold := func(c float64) float64 { return min(max(c*9/5+32, m.FloorF), m.CapF) }
	return (hold(maxC)+hold(minC))/2 - m.FloorF, nil
}

func (m Method) whole() (Method, error) {
	if m == (Method{}) {
		return Method{CapF: capF, FloorF: floorF}, nil
	}
	if !finite(m.CapF) || !finite(m.FloorF) || m.CapF <= m.FloorF {
		return m, fmt.Errorf("degree days between %g and %g °F: give a cap above the floor", m.FloorF, m.CapF)
	}
	return m, nil
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// Sum is the degree days of a span.
type Sum struct {
	From, To time.Time   // first and last day counted
	F        float64     // degree days, °F
	Filled   []time.Time // days whose temperatures are by interpolation
	Notes    []string
}

// DegreeDays adds up the degree days (°F) of the dates from one to another, both
// within. A date that days lacks, or that is not Known there, is missing: spans of at
// most fill such days are filled by straight lines from the day before to the day
// after, counted and noted; with fill 0 none is. It is an error, which names the
// dates, where a longer span is missing or one without a day before or after, and
// where a date stands in days twice.
func DegreeDays(days []Day, from, to time.Time, m Method, fill int) (Sum, error) {
	a, b := number(from), number(to)
	if a > b {
		return Sum{}, fmt.Errorf("degree days from %s to %s: the span ends before it begins", date(from), date(to))
	}
	if fill < 0 {
		return Sum{}, fmt.Errorf("missing days filled: %d; give 0 for none, or a number of days", fill)
	}
	known, err := sorted(days)
	if err != nil {
		return Sum{}, err
	}
	s := Sum{From: from, To: to}
	last := before(known, a)
	for at := last + 1; ; at++ {
		if err := s.span(known, at-1, at, a, b, fill, m); err != nil {
			return Sum{}, err
		}
		if at == len(known) || number(known[at].Date) >= b {
			break
		}
	}
	if n := len(s.Filled); n > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("degree days from %s to %s: no temperature on %d of %d days, filled by straight lines between their neighbours: %s", date(from), date(to), n, b-a+1, dates(s.Filled)))
	}
	return s, nil
}

// span adds the known day at index j and the missing ones between it and the known
// day i before it, as far as they lie from a to b.
func (s *Sum) span(known []Day, i, j, a, b, fill int, m Method) error {
	first, last := a, b
	if i >= 0 {
		first = max(a, number(known[i].Date)+1)
	}
	if j < len(known) {
		last = min(b, number(known[j].Date)-1)
	}
	if first <= last {
		if err := s.fill(known, i, j, first, last, fill, m); err != nil {
			return err
		}
	}
	if j == len(known) || number(known[j].Date) < a || number(known[j].Date) > b {
		return nil
	}
	return s.add(known[j], m)
}

func (s *Sum) fill(known []Day, i, j, first, last, fill int, m Method) error {
	span := date(dayOf(first))
	if last > first {
		span += " to " + date(dayOf(last))
	}
	if i < 0 || j == len(known) {
		return fmt.Errorf("no temperature for %s, and none on one side to fill from; give a record that covers the span", span)
	}
	left, right := known[i], known[j]
	gap := number(right.Date) - number(left.Date) - 1
	if gap > fill {
		return fmt.Errorf("no temperature for %s: %d days are missing in a row and at most %d may be filled; take a nearby station", span, gap, fill)
	}
	for n := first; n <= last; n++ {
		share := float64(n-number(left.Date)) / float64(gap+1)
		d := Day{Date: dayOf(n), MaxC: left.MaxC + share*(right.MaxC-left.MaxC), MinC: left.MinC + share*(right.MinC-left.MinC)}
		if err := s.add(d, m); err != nil {
			return err
		}
		s.Filled = append(s.Filled, d.Date)
	}
	return nil
}

func (s *Sum) add(d Day, m Method) error {
	f, err := m.Day(d.MaxC, d.MinC)
	if err != nil {
		return fmt.Errorf("%s: %w", date(d.Date), err)
	}
	s.F += f
	return nil
}

// sorted is the known days by date.
func sorted(days []Day) ([]Day, error) {
	list := make([]Day, 0, len(days))
	for _, d := range days {
		if d.Known {
			list = append(list, d)
		}
	}
	slices.SortStableFunc(list, func(a, b Day) int { return number(a.Date) - number(b.Date) })
	for i := 1; i < len(list); i++ {
		if number(list[i].Date) == number(list[i-1].Date) {
			return nil, errors.New("the temperature of " + date(list[i].Date) + " is given twice; keep one")
		}
	}
	return list, nil
}

// before is the index of the last day before a date, -1 where there is none.
func before(known []Day, a int) int {
	i, _ := slices.BinarySearchFunc(known, a, func(d Day, n int) int { return number(d.Date) - n })
	return i - 1
}

// number counts days by the date that t shows.
func number(t time.Time) int {
	y, m, d := t.Date()
	return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

func dayOf(n int) time.Time { return time.Unix(int64(n)*86400, 0).UTC() }

func date(t time.Time) string { return t.Format(time.DateOnly) }

func dates(list []time.Time) string {
	const most = 10
	var b strings.Builder
	for i, t := range list {
		if i == most {
			fmt.Fprintf(&b, " and %d more", len(list)-most)
			break
		}
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(date(t))
	}
	return b.String()
}
