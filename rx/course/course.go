package course

import (
	"fmt"
	"math"
	"time"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/nitrogen/water"
	"ratewright/rx/weather"
)

// Zone is ground that an application's rate goes on.
type Zone struct {
	ID   string
	Area unit.Area
	Rate unit.NRate
	Soil water.Soil
	Site loss.Site
}

// Runs are the coefficients of losses and of soil water: three runs, and how one is
// drawn by its number.
type Runs struct {
	Low, Mid, High                loss.Coefficients
	LowWater, MidWater, HighWater water.Coefficients
	Draw                          func(seed uint64) (loss.Coefficients, water.Coefficients)
}

// DefaultRuns are those of packages loss and water, with a crop that draws water from a
// day on; a zero time is no crop.
func DefaultRuns(planted time.Time) Runs {
	crop := func(c water.Coefficients) water.Coefficients {
		c.Planted = planted
		return c
	}
	return Runs{
		loss.Low(), loss.Mid(), loss.High(), crop(water.Low()), crop(water.Mid()), crop(water.High()),
		func(seed uint64) (loss.Coefficients, water.Coefficients) {
			return loss.Draw(seed), crop(water.Draw(seed))
		},
	}
}

// Input is an application with all that its course depends on.
type Input struct {
	Application loss.Application
	Until       time.Time // the last day of the course
	Zones       []Zone
	Latitude    float64 // degrees, north above zero
	// Years is the weather of the years of record, and Actual that of the application's
	// own year, nil where it is not known. Each reaches from some weeks before the
	// application, so that the water of the soil is known on its day, through Until.
	Years  []weather.Scenario
	Actual *weather.Scenario
	Runs   Runs
	// Draws is the number of runs at random, 0 for none; Seed says which: another has other draws.
	Draws int
	Seed  uint64
}

// The most that is reckoned at once.
const (
	mostDraws = 10000
	mostDays  = 731
)

// days is how many days the course has, the first and the last within.
func (in *Input) days() int {
	return int(math.Round(midnight(in.Until).Sub(midnight(in.Application.Date)).Hours()/24)) + 1
}

// check refuses what cannot be followed; the rest is refused by package loss.
func (in *Input) check() error {
	switch {
	case len(in.Zones) == 0:
		return fmt.Errorf("there is no zone to follow nitrogen on")
	case len(in.Years) == 0:
		return fmt.Errorf("there is no year of weather; give a record of daily weather")
	case in.Draws < 0 || in.Draws > mostDraws:
		return fmt.Errorf("%d draws cannot be; write 0 to %d", in.Draws, mostDraws)
	case in.Draws > 0 && in.Runs.Draw == nil:
		return fmt.Errorf("nothing says how runs at random are drawn; take the default runs")
	case in.days() > mostDays:
		return fmt.Errorf("a course of %d days is too long; end it within two years of the application", in.days())
	}
	for _, z := range in.Zones {
		if a := z.Area.Hectares(); !(a > 0 && a < 1e9) {
			return fmt.Errorf("zone %s has an area of %g ha; give one above zero", z.ID, a)
		}
	}
	return nil
}

// Band is a figure of the middle run with what surrounds it, kg N/ha.
type Band struct {
	Mid, Low, High float64 // Low and High are the ends of the three runs
	P5, P95        float64 // of the draws; 0 where Spread.Draws is
}

// Day is where the nitrogen is at the end of a day.
type Day struct {
	Balance loss.Balance // of the middle run; it closes
	Still   Band         // still there
	Lost    Band
}

// Spread is a course under one weather or under several years.
type Spread struct {
	Days []Day // the first is the day of application
	// Potential is the share that may be lost as ammonia where nothing hinders it: the mean
	// over the weathers, each at its own warmth. Low and High are the ends of the three runs.
	Potential, PotentialLow, PotentialHigh float64
	Draws                                  int       // behind P5 and P95
	Worst                                  []float64 // still there in the worst fifth of the years, by day, kg N/ha; nil under one weather
	WorstOf                                []int     // those years
}

// ZoneCourse is the course on a zone. One without nitrogen has no days.
type ZoneCourse struct {
	Zone
	Years  Spread
	Actual *Spread // nil where its weather is not known
}

// Result is the course of an application.
type Result struct {
	First, Last time.Time
	Years       []int // of the record
	Zones       []ZoneCourse
	Field       ZoneCourse // the mean over the zones by area; its ID is empty
	Notes       []string
}
