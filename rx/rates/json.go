package rates

import (
	"ratewright/rx"
	"ratewright/rx/nitrogen/response"
)

// Schema names the form of rates.json.
const Schema = "ratewright/rates/1"

// JSON is rates.json: the arithmetic of the rates of one application. Keys may be
// added and are never renamed.
type JSON struct {
	Schema      string            `json:"schema"`
	Field       string            `json:"field"`
	Application string            `json:"application"`
	Method      string            `json:"method"`
	Practice    *PracticeJSON     `json:"practice"`    // null where none is behind the rates
	Prices      *PricesJSON       `json:"prices"`      // null where the method asks for none
	NitrogenKg  float64           `json:"nitrogen_kg"` // on all zones
	Zones       []ZoneJSON        `json:"zones"`
	Changes     []ChangeJSON      `json:"changes"` // what moves the mean rate, the most first
	MeanReturn  []PointJSON       `json:"mean_return"`
	Findings    []string          `json:"findings"`
	Files       map[string]string `json:"files"` // name -> SHA-256, by the caller
	Notes       []string          `json:"notes"`
}

// PracticeJSON is what a trial did besides its rates.
type PracticeJSON struct {
	Form      string `json:"form"`
	Placement string `json:"placement"`
	Date      string `json:"date"`
}

// PricesJSON are prices by mass.
type PricesJSON struct {
	NitrogenPerKg float64 `json:"nitrogen_usd_per_kg"`
	GrainPerKg    float64 `json:"grain_usd_per_kg"`
}

// ZoneJSON is the rate of a zone; its terms add up to it.
type ZoneJSON struct {
	ID        string     `json:"id"`
	AreaM2    float64    `json:"area_m2"`
	NRateKgHa float64    `json:"n_rate_kg_ha"`
	Terms     []TermJSON `json:"terms"`
	Reasons   []string   `json:"reasons"`
}

// TermJSON is a line of the arithmetic.
type TermJSON struct {
	What   string  `json:"what"`
	NKgHa  float64 `json:"n_kg_ha"`
	Source string  `json:"source"`
}

// ChangeJSON is what one input does to the mean rate over its range.
type ChangeJSON struct {
	What       string  `json:"what"`
	Low        string  `json:"low"`
	High       string  `json:"high"`
	LowNKgHa   float64 `json:"low_n_rate_kg_ha"`
	HighNKgHa  float64 `json:"high_n_rate_kg_ha"`
	SwingNKgHa float64 `json:"swing_n_rate_kg_ha"`
}

// PointJSON is a point of the mean return over trials.
type PointJSON struct {
	NRateKgHa   float64 `json:"n_rate_kg_ha"`
	YieldKgHa   float64 `json:"yield_kg_ha"` // mean of the curves
	ReturnPerHa float64 `json:"return_usd_per_ha"`
}

// JSON gives a result the form of rates.json; zones are those that it was worked out
// for. The caller adds Files.
func (r Result) JSON(field, application string, zones []rx.Zone, prices *response.Prices, chart []response.Point) JSON {
	out := JSON{
		Schema: Schema, Field: field, Application: application, Method: r.Method,
		Zones: []ZoneJSON{}, Changes: []ChangeJSON{}, MeanReturn: []PointJSON{},
		Findings: append([]string{}, r.Findings...), Files: map[string]string{}, Notes: append([]string{}, r.Notes...),
	}
	if p := r.Practice; p != (response.Practice{}) {
		out.Practice = &PracticeJSON{p.Form, p.Placement, p.Date}
	}
	if prices != nil {
		out.Prices = &PricesJSON{prices.N.PerKg(), prices.Grain.PerKg()}
	}
	for i, z := range r.Zones {
		row := ZoneJSON{ID: z.ID, AreaM2: zones[i].Region.Area().SquareMetres(), NRateKgHa: z.Rate.KgNPerHa(), Terms: []TermJSON{}, Reasons: append([]string{}, z.Reasons...)}
		for _, t := range z.Terms {
			row.Terms = append(row.Terms, TermJSON{t.What, t.N.KgNPerHa(), t.Source})
		}
		out.Zones = append(out.Zones, row)
		out.NitrogenKg += z.Rate.Over(zones[i].Region.Area()).Kilograms()
	}
	for _, c := range r.Changes {
		out.Changes = append(out.Changes, ChangeJSON{c.What, c.Low, c.High, c.RateLow.KgNPerHa(), c.RateHigh.KgNPerHa(), c.Swing().KgNPerHa()})
	}
	for _, p := range chart {
		out.MeanReturn = append(out.MeanReturn, PointJSON{p.Rate.KgNPerHa(), p.Yield.KgPerHa(), p.Return.PerHa()})
	}
	return out
}
