package rx

import (
	"fmt"
	"math"
	"slices"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// RateZone is a part of the field with one rate and the reasons for it. Zero is
// a rate.
type RateZone struct {
	ZoneID      string
	Region      geo.Region
	NRate       unit.NRate
	ProductRate unit.ProductRate
	MapRate     unit.Rate // the same rate in the unit of the map, unrounded
	Reasons     []Reason
}

// Nitrogen is the mass of nitrogen that the zone gets.
func (z RateZone) Nitrogen() unit.Mass { return z.NRate.Over(z.Region.Area()) }

// Product is the mass of product that the zone gets.
func (z RateZone) Product() unit.Mass { return z.ProductRate.Over(z.Region.Area()) }

// Prescription is the rate zones of one application on one field. The areas of
// its zones and its unzoned ground add up to the field's ground.
type Prescription struct {
	Field       Field
	Application Application
	Zones       []RateZone
	Unzoned     geo.Region // ground in no zone: no rate
	KeyedIn     KeyedIn
	Loads       *Loads // nil without a tank
	Notes       []string
}

// Prescribe gives every zone the rate that the application's rule says, rounded
// and bounded by its limits, as nitrogen and as product. Zones come from
// NewZones of the same field.
//
// Errors name what to change: a zone without a rate, a rate below zero, a unit
// that cannot be converted for the source.
func Prescribe(f Field, zones []Zone, a Application) (Prescription, error) {
	if err := a.check(); err != nil {
		return Prescription{}, fmt.Errorf("application %s: %w", a.Name, err)
	}
	p := Prescription{Field: f, Application: a, KeyedIn: keyedIn(a.Map)}
	p.Notes = append(append(p.Notes, f.Notes...), a.Source.Notes...)
	rates, notes, err := a.Rate.zoneRates(zones)
	if err != nil {
		return Prescription{}, fmt.Errorf("application %s: %w", a.Name, err)
	}
	p.Notes = append(p.Notes, notes...)
	for i, z := range zones {
		rz, err := a.rateZone(z, rates[i])
		if err != nil {
			return Prescription{}, fmt.Errorf("application %s: zone %s: %w", a.Name, vector.Short(z.ID), err)
		}
		p.Zones = append(p.Zones, rz)
	}
	if p.Unzoned, err = unzoned(f, zoneRegions(zones)); err != nil {
		return Prescription{}, err
	}
	if err := p.checkAreas(); err != nil {
		return Prescription{}, err
	}
	if a.Tank.IsSet() {
		l, err := loads(a.Tank, a.Source, p.Product(), p.treated())
		if err != nil {
			return Prescription{}, fmt.Errorf("application %s: %w", a.Name, err)
		}
		p.Loads = &l
	}
	return p, nil
}

// checkAreas refuses a prescription whose zones and unzoned ground are not the
// field's ground to 1e-9: overlay of nearly equal edges can go wrong unseen, and
// a map that lacks or doubles ground must not be written.
func (p Prescription) checkAreas() error {
	whole := p.Field.Ground.Area()
	sum := p.ZoneArea() + p.Unzoned.Area()
	if math.Abs(float64(sum-whole)) > 1e-9*float64(whole) {
		return fmt.Errorf("the areas of zones and unzoned ground add up to %s and the field has %s: cutting the zones to the field went wrong; simplify the zones' outlines along the boundary, cut-outs and setbacks", sum, whole)
	}
	return nil
}

// rateZone turns a zone's raw rate into what is applied there.
func (a Application) rateZone(z Zone, raw counted) (RateZone, error) {
	c, reasons, err := a.Limits.apply(raw, a.Source)
	if err != nil {
		return RateZone{}, err
	}
	n, err := a.Source.NRateFrom(c.Rate, c.of)
	if err != nil {
		return RateZone{}, err
	}
	m, err := c.in(a.Source, a.Map.Unit, a.Map.Of)
	if err != nil {
		return RateZone{}, err
	}
	return RateZone{
		ZoneID: z.ID, Region: z.Region,
		NRate: n, ProductRate: a.Source.Product(n), MapRate: m.Rate,
		Reasons: slices.Concat(a.Rate.origin(z, raw), reasons),
	}, nil
}

// Nitrogen is the mass of nitrogen on all zones.
func (p Prescription) Nitrogen() unit.Mass {
	var sum unit.Mass
	for _, z := range p.Zones {
		sum += z.Nitrogen()
	}
	return sum
}

// Product is the mass of product on all zones.
func (p Prescription) Product() unit.Mass {
	var sum unit.Mass
	for _, z := range p.Zones {
		sum += z.Product()
	}
	return sum
}

// ZoneArea is the area of all zones together.
func (p Prescription) ZoneArea() unit.Area {
	var sum unit.Area
	for _, z := range p.Zones {
		sum += z.Region.Area()
	}
	return sum
}

// treated is the area with a rate above zero.
func (p Prescription) treated() unit.Area {
	var sum unit.Area
	for _, z := range p.Zones {
		if z.NRate > 0 {
			sum += z.Region.Area()
		}
	}
	return sum
}
