package weather

import (
	"fmt"
	"time"
)

// Shift says by how many days the readings of a series are moved: -1 to the day
// before, 0 not at all, 1 to the day after.
type Shift struct{ MaxDays, MinDays, RainDays int }

// ReadInTheMorning is the shift for readings taken in the morning and entered under
// that day's date: maximum and rain belong to the day before, the minimum to the day.
// Compare what comes of a series with what comes of it moved so: the difference is the
// uncertainty from the time of observation.
func ReadInTheMorning() Shift { return Shift{MaxDays: -1, RainDays: -1} }

// Shifted is the series with its readings moved; soil temperatures stay. A day whose
// minimum then lies above its maximum loses both, and a note counts them. It is an
// error to move by more than a day.
func (s Series) Shifted(by Shift) (Series, error) {
	for _, n := range []int{by.MaxDays, by.MinDays, by.RainDays} {
		if n < -1 || n > 1 {
			return Series{}, fmt.Errorf("readings moved by %d days: give -1, 0 or 1", n)
		}
	}
	if len(s.Days) == 0 || by == (Shift{}) {
		return s, nil
	}
	first := dayNumber(s.Days[0].Date) - 1
	days := make([]Day, len(s.Days)+2)
	for i := range days {
		days[i].Date = dateOf(first + i)
	}
	for i, d := range s.Days {
		days[i+1+by.MaxDays].MaxC = d.MaxC
		days[i+1+by.MinDays].MinC = d.MinC
		days[i+1+by.RainDays].RainMM, days[i+1+by.RainDays].Trace = d.RainMM, d.Trace
		days[i+1].SoilC = d.SoilC
	}
	out := s
	out.Totals = make([]Total, len(s.Totals))
	for i, t := range s.Totals {
		move := func(d time.Time) time.Time { return dateOf(dayNumber(d) + by.RainDays) }
		out.Totals[i] = Total{move(t.From), move(t.To), t.RainMM}
	}
	out.Days = trimmed(days, out.Totals)
	lost := 0
	for i, d := range out.Days {
		if d.MaxC.Known && d.MinC.Known && d.MinC.Value > d.MaxC.Value {
			out.Days[i].MaxC, out.Days[i].MinC = Reading{}, Reading{}
			lost++
		}
	}
	out.Gaps = gaps(out)
	out.Notes = append(append([]string{}, s.Notes...), fmt.Sprintf("%s: maxima are moved by %d, minima by %d and rain by %d days, to see what the time of observation changes; %s lost both temperatures, for the minimum would lie above the maximum", s.Name, by.MaxDays, by.MinDays, by.RainDays, several(lost, "day")))
	return out, nil
}

// trimmed is without the days at either end of which nothing is known.
func trimmed(days []Day, totals []Total) []Day {
	known := func(d Day) bool {
		for _, t := range totals {
			if !d.Date.Before(t.From) && !d.Date.After(t.To) {
				return true
			}
		}
		return d.MaxC.Known || d.MinC.Known || d.RainMM.Known || d.SoilC.Known
	}
	for len(days) > 0 && !known(days[0]) {
		days = days[1:]
	}
	for len(days) > 0 && !known(days[len(days)-1]) {
		days = days[:len(days)-1]
	}
	return days
}
