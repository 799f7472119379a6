package rates

import (
	"errors"
	"fmt"
	"slices"

	"ratewright/geo/unit"
	"ratewright/rx"
	"ratewright/rx/nitrogen/response"
)

// priceRange is how far a price is moved, up and down, to see what it does.
const priceRange = 0.2

// Response is what the rate is worked out from.
type Response struct {
	Model    response.Model
	Trial    []response.Observation
	ByZone   bool                      // a curve for each zone, by the zones of the trial
	Curve    *response.Curve           // in place of a trial: one for the whole field
	Curves   map[string]response.Curve // or one for each zone, by id
	Practice response.Practice
	Prices   response.Prices
	Within   unit.Return // of the best return; 0 asks for no range
	Level    float64     // of confidence, a share
	Options  response.Options
	// Otherwise is the rate of a zone whose plots give no curve, or that has none; nil
	// refuses it.
	Otherwise *Otherwise
}

// FromResponse gives each zone the rate of the largest return at the prices, from
// one curve for the field or one for each zone. A curve that must not be answered from is an
// error, a *response.Refusal; of a zone it names the zone.
func FromResponse(zones []rx.Zone, in Response) (Result, error) {
	out := Result{Method: "response curve", Practice: in.Practice}
	switch {
	case in.Curve != nil:
		return out, in.given(&out, zones)
	case len(in.Curves) > 0:
		return out, in.givenByZone(&out, zones)
	case in.ByZone:
		return out, in.byZone(&out, zones)
	}
	return out, in.wholeField(&out, zones)
}

// given takes a curve whose coefficients are given.
func (in Response) given(out *Result, zones []rx.Zone) error {
	curve := in.Curve.Held(in.Options.MostBeyond)
	o, err := curve.Optimum(in.Prices)
	if err != nil {
		return err
	}
	reasons, err := in.around(curve, o)
	if err != nil {
		return err
	}
	out.Notes = append(out.Notes, o.Notes...)
	out.one(zones, o, fmt.Sprintf("%s curve with the coefficients given", in.Curve.Model), reasons)
	return in.changes(out, curve)
}

// wholeField fits one curve to all of the trial.
func (in Response) wholeField(out *Result, zones []rx.Zone) error {
	fit, err := in.fit(out)
	if err != nil {
		return err
	}
	o, reasons, notes, err := in.fitted(fit)
	if err != nil {
		return err
	}
	out.Notes = append(out.Notes, notes...)
	out.one(zones, o, in.source(fit), reasons)
	return in.changes(out, fit.Curve)
}

func (in Response) fit(out *Result) (response.Fit, error) {
	if in.Model != response.Best {
		return response.FitCurve(in.Model, in.Trial, in.Practice, in.Options)
	}
	choice, err := response.Choose(in.Trial, in.Practice, in.Options)
	if err == nil {
		out.Findings = append(out.Findings, fmt.Sprintf("%s: %s", choice.Rule, choice.Why))
	}
	return choice.Fit, err
}

// fitted are the optimum of a fit, the sentences that belong to it and what is to be noted.
func (in Response) fitted(fit response.Fit) (o response.Optimum, reasons, notes []string, err error) {
	if o, err = fit.Curve.Optimum(in.Prices); err != nil {
		return o, nil, nil, err
	}
	if reasons, err = in.around(fit.Curve, o); err != nil {
		return o, nil, nil, err
	}
	set, err := fit.Confidence(in.Prices, in.Level)
	if err != nil {
		return o, nil, nil, err
	}
	notes = append(append(append(notes, fit.Notes...), o.Notes...), set.Notes...)
	return o, append(reasons, set.Words()), notes, nil
}

// around are the sentences about a curve's optimum and the rates beside it.
func (in Response) around(c response.Curve, o response.Optimum) ([]string, error) {
	reasons := []string{
		o.Why,
		"return over no nitrogen " + in.Options.Units.Return(o.Return),
	}
	if o.Warning != "" {
		reasons = slices.Insert(reasons, 1, o.Warning)
	}
	if in.Within > 0 {
		r, err := c.Within(in.Prices, in.Within)
		if err != nil {
			return nil, err
		}
		reasons = append(append(reasons, r.Words()), r.Notes...)
	}
	return append(reasons, in.Practice.Words()), nil
}

func (in Response) source(f response.Fit) string {
	return fmt.Sprintf("%s curve fitted to the trial: %d observations at %d rates", f.Curve.Model, f.Observations, f.Rates)
}

// one gives every zone the same rate.
func (r *Result) one(zones []rx.Zone, o response.Optimum, source string, reasons []string) {
	for _, z := range zones {
		r.Zones = append(r.Zones, ZoneRate{ID: z.ID, Rate: o.Rate, Reasons: reasons, Terms: []Term{{"rate of the largest return", o.Rate, source}}})
	}
}

// byZone fits a curve to each zone of the trial.
func (in Response) byZone(out *Result, zones []rx.Zone) error {
	fits, err := response.FitZones(in.Model, in.Trial, in.Practice, in.Options)
	if err != nil {
		return err
	}
	if fits.Choice != nil {
		out.Findings = append(out.Findings, fmt.Sprintf("%s: %s", fits.Choice.Rule, fits.Choice.Why))
	}
	if fits.HasTest {
		out.Findings = append(out.Findings, fits.Test.Words())
	}
	out.Notes = append(out.Notes, fits.Notes...)
	byID, without, note, err := in.matched(zones, fits)
	if err != nil {
		return err
	}
	if note != "" {
		out.Notes = append(out.Notes, note)
	}
	areas := make(map[string]unit.Area, len(zones))
	var curves []*response.Curve
	var said byZone
	for _, z := range zones {
		f, ok := byID[z.ID]
		if !ok {
			rate, curve, err := in.otherwise(z.ID, without[z.ID], fits)
			if err != nil {
				return err
			}
			out.Zones, curves = append(out.Zones, rate), append(curves, curve)
			areas[z.ID] = z.Region.Area()
			out.Notes = append(out.Notes, rate.Reasons[0])
			continue
		}
		o, reasons, notes, err := in.fitted(f.Fit)
		if err != nil {
			return inZone(z.ID, err)
		}
		for _, n := range notes {
			said.add(z.ID, n)
		}
		out.Zones = append(out.Zones, ZoneRate{ID: z.ID, Rate: o.Rate, Reasons: reasons, Terms: []Term{{"rate of the largest return", o.Rate, in.source(f.Fit)}}})
		areas[f.ID] = z.Region.Area()
		curves = append(curves, &f.Fit.Curve)
	}
	out.Notes = append(out.Notes, said.words(len(zones))...)
	u := in.Options.Units
	value, err := fits.Value(in.Prices, areas)
	if err != nil {
		return err
	}
	where := ""
	if len(without) > 0 {
		where = "in the zones with a curve of their own, "
	}
	out.Findings = append(out.Findings, fmt.Sprintf("%srates by zone bring %s more than the best one rate of %s", where, u.Return(value.Value), u.NRate(value.OneRate.Rate)))
	out.Notes = append(out.Notes, value.Notes...)
	return in.movedByZone(out, zones, curves)
}

// movedByZone moves each price over its range for the curves of the zones; a zone without
// one keeps its rate.
func (in Response) movedByZone(out *Result, zones []rx.Zone, curves []*response.Curve) error {
	return in.moved(out, func(p response.Prices) (unit.NRate, error) {
		rates := make([]unit.NRate, len(zones))
		for i, c := range curves {
			if c == nil {
				rates[i] = out.Zones[i].Rate
				continue
			}
			o, err := c.Optimum(p)
			if err != nil {
				return 0, err
			}
			rates[i] = o.Rate
		}
		return meanRate(zones, rates), nil
	})
}

// inZone names the zone of a refusal.
func inZone(id string, err error) error {
	var r *response.Refusal
	if errors.As(err, &r) {
		return &response.Refusal{Reason: r.Reason, Why: fmt.Sprintf("zone %s: %s", id, r.Why)}
	}
	return fmt.Errorf("zone %s: %w", id, err)
}

// changes moves each price over its range for one curve.
func (in Response) changes(out *Result, c response.Curve) error {
	return in.moved(out, func(p response.Prices) (unit.NRate, error) {
		o, err := c.Optimum(p)
		return o.Rate, err
	})
}

// moved moves one price at a time, the other as it is.
func (in Response) moved(out *Result, rate func(response.Prices) (unit.NRate, error)) error {
	u := in.Options.Units
	for _, grain := range []bool{false, true} {
		low, high := in.Prices, in.Prices
		c := Change{What: "price of nitrogen"}
		if grain {
			c.What = "price of grain"
			low.Grain *= 1 - priceRange
			high.Grain *= 1 + priceRange
			c.Low, c.High = u.GrainPrice(low.Grain), u.GrainPrice(high.Grain)
		} else {
			low.N *= 1 - priceRange
			high.N *= 1 + priceRange
			c.Low, c.High = u.NPrice(low.N), u.NPrice(high.N)
		}
		var err error
		if c.RateLow, err = rate(low); err == nil {
			c.RateHigh, err = rate(high)
		}
		if err != nil {
			return err
		}
		out.Changes = append(out.Changes, c)
	}
	out.Changes = sorted(out.Changes)
	return nil
}
