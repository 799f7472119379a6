package weather

import (
	"fmt"
	"math"
)

// record is a series with its gaps met as far as the rules allow, by day number.
type record struct {
	name  string
	first int // day number of the first of days
	days  []ScenarioDay
	warm  []bool // temperatures are there
	wet   []bool // rain is there
}

// newRecord refuses a series that no reader makes: dates that do not follow one another,
// and readings that cannot be.
func newRecord(s Series, fill int) (*record, error) {
	r := &record{name: s.Name}
	if len(s.Days) == 0 {
		return r, nil
	}
	n := len(s.Days)
	r.first = dayNumber(s.Days[0].Date)
	r.days, r.warm, r.wet = make([]ScenarioDay, n), make([]bool, n), make([]bool, n)
	last := -1 // the day before with temperatures
	for i, d := range s.Days {
		if wrong := unsound(d, r.first+i); wrong != "" {
			return nil, fault(s.Name, date(d.Date), wrong, "give a series as the readers make it")
		}
		r.days[i] = ScenarioDay{Record: d.Date, MaxC: d.MaxC.Value, MinC: d.MinC.Value, RainMM: d.RainMM.Value, SoilC: d.SoilC.Value, Measured: d.SoilC.Known}
		r.warm[i], r.wet[i] = warmth(d), d.RainMM.Known
		if !r.warm[i] {
			continue
		}
		if gap := i - last - 1; last >= 0 && gap > 0 && gap <= fill {
			r.fill(last, i)
		}
		last = i
	}
	for _, t := range s.Totals {
		if !(t.RainMM >= 0) || math.IsInf(t.RainMM, 0) || t.To.Before(t.From) {
			return nil, fault(s.Name, date(t.To), fmt.Sprintf("a total of %g mm of rain since %s cannot be", t.RainMM, date(t.From)), "give a series as the readers make it")
		}
		r.spread(t)
	}
	return r, nil
}

// unsound says what is wrong with a day that should have a day number, or nothing.
func unsound(d Day, number int) string {
	if dayNumber(d.Date) != number {
		return "the days of the series do not follow one another"
	}
	for _, r := range []Reading{d.MaxC, d.MinC, d.RainMM, d.SoilC} {
		if r.Known && (math.IsNaN(r.Value) || math.IsInf(r.Value, 0)) {
			return fmt.Sprintf("a reading of %g is no number", r.Value)
		}
	}
	switch {
	case d.RainMM.Known && d.RainMM.Value < 0:
		return negative
	case warmth(d) && d.MinC.Value > d.MaxC.Value:
		return crossed
	}
	return ""
}

// fill draws straight lines between two days with temperatures.
func (r *record) fill(a, b int) {
	for i := a + 1; i < b; i++ {
		t := float64(i-a) / float64(b-a)
		r.days[i].MaxC = r.days[a].MaxC + t*(r.days[b].MaxC-r.days[a].MaxC)
		r.days[i].MinC = r.days[a].MinC + t*(r.days[b].MinC-r.days[a].MinC)
		r.days[i].Filled, r.warm[i] = true, true
	}
}

// spread divides a total evenly over its days.
func (r *record) spread(t Total) {
	a, b := dayNumber(t.From), dayNumber(t.To)
	for n := a; n <= b; n++ {
		if i := n - r.first; i >= 0 && i < len(r.days) && !r.wet[i] {
			r.days[i].RainMM, r.days[i].Spread, r.wet[i] = t.RainMM/float64(b-a+1), true, true
		}
	}
}

// at is the index of a day number; false beyond the series.
func (r *record) at(number int) (int, bool) {
	i := number - r.first
	return i, i >= 0 && i < len(r.days)
}

// borrowed is the rain of the same month and day in the nearest other year.
func (r *record) borrowed(number int) (mm float64, ok bool) {
	if len(r.days) == 0 {
		return 0, false
	}
	d := dateOf(number)
	first, last := r.days[0].Record.Year(), r.days[len(r.days)-1].Record.Year()
	reach := max(d.Year()-first, last-d.Year())
	for away := 1; away <= reach; away++ {
		for _, y := range []int{d.Year() - away, d.Year() + away} {
			i, within := r.at(numberOf(y, d.Month(), d.Day()))
			if within && r.wet[i] && !r.days[i].Spread {
				return r.days[i].RainMM, true
			}
		}
	}
	return 0, false
}
