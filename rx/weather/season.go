package weather

import (
	"fmt"
	"math"
	"time"

	"ratewright/geo/vector"
)

// What a growing season can be; a series outside of it was read in a wrong unit.
const (
	// coolestSummer is below the mean of any summer in which corn grows.
	//
	// Source: common practice: corn is not grown where the mean of July stays below some 18 °C; 25 °C called °F is -4 °C.
	// Range: 0 to 10.
	// Unit: °C, mean of June to August.
	coolestSummer = 4.4

	// hottestMonth is above the mean of any month.
	//
	// Source: common practice, from memory: the hottest deserts have some 38 °C.
	// Range: 38 to 42.
	// Unit: °C, mean of a month.
	hottestMonth = 40

	// wettestMean is above the rain of any place with fields, over a year.
	//
	// Source: common practice, from memory: 3,000 mm a year is much; 30 mm called inches is 762 mm.
	// Range: 10 to 30.
	// Unit: mm a day, mean of all days read.
	wettestMean = 20

	// leastWarm is how many days with temperatures are asked for before anything is said.
	//
	// Source: a choice of this project.
	// Range: 10 to 30.
	// Unit: days.
	leastWarm = 14

	// leastWet is the same for rain, which falls on some days and not on others.
	//
	// Source: a choice of this project.
	// Range: 30 to 365.
	// Unit: days.
	leastWet = 60
)

// means are sums over days with both temperatures.
type means struct {
	sum  float64
	days int
}

func (m *means) add(d Day) {
	m.sum += (d.MaxC.Value + d.MinC.Value) / 2
	m.days++
}

// beyond tells whether there are days enough to say that their mean lies beyond two limits.
func (m means) beyond(low, high float64) bool {
	mean := m.sum / float64(m.days)
	return m.days >= leastWarm && (mean < low || mean > high)
}

// inUnits refuses a plain table whose summers, months or rain are those of no place: its
// units are what somebody says of them.
func (s Series) inUnits(c Columns) error {
	var summer means
	var months [13]means
	rain, wet := 0.0, 0
	for _, d := range s.Days {
		if m := d.Date.Month(); warmth(d) {
			months[m].add(d)
			if m >= time.June && m <= time.August {
				summer.add(d)
			}
		}
		if d.RainMM.Known {
			rain += d.RainMM.Value
			wet++
		}
	}
	if summer.beyond(coolestSummer, math.Inf(1)) {
		return s.wrongWarmth(c, summer, "June to August")
	}
	for m, of := range months {
		if of.beyond(math.Inf(-1), hottestMonth) {
			return s.wrongWarmth(c, of, time.Month(m).String())
		}
	}
	if mean := rain / float64(wet); wet >= leastWet && mean > wettestMean {
		return &vector.InputError{
			File: s.Name, What: fmt.Sprintf("the rain of its %d days is %.0f mm (%.1f in) a day in the mean, which falls nowhere; it is read in %s", wet, mean, mean/25.4, c.RainUnit),
			Fix: "check the unit of rain: in or mm",
		}
	}
	return nil
}

func (s Series) wrongWarmth(c Columns, m means, when string) error {
	mean := m.sum / float64(m.days)
	return &vector.InputError{
		File: s.Name, What: fmt.Sprintf("the mean of its %d days of %s is %.0f °C (%.0f °F), where no corn grows; the temperatures are read as °%s", m.days, when, mean, mean*9/5+32, c.TemperatureUnit),
		Fix: "check the unit of temperature: F or C",
	}
}
