package job

import (
	"ratewright/geo/unit"
)

// PlanSpec says what strategies are compared by.
type PlanSpec struct {
	By           string // a date, or a growth stage such as V8
	Step, Most   unit.NRate
	FieldMost    unit.NRate // of nitrogen, on average over the field; 0: no limit
	Response     *ResponseSpec
	Practice     *TripSpec // how the trial of the response put its nitrogen down
	Coefficients map[string]float64
	line         int
}

// StrategySpec is one way to put the season's nitrogen down.
type StrategySpec struct {
	Name  string
	Trips []TripSpec
	line  int
}

// TripSpec is an application of a strategy.
type TripSpec struct {
	Name        string
	Source      string
	Placement   string
	Depth       *unit.Length
	Date        string
	Inhibitor   string
	Incorporate *TillageSpec
	Rate        *unit.NRate
	Share       float64
	Cost        unit.Return // of the trip
	Work        string      // what does it, one of those under `work:`
	Care        CareSpec
	line        int
}

// TillageSpec is a later trip that works nitrogen in.
type TillageSpec struct {
	Date  string
	Depth unit.Length
}

// SupplySpec is how much there is of a source.
type SupplySpec struct {
	Source string
	Volume unit.Volume // 0: by mass
	Mass   unit.Mass
	line   int
}

// WorkSpec is how long something can work, and how much ground it does.
type WorkSpec struct {
	Name      string
	Available float64
	Unit      string    // h or days
	Rate      unit.Area // in one of them
	line      int
}

// InhibitorPrice is what an inhibitor costs, by ground or by nitrogen.
type InhibitorPrice struct {
	PerHa unit.Return
	PerKg unit.NPrice
}
