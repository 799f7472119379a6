package rx

import (
	"fmt"
	"math"

	"ratewright/geo/unit"
)

// PrescriptionSchema names the form of prescription.json.
const PrescriptionSchema = "ratewright/prescription/1"

// PrescriptionJSON is prescription.json: areas in m2, nitrogen in kg, product
// in the unit it names. Keys may be added and are never renamed.
type PrescriptionJSON struct {
	Schema      string            `json:"schema"`
	Plane       PlaneJSON         `json:"plane"`
	Field       string            `json:"field"`
	Application string            `json:"application"`
	Source      string            `json:"source"`
	Map         MapJSON           `json:"map"`
	Zones       []RateZoneJSON    `json:"zones"`
	AreaM2      AreaJSON          `json:"area_m2"`
	NitrogenKg  float64           `json:"nitrogen_kg"`
	Product     AmountJSON        `json:"product"`
	KeyedIn     KeyedInJSON       `json:"keyed_in"`
	Loads       *LoadsJSON        `json:"loads"` // null without a tank
	Files       map[string]string `json:"files"` // name -> SHA-256, by the caller
	Findings    []FindingJSON     `json:"findings"`
	Notes       []string          `json:"notes"`
}

// PlaneJSON is the origin of the field's plane in degrees.
type PlaneJSON struct {
	Lon0 float64 `json:"lon0"`
	Lat0 float64 `json:"lat0"`
}

// MapJSON says what the rate map's column is and counts.
type MapJSON struct {
	Name   string `json:"name"`
	Column string `json:"column"`
	Unit   string `json:"unit"`
	Of     string `json:"of"`
}

// RateZoneJSON is one rate zone.
type RateZoneJSON struct {
	ID          string     `json:"id"`
	AreaM2      float64    `json:"area_m2"`
	NRateKgHa   float64    `json:"n_rate_kg_ha"`
	ProductRate AmountJSON `json:"product_rate"`
	NitrogenKg  float64    `json:"nitrogen_kg"`
	Product     AmountJSON `json:"product"`
	Reasons     []string   `json:"reasons"`
}

// AmountJSON is a number with its unit.
type AmountJSON struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

// AreaJSON is in m2. Field is the boundary less off-limits ground, and the sum
// of Zones and Unzoned.
type AreaJSON struct {
	Field     float64 `json:"field"`
	Zones     float64 `json:"zones"`
	Unzoned   float64 `json:"unzoned"`
	OffLimits float64 `json:"off_limits"`
}

// KeyedInJSON is what the operator should set at the controller.
type KeyedInJSON struct {
	Default      float64  `json:"default"`
	Outside      float64  `json:"outside"`
	PositionLost float64  `json:"position_lost"`
	Unit         string   `json:"unit"`
	Of           string   `json:"of"`
	Why          []string `json:"why"`
}

// LoadsJSON is how often the tank is filled.
type LoadsJSON struct {
	Count         int     `json:"count"`
	Exact         float64 `json:"exact"`
	AreaPerLoadM2 float64 `json:"area_per_load_m2"`
}

// FindingJSON is a finding of CheckRateMap.
type FindingJSON struct {
	Severity string `json:"severity"`
	Rule     string `json:"rule"`
	Text     string `json:"text"`
}

// JSON gives the prescription the form of prescription.json, with the notes of
// its rate map and what was found in it. The caller adds Files. A number that
// is not finite is an error.
func (p Prescription) JSON(m RateMap, findings []Finding) (PrescriptionJSON, error) {
	// A map of nitrogen is in a unit of mass, which serves for product too.
	productUnit := p.Application.Map.Unit
	o := p.Field.Plane.Origin()
	out := PrescriptionJSON{
		Schema: PrescriptionSchema, Plane: PlaneJSON{o.Lon(), o.Lat()},
		Field: p.Field.Name, Application: p.Application.Name, Source: p.Application.Source.Name,
		Map:   MapJSON{m.Name, m.Column(), m.Unit.String(), m.Of.String()},
		Zones: []RateZoneJSON{}, Files: map[string]string{}, Findings: []FindingJSON{},
		AreaM2: AreaJSON{
			Field: p.Field.Ground.Area().SquareMetres(), Zones: p.ZoneArea().SquareMetres(),
			Unzoned: p.Unzoned.Area().SquareMetres(), OffLimits: p.Field.OffLimits.Area().SquareMetres(),
		},
		NitrogenKg: p.Nitrogen().Kilograms(),
		Product:    AmountJSON{Unit: productUnit.Amount().String()},
		KeyedIn: KeyedInJSON{
			p.KeyedIn.Default, p.KeyedIn.Outside, p.KeyedIn.PositionLost,
			p.KeyedIn.Unit.String(), p.KeyedIn.Of.String(), p.KeyedIn.Why,
		},
		Notes: append(append([]string{}, p.Notes...), m.Notes...),
	}
	for _, z := range p.Zones {
		row, err := p.zoneJSON(z, productUnit)
		if err != nil {
			return PrescriptionJSON{}, err
		}
		out.Product.Value += row.Product.Value
		out.Zones = append(out.Zones, row)
	}
	if p.Loads != nil {
		out.Loads = &LoadsJSON{p.Loads.Count, p.Loads.Exact, p.Loads.Area.SquareMetres()}
	}
	for _, f := range findings {
		out.Findings = append(out.Findings, FindingJSON{f.Severity.String(), f.Rule, f.Text})
	}
	return out, out.check()
}

func (p Prescription) zoneJSON(z RateZone, u unit.RateUnit) (RateZoneJSON, error) {
	rate, err := p.Application.Source.RateFor(z.NRate, u, unit.Product)
	if err != nil {
		return RateZoneJSON{}, fmt.Errorf("zone %s: %w", z.ZoneID, err)
	}
	amount := rate.Over(z.Region.Area())
	reasons := make([]string, len(z.Reasons))
	for i, r := range z.Reasons {
		reasons[i] = string(r)
	}
	return RateZoneJSON{
		ID: z.ZoneID, AreaM2: z.Region.Area().SquareMetres(), NRateKgHa: z.NRate.KgNPerHa(),
		ProductRate: AmountJSON{rate.Value, u.String()},
		NitrogenKg:  z.Nitrogen().Kilograms(),
		Product:     AmountJSON{amount.Value, amount.Unit.String()},
		Reasons:     reasons,
	}, nil
}

// check finds a number that JSON cannot hold.
func (j PrescriptionJSON) check() error {
	numbers := []float64{
		j.Plane.Lon0, j.Plane.Lat0, j.AreaM2.Field, j.AreaM2.Zones, j.AreaM2.Unzoned,
		j.AreaM2.OffLimits, j.NitrogenKg, j.Product.Value, j.KeyedIn.Default, j.KeyedIn.Outside, j.KeyedIn.PositionLost,
	}
	for _, z := range j.Zones {
		numbers = append(numbers, z.AreaM2, z.NRateKgHa, z.ProductRate.Value, z.NitrogenKg, z.Product.Value)
	}
	if j.Loads != nil {
		numbers = append(numbers, j.Loads.Exact, j.Loads.AreaPerLoadM2)
	}
	for _, v := range numbers {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("application %s: a total of the prescription is not a finite number; check the rates and limits for one that is far too large", j.Application)
		}
	}
	return nil
}
