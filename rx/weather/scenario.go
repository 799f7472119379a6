package weather

import (
	"fmt"
	"slices"
	"time"
)

// ScenarioDay is a day of a scenario; nothing is missing.
type ScenarioDay struct {
	Date   time.Time // of the plan, midnight UTC
	Record time.Time // the date whose weather it has

	MaxC, MinC float64 // air, °C
	RainMM     float64 // mm
	SoilC      float64 // daily mean of the soil, °C

	Filled   bool // temperatures by straight lines between their neighbours
	Spread   bool // rain is the even part of a total of several days
	Borrowed bool // rain is that of the same date in another year of the record
	Measured bool // SoilC is a reading; otherwise it comes from the air (Soil)
}

// Scenario is one course that the weather may take over the span of a plan.
type Scenario struct {
	Year     int // of the record: that of the last day
	Days     []ScenarioDay
	Observed int // so many days at the beginning are those of the actual year
	Notes    []string
}

// LeftOut is a year of a record that makes no scenario.
type LeftOut struct {
	Year int // that of the last day
	Why  string
}

// Scenarios are those of a record, in the order of their years.
type Scenarios struct {
	List    []Scenario
	LeftOut []LeftOut
	Notes   []string
}

// Rules are how gaps are met. Take DefaultRules.
type Rules struct {
	FillDays   int // gaps in the temperatures up to this are filled by straight lines
	BorrowDays int // so many days of a span may borrow their rain from another year
	LeastYears int // with fewer scenarios a note says so
	Soil       Soil
}

// DefaultRules fill 3 days of temperature, borrow 3 days of rain, and ask for 10
// years.
func DefaultRules() Rules { return Rules{fillDays, borrowDays, leastYears, DefaultSoil()} }

func (r Rules) check() error {
	if r.FillDays < 0 || r.BorrowDays < 0 || r.LeastYears < 0 {
		return fmt.Errorf("rules of scenarios: %d days filled, %d borrowed, %d years at least; give numbers not below zero", r.FillDays, r.BorrowDays, r.LeastYears)
	}
	return r.Soil.check()
}

// Actual is the weather of the plan's own year as far as it has been observed.
type Actual struct {
	Series  Series
	Through time.Time // the last day that is taken from it
}

// Scenarios cuts a record of years into one scenario a year for the span of a plan,
// from its first day to its last, both within; the span may pass the end of a year.
//
// The last days fall on the same month and day; from there it is counted back, so that
// no day of the record is lost or taken twice, and days before the end of February lie
// one date off where only one of plan and record has a leap day.
//
// Gaps in the temperatures of at most FillDays are filled by straight lines between the
// days around them. A total of rain over several days is spread over them evenly. Up to
// BorrowDays of a span without rain take that of the same date in the nearest other
// year, the earlier of two, and never a zero. A year with longer gaps or more days
// without rain is left out and told. Where the record has no soil temperature it comes
// from the air (Soil), with as many days before the span as the record has for a
// run-up.
//
// With actual, the days through its last one are those of the actual year in every
// scenario, under the same rules, and the years of the record follow on the next day;
// nil where there is none, as for a plan that has not begun.
//
// It is an error where the span ends before it begins or is longer than two years, the
// actual weather does not cover its days, or no year remains.
func (s Series) Scenarios(from, to time.Time, r Rules, actual *Actual) (Scenarios, error) {
	c, err := newCutter(s, from, to, r, actual)
	if err != nil {
		return Scenarios{}, err
	}
	var out Scenarios
	if c.observed == c.n {
		one, why := c.scenario(to.Year())
		if why != "" {
			return Scenarios{}, c.nothing(why)
		}
		out.List = []Scenario{one}
		out.Notes = append(c.tell(out), c.actual.name+": the weather of the whole span has been observed, so that there is one scenario and no years to compare")
		return out, nil
	}
	for _, y := range c.years() {
		one, why := c.scenario(y)
		if why != "" {
			out.LeftOut = append(out.LeftOut, LeftOut{y, why})
			continue
		}
		out.List = append(out.List, one)
	}
	if len(out.List) == 0 {
		return Scenarios{}, c.nothing(reasons(out.LeftOut))
	}
	out.Notes = c.tell(out)
	return out, nil
}

// nothing is the error where no scenario can be made.
func (c *cutter) nothing(why string) error {
	if why == "" {
		why = "it has no day of that time of the year"
	}
	return fault(c.name, "", fmt.Sprintf("no year of the record covers %s to %s: %s", monthDay(c.from), monthDay(c.to), why), "give a longer record or one of a station nearby")
}

func monthDay(t time.Time) string { return t.Format("2 January") }

// reasons lists years with why they were left out, the first few.
func reasons(list []LeftOut) string {
	text := ""
	for i, l := range list {
		if i == listed {
			return text + fmt.Sprintf("; and %s", several(len(list)-listed, "more year"))
		}
		if i > 0 {
			text += "; "
		}
		text += fmt.Sprintf("%d: %s", l.Year, l.Why)
	}
	return text
}

// tell puts into words what the user must know of all scenarios together.
func (c *cutter) tell(out Scenarios) (notes []string) {
	if n := len(out.LeftOut); n > 0 {
		notes = append(notes, fmt.Sprintf("%s: %s of %d left out: %s", c.name, several(n, "year"), n+len(out.List), reasons(out.LeftOut)))
	}
	if n := len(out.List); n < c.rules.LeastYears && c.observed < c.n {
		makes := "make"
		if n == 1 {
			makes = "makes"
		}
		notes = append(notes, fmt.Sprintf("%s: %s of weather %s few scenarios; below %d a mean over years and a worst fifth say little", c.name, several(n, "year"), makes, c.rules.LeastYears))
	}
	var record []ScenarioDay
	for _, one := range out.List {
		record = append(record, one.Days[one.Observed:]...)
	}
	notes = append(notes, madeUp(c.name, record)...)
	if c.observed > 0 {
		notes = append(notes, fmt.Sprintf("%s: the first %s of each scenario, through %s, are observed weather", c.actual.name, several(c.observed, "day"), date(c.plan(c.observed-1))))
		notes = append(notes, madeUp(c.actual.name, out.List[0].Days[:c.observed])...)
	}
	for _, one := range out.List {
		if slices.ContainsFunc(one.Days, func(d ScenarioDay) bool { return !d.Measured }) {
			return append(notes, c.name+": "+c.rules.Soil.words())
		}
	}
	return notes
}

// madeUp counts the days that have something other than readings.
func madeUp(name string, days []ScenarioDay) (notes []string) {
	for _, kind := range []struct {
		words string
		is    func(ScenarioDay) bool
	}{
		{"temperatures are by straight lines between their neighbours", func(d ScenarioDay) bool { return d.Filled }},
		{"rain is the even part of a total of several days", func(d ScenarioDay) bool { return d.Spread }},
		{"rain is missing and taken from the same date in the nearest other year", func(d ScenarioDay) bool { return d.Borrowed }},
	} {
		n := 0
		for _, d := range days {
			if kind.is(d) {
				n++
			}
		}
		if n > 0 {
			notes = append(notes, fmt.Sprintf("%s: on %s of %d in the scenarios %s", name, several(n, "day"), len(days), kind.words))
		}
	}
	return notes
}
