package unit

import (
	"fmt"
	"strings"
)

// System is how results are printed. Every quantity has three forms: the text
// with its unit, and number and unit apart for the cells and head of a table.
// Numbers of one quantity always have the same decimals, so that a column set
// to the right lines up.
type System int

// US prints acres, pounds, feet, inches and miles per hour; SI prints hectares,
// kilograms, metres, centimetres and kilometres per hour.
const (
	US System = iota
	SI
)

// notAvailable stands where a value is NaN or infinite.
const notAvailable = "n/a"

// ParseSystem reads "us" or "si".
func ParseSystem(s string) (System, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "us":
		return US, nil
	case "si":
		return SI, nil
	}
	return US, fmt.Errorf("units %s are unknown; write us or si", quote(s))
}

// String is the word that ParseSystem reads.
func (s System) String() string {
	if s == SI {
		return "si"
	}
	return "us"
}

// pick returns the form for the system.
func (s System) pick(us, si string) string {
	if s == SI {
		return si
	}
	return us
}

// Area is an area in acres or hectares: "12.30 ac".
func (s System) Area(a Area) string { return s.AreaNumber(a) + " " + s.AreaUnit() }

// AreaNumber is the number of Area.
func (s System) AreaNumber(a Area) string {
	return s.pick(fixed(a.Acres(), 2), fixed(a.Hectares(), 3))
}

// AreaUnit is the unit of Area: ac or ha.
func (s System) AreaUnit() string { return s.pick("ac", "ha") }

// NMass is a mass of nitrogen in pounds or kilograms: "1240.0 lb N".
func (s System) NMass(m Mass) string { return s.NMassNumber(m) + " " + s.NMassUnit() }

// NMassNumber is the number of NMass.
func (s System) NMassNumber(m Mass) string {
	return s.pick(fixed(m.Pounds(), 1), fixed(m.Kilograms(), 1))
}

// NMassUnit is the unit of NMass: lb N or kg N.
func (s System) NMassUnit() string { return s.pick("lb N", "kg N") }

// NRate is a rate of nitrogen: "120.0 lb N/ac" or "134.5 kg N/ha".
func (s System) NRate(r NRate) string { return s.NRateNumber(r) + " " + s.NRateUnit() }

// NRateNumber is the number of NRate.
func (s System) NRateNumber(r NRate) string {
	return s.pick(fixed(r.LbNPerAcre(), 1), fixed(r.KgNPerHa(), 1))
}

// NRateUnit is the unit of NRate: lb N/ac or kg N/ha.
func (s System) NRateUnit() string { return s.pick("lb N/ac", "kg N/ha") }

// Yield is a yield of corn: "200.0 bu/ac" or "12.55 t/ha".
func (s System) Yield(y Yield) string {
	return s.pick(fixed(y.BushelsPerAcre(), 1)+" bu/ac", fixed(y.KgPerHa()/1000, 2)+" t/ha")
}

// Return is money per area: "1.00 $/ac" or "2.47 $/ha".
func (s System) Return(r Return) string {
	return s.pick(fixed(r.PerAcre(), 2)+" $/ac", fixed(r.PerHa(), 2)+" $/ha")
}

// NPrice is a price of nitrogen: "0.500 $/lb" or "1.102 $/kg".
func (s System) NPrice(p NPrice) string {
	return s.pick(fixed(p.PerPound(), 3)+" $/lb", fixed(p.PerKg(), 3)+" $/kg")
}

// GrainPrice is a price of corn: "4.20 $/bu" or "165.3 $/t".
func (s System) GrainPrice(p GrainPrice) string {
	return s.pick(fixed(p.PerBushel(), 2)+" $/bu", fixed(1000*p.PerKg(), 1)+" $/t")
}

// Length is a width or distance in feet or metres: "60.0 ft".
func (s System) Length(l Length) string { return s.LengthNumber(l) + " " + s.LengthUnit() }

// LengthNumber is the number of Length.
func (s System) LengthNumber(l Length) string {
	return s.pick(fixed(l.Feet(), 1), fixed(l.Metres(), 2))
}

// LengthUnit is the unit of Length: ft or m.
func (s System) LengthUnit() string { return s.pick("ft", "m") }

// Depth is a depth of placement in inches or centimetres: "3.5 in".
func (s System) Depth(l Length) string { return s.DepthNumber(l) + " " + s.DepthUnit() }

// DepthNumber is the number of Depth.
func (s System) DepthNumber(l Length) string {
	return s.pick(fixed(l.Inches(), 1), fixed(100*l.Metres(), 1))
}

// DepthUnit is the unit of Depth: in or cm.
func (s System) DepthUnit() string { return s.pick("in", "cm") }

// Speed is a ground speed in miles or kilometres per hour: "6.0 mph".
func (s System) Speed(v Speed) string { return s.SpeedNumber(v) + " " + s.SpeedUnit() }

// SpeedNumber is the number of Speed.
func (s System) SpeedNumber(v Speed) string {
	return s.pick(fixed(v.MilesPerHour(), 1), fixed(v.MetresPerSecond()*hour/1000, 1))
}

// SpeedUnit is the unit of Speed: mph or km/h.
func (s System) SpeedUnit() string { return s.pick("mph", "km/h") }
