package unit

import (
	"fmt"
	"strings"
)

// ParseLengthUnit reads a unit of length, such as "ft", and returns its metres.
func ParseLengthUnit(s string) (float64, error) { return factor(s, lengths) }

// ParseAreaUnit reads a unit of area, such as "ac", and returns its square metres.
func ParseAreaUnit(s string) (float64, error) { return factor(s, areas) }

// ParseSpeedUnit reads a unit of speed, such as "mph", and returns its metres
// per second.
func ParseSpeedUnit(s string) (float64, error) { return factor(s, speeds) }

// ParseDurationUnit reads a unit of time, such as "min", and returns its seconds.
func ParseDurationUnit(s string) (float64, error) { return factor(s, durations) }

func factor(s string, k *kind) (float64, error) {
	e, _, err := among(s, k)
	return e.factor, err
}

// among finds a unit in the first of the kinds that has it.
func among(s string, ks ...*kind) (entry, *kind, error) {
	if strings.TrimSpace(s) == "" {
		return entry{}, nil, fmt.Errorf("the unit of %s is missing", ks[0].noun)
	}
	for _, k := range ks {
		if e, ok := k.find(s); ok {
			return e, k, nil
		}
	}
	return entry{}, nil, unfit(s, ks...)
}

// FlowUnit is a unit of mass or volume per time.
type FlowUnit struct {
	IsVolume  bool
	PerSecond float64 // factor to kg/s, or to L/s where IsVolume
}

// ParseFlowUnit reads a unit of flow such as kg/s, lb/min, gal/min, gpm or L/s.
func ParseFlowUnit(s string) (FlowUnit, error) {
	e, k, err := among(s, massFlows, volumeFlows)
	return FlowUnit{IsVolume: k == volumeFlows, PerSecond: e.factor}, err
}

// AmountUnit is a unit of mass or volume: kg, lb, gal, L, short ton or t among
// others. It is comparable; the zero value is no unit at all.
type AmountUnit struct {
	name string // as in masses and volumes
}

// ParseAmountUnit reads a unit of mass or volume; "ton" is the US short ton.
func ParseAmountUnit(s string) (AmountUnit, error) {
	e, _, err := among(s, masses, volumes)
	return AmountUnit{e.name}, err
}

// String is the unit as the trade writes it, a short ton said as such.
func (u AmountUnit) String() string { return u.name }

// IsVolume tells units of volume from those of mass.
func (u AmountUnit) IsVolume() bool {
	_, ok := volumes.listed(u.name)
	return ok
}

// Factor is the number of kg in the unit, or of L where IsVolume; zero for no
// unit.
func (u AmountUnit) Factor() float64 {
	if e, ok := masses.listed(u.name); ok {
		return e.factor
	}
	e, _ := volumes.listed(u.name)
	return e.factor
}
