package plan

import (
	"time"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/nitrogen/water"
	"ratewright/rx/weather"
)

// Strategy is one way to put the season's nitrogen down.
type Strategy struct {
	Name  string
	Trips []Trip
}

// Trip is an application of a strategy with what it costs and what it takes.
type Trip struct {
	Name string
	loss.Application
	Rate   unit.NRate // fixed; counts where Share is 0
	Share  float64    // of what the fixed rates leave of the season's rate, above 0 to 1
	NPrice unit.NPrice
	// PerHa is what the trip costs, PerHaInhibitor and PerKgInhibitor what the
	// inhibitor does, in $ per hectare and per kg N.
	PerHa, PerHaInhibitor, PerKgInhibitor float64
	Uses                                  []Use
}

// Use is what a trip takes of a limit: for each kg N and for each hectare, in the
// unit of the limit.
type Use struct {
	Limit         int // index into the limits of [Input]
	PerKgN, PerHa float64
}

// Zone is a zone of a field.
type Zone struct {
	Field, ID string
	AreaHa    float64
	Soil      water.Soil
	Site      loss.Site
	Station   int   // index into the stations of [Input]
	Curve     Curve // nil: not known
	// Practice is how the trial of the curve put its nitrogen down; nil where the
	// curve does not say.
	Practice *loss.Application
	Target   *unit.NRate // the season's rate to compare strategies at; nil: the one that pays best
	Most     *unit.NRate // of all trips together; nil: that of [Input]
}

// Curve gives the yield at a rate of nitrogen.
type Curve interface {
	Yield(n unit.NRate) unit.Yield
}

// Station is a weather record with its years as scenarios of the plan's season, all
// over the same days.
type Station struct {
	Name     string
	Latitude float64 // degrees
	Years    []weather.Scenario
}

// Input is what a plan is made from.
type Input struct {
	Zones      []Zone
	Strategies []Strategy
	Stations   []Station
	Limits     []Limit
	By         time.Time       // the day by which it matters what is still there
	Grain      unit.GrainPrice // 0: not known
	Step, Most unit.NRate      // the season's rates looked at: 0, Step, ... Most
	Runs       Runs
	Workers    int // 0: all processors
}

// Limit is how much there is of a scarce thing. Field is that of the zones it
// concerns; "" for all.
type Limit struct {
	Name, Unit, Field string
	Amount            float64
	PerKgN            float64 // taken by every kg N of any trip: 1 for a total of nitrogen in kg
	// More is how much more of it is tried to tell its worth; 0 is one unit. Less than a
	// step of the rates on a zone takes may well bring nothing.
	More float64
}

// Runs are the coefficients of the three runs.
type Runs struct {
	Mid, Low, High                loss.Coefficients
	MidWater, LowWater, HighWater water.Coefficients
}

// DefaultRuns are the published coefficients.
func DefaultRuns() Runs {
	return Runs{
		Mid: loss.Mid(), Low: loss.Low(), High: loss.High(),
		MidWater: water.Mid(), LowWater: water.Low(), HighWater: water.High(),
	}
}
