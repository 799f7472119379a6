package weather

import (
	"errors"
	"time"
)

// Reading is a measured value, or none.
type Reading struct {
	Value float64 // in the unit of the field; 0 where not Known
	Known bool    // false: missing, which is not zero
}

// Day is the weather under one date of a file.
type Day struct {
	Date   time.Time // midnight UTC
	MaxC   Reading   // highest temperature, °C
	MinC   Reading   // lowest temperature, °C
	RainMM Reading   // rain and melted snow, mm
	SoilC  Reading   // daily mean temperature of the soil at the depth of the file's sensor, °C
	Trace  bool      // something fell, too little to measure; RainMM is then 0
}

// Total is rain measured once for several days. It is not spread over them: the
// days themselves have no reading.
type Total struct {
	From, To time.Time // first and last day, both within
	RainMM   float64   // mm
}

// Gap is a run of days within a series without a reading.
type Gap struct {
	What     string // "temperature" (one of the two or both) or "rain"
	From, To time.Time
	Days     int
}

// Counts is the account of a file's values, where a value is one element of one
// day. Read is the sum of Used and all of Dropped.
type Counts struct {
	Read, Used int
	Dropped    map[string]int // by reason
}

// Observed is the account of the times at which the maxima in use were read.
type Observed struct {
	Morning int // after midnight and up to noon: most often yesterday's maximum
	Later   int // after noon, up to midnight
	Unknown int
}

// Series is the weather of one station or place.
type Series struct {
	Name     string // of the file
	Station  string // its id, where the file has one
	Days     []Day  // without a break from the first date with a value to the last
	Totals   []Total
	Gaps     []Gap
	Counts   Counts
	Observed Observed
	Notes    []string
}

// Limits are the bounds of what is taken for a reading. Where all three are zero
// the defaults stand in: -63.9 °C, 56.7 °C and 1825 mm.
type Limits struct {
	ColdestC, HottestC float64 // °C
	WettestMM          float64 // mm in a day
}

// Options are what a reader may be told about any file.
type Options struct {
	Limits Limits
	// ObservedAt is the local time of the daily observation as hours and minutes,
	// "0700" or "07:00", for values to which the file gives none; empty where it is
	// not known; "2400" where days run from midnight to midnight.
	ObservedAt string
}

// RainSum is the rain of a span of days.
type RainSum struct {
	MM      float64 // of the days with a reading and the totals that lie within
	Known   int     // days with a reading
	InTotal int     // days without one that a multi-day total within the span covers
	Missing int     // days of which nothing is known; their rain is not in MM
}

// Between is the part of the series from one date to another, both within. Dates
// that the series does not reach are left out.
func (s Series) Between(from, to time.Time) []Day {
	if len(s.Days) == 0 {
		return nil
	}
	first := dayNumber(s.Days[0].Date)
	a := max(dayNumber(from)-first, 0)
	b := min(dayNumber(to)-first+1, len(s.Days))
	if a >= b {
		return nil
	}
	return s.Days[a:b]
}

// Rain adds up the rain from one date to another, both within, in mm. A sum with
// Missing above zero is too low by what fell on those days. It is an error where the
// span ends before it begins, or nothing of it is known.
func (s Series) Rain(from, to time.Time) (RainSum, error) {
	a, b := dayNumber(from), dayNumber(to)
	if b < a {
		return RainSum{}, errors.New("rain from " + date(from) + " to " + date(to) + ": the span ends before it begins")
	}
	var sum RainSum
	for _, d := range s.Between(from, to) {
		if d.RainMM.Known {
			sum.MM += d.RainMM.Value
			sum.Known++
		}
	}
	for _, t := range s.Totals {
		if dayNumber(t.From) >= a && dayNumber(t.To) <= b {
			sum.MM += t.RainMM
			sum.InTotal += dayNumber(t.To) - dayNumber(t.From) + 1
		}
	}
	sum.Missing = b - a + 1 - sum.Known - sum.InTotal
	if sum.Known+sum.InTotal == 0 {
		return RainSum{}, errors.New("rain from " + date(from) + " to " + date(to) + ": the record has no reading in that span")
	}
	return sum, nil
}

// dayNumber counts the days since 1970-01-01 by the date that t shows.
func dayNumber(t time.Time) int {
	y, m, d := t.Date()
	return numberOf(y, m, d)
}

func numberOf(y int, m time.Month, d int) int {
	return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

func dateOf(number int) time.Time {
	return time.Unix(int64(number)*86400, 0).UTC()
}

func date(t time.Time) string { return t.Format(time.DateOnly) }
