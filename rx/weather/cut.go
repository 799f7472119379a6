package weather

import (
	"fmt"
	"time"
)

// longestPlan is the longest span of a plan.
//
// Source: our own; from the fall before a crop to the harvest of the next.
// Range: 366 to 731.
// Unit: days.
const longestPlan = 731

// cutter makes the scenarios of a plan.
type cutter struct {
	name     string
	from, to time.Time
	n        int // days of the span
	rules    Rules
	record   *record
	actual   *record
	observed int // days at the beginning taken from actual
}

func newCutter(s Series, from, to time.Time, rules Rules, actual *Actual) (*cutter, error) {
	if err := rules.check(); err != nil {
		return nil, err
	}
	n := dayNumber(to) - dayNumber(from) + 1
	if n < 1 || n > longestPlan {
		return nil, fmt.Errorf("scenarios from %s to %s: give a span of 1 to %d days", date(from), date(to), longestPlan)
	}
	c := &cutter{name: s.Name, from: from, to: to, n: n, rules: rules}
	var err error
	if c.record, err = newRecord(s, rules.FillDays); err != nil || actual == nil {
		return c, err
	}
	c.observed = min(max(dayNumber(actual.Through)-dayNumber(from)+1, 0), n)
	if c.observed == 0 {
		return c, nil
	}
	if c.actual, err = newRecord(actual.Series, rules.FillDays); err != nil {
		return nil, err
	}
	for i, what := range map[int]string{0: "begins after", c.observed - 1: "ends before"} {
		if _, ok := c.actual.at(dayNumber(c.plan(i))); !ok {
			return nil, fault(actual.Series.Name, "", "the observed weather "+what+" "+date(c.plan(i)), "give the weather from the first day of the plan through the day named as the last observed")
		}
	}
	return c, c.checkActual()
}

// checkActual refuses observed weather with gaps that the rules do not fill.
func (c *cutter) checkActual() error {
	dry := 0
	for i := range c.observed {
		at, _ := c.actual.at(dayNumber(c.plan(i)))
		if !c.actual.warm[at] {
			return fault(c.actual.name, date(c.plan(i)), fmt.Sprintf("no temperature, in a gap longer than the %d days that are filled or without a day beside it", c.rules.FillDays), "fill the gap from a station nearby, or name an earlier day as the last observed")
		}
		if c.actual.wet[at] {
			continue
		}
		dry++
		if _, ok := c.record.borrowed(dayNumber(c.plan(i))); !ok || dry > c.rules.BorrowDays {
			return fault(c.actual.name, date(c.plan(i)), fmt.Sprintf("no rain; %d such days may borrow that of the same date in another year of %s", c.rules.BorrowDays, c.name), "fill the gap from a station nearby")
		}
	}
	return nil
}

// plan is the date of a day of the span, counted from 0.
func (c *cutter) plan(i int) time.Time { return dateOf(dayNumber(c.from) + i) }

// end is the day number of the record that stands for the last day of the plan.
func (c *cutter) end(year int) int {
	n := numberOf(year, c.to.Month(), c.to.Day())
	if dateOf(n).Month() != c.to.Month() { // 29 February in a year without one
		n--
	}
	return n
}

// years are those whose span the record meets, whole or in part.
func (c *cutter) years() (list []int) {
	if len(c.record.days) == 0 {
		return nil
	}
	last := c.record.first + len(c.record.days) - 1
	for y := dateOf(c.record.first).Year(); y <= dateOf(last).Year()+2; y++ {
		if end := c.end(y); end >= c.record.first && end-(c.n-1-c.observed) <= last {
			list = append(list, y)
		}
	}
	return list
}

// source is the series and the day number that give a day of the span, which may lie
// before its beginning.
func (c *cutter) source(i, year int) (*record, int) {
	if i < c.observed && c.observed > 0 {
		return c.actual, dayNumber(c.from) + i
	}
	return c.record, c.end(year) - (c.n - 1 - i)
}

// scenario is that of a year, or why there is none.
func (c *cutter) scenario(year int) (Scenario, string) {
	s := Scenario{Year: year, Observed: c.observed, Days: make([]ScenarioDay, c.n)}
	if why := c.cover(year); why != "" {
		return s, why
	}
	cold, dry, lent := 0, 0, 0 // days of the record that lack temperature or rain, and that borrow
	for i := range s.Days {
		r, number := c.source(i, year)
		at, _ := r.at(number)
		d := r.days[at]
		d.Date = c.plan(i)
		if !r.warm[at] {
			cold++
		}
		if !r.wet[at] {
			mm, ok := c.record.borrowed(number)
			d.RainMM, d.Borrowed = mm, ok
			if i >= c.observed {
				dry++
				if ok {
					lent++
				}
			}
		}
		s.Days[i] = d
	}
	if why := c.lacking(cold, dry, lent); why != "" {
		return s, why
	}
	return c.soil(s, year)
}

// cover says where series do not reach over the span.
func (c *cutter) cover(year int) string {
	for _, i := range []int{c.observed, c.n - 1} {
		if i >= c.n {
			continue
		}
		r, number := c.source(i, year)
		if _, ok := r.at(number); !ok {
			if number < r.first {
				return "the record begins on " + date(dateOf(r.first))
			}
			return "the record ends on " + date(dateOf(r.first+len(r.days)-1))
		}
	}
	return ""
}

// lacking says what a span lacks beyond what the rules allow.
func (c *cutter) lacking(cold, dry, lent int) string {
	switch {
	case cold > 0:
		return fmt.Sprintf("no temperature on %s in gaps longer than the %d that are filled, or without a day beside them", several(cold, "day"), c.rules.FillDays)
	case dry > c.rules.BorrowDays:
		return fmt.Sprintf("no rain on %s of %d; %d may be without", several(dry, "day"), c.n-c.observed, c.rules.BorrowDays)
	case dry > lent:
		return fmt.Sprintf("no rain on %s, and none on the same date of another year", several(dry-lent, "day"))
	}
	return ""
}

// soil puts in the temperature of the soil where it was not measured.
func (c *cutter) soil(s Scenario, year int) (Scenario, string) {
	settled := c.rules.Soil.Settled()
	before := 0
	var air []float64
	for i := -1; i >= -settled; i-- {
		r, number := c.source(i, year)
		at, ok := r.at(number)
		if !ok || !r.warm[at] {
			break
		}
		before++
		air = append(air, (r.days[at].MaxC+r.days[at].MinC)/2)
	}
	for i, j := 0, len(air)-1; i < j; i, j = i+1, j-1 {
		air[i], air[j] = air[j], air[i]
	}
	needed := false
	for _, d := range s.Days {
		air = append(air, (d.MaxC+d.MinC)/2)
		needed = needed || !d.Measured
	}
	if !needed {
		return s, ""
	}
	course, err := c.rules.Soil.Course(air)
	if err != nil {
		return s, err.Error()
	}
	for i := range s.Days {
		if !s.Days[i].Measured {
			s.Days[i].SoilC = course[before+i]
		}
	}
	if before < settled {
		s.Notes = append(s.Notes, fmt.Sprintf("%d: %s before the span have temperatures, of %d that make the soil's temperature independent of its beginning", year, several(before, "day"), settled))
	}
	return s, ""
}
