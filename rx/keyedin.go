package rx

import "ratewright/geo/unit"

// KeyedIn are the rates the operator sets at the controller for where the map
// is silent, in the unit of the map. All are zero.
type KeyedIn struct {
	Default      float64 // where the controller finds no rate in the map
	Outside      float64 // outside the map
	PositionLost float64 // when the receiver has no position
	Unit         unit.RateUnit
	Of           unit.Of
	Why          []string // one line each
}

func keyedIn(m MapSpec) KeyedIn {
	return KeyedIn{
		Unit: m.Unit, Of: m.Of,
		Why: []string{
			"default 0: the map gives every spot of the field a rate, so a default is used only where something is wrong",
			"outside 0: beyond the map lie neighbours, roads and water, and any off-limits ground that the map leaves out",
			"position lost 0: without a position the controller cannot know the zone or the setbacks; ground that was missed can be treated later, what was applied cannot be taken back",
		},
	}
}
