package job

import (
	"errors"
	"fmt"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/nitrogen/response"
	"ratewright/rx/plan"
	"ratewright/rx/rates"
)

// zones puts the zones of a field to the input.
func (p *planner) zones(o *opener, j Job, f *plannedField) error {
	zones := f.ground.Zones
	g, err := j.groundsOf(zones)
	if err != nil {
		return err
	}
	o.notes = append(o.notes, g.notes...)
	f.texture, f.cover = g.texture, g.cover
	curves, err := o.curves(j, zones)
	if err != nil {
		return err
	}
	var practice *loss.Application
	if j.Plan.Practice != nil {
		a, err := j.follows(*j.Plan.Practice)
		if err != nil {
			return err
		}
		practice = &a
	}
	targets := map[string]unit.NRate{}
	if j.Target != nil {
		w, err := o.target(j, zones)
		if err != nil {
			return err
		}
		for _, z := range w.Result.Zones {
			targets[z.ID] = z.Rate
		}
	}
	for i, z := range zones {
		zone := plan.Zone{
			Field: f.ground.Field.Name, ID: z.ID, AreaHa: z.Region.Area().Hectares(),
			Soil: g.soils[i], Site: g.sites[i], Station: p.station,
		}
		if c, ok := curves[z.ID]; ok {
			zone.Curve, zone.Practice = c, practice
		}
		if n, ok := targets[z.ID]; ok {
			zone.Target = &n
		}
		p.in.Zones = append(p.in.Zones, zone)
	}
	return nil
}

// curves are the response curves of the zones.
func (o *opener) curves(j Job, zones []rx.Zone) (map[string]response.Curve, error) {
	s := j.Plan.Response
	if s == nil {
		return nil, nil
	}
	in := rates.Response{Model: s.Model, Curve: s.Curve, Curves: s.Curves, Practice: s.Practice, Otherwise: s.Otherwise, Options: response.DefaultOptions()}
	in.Options.Units = j.Units
	if s.Trial != nil {
		var err error
		if in.Trial, _, err = o.observations(s.Trial, j.Units); err != nil {
			return nil, err
		}
		in.ByZone = s.Trial.Columns["zone"] != ""
	}
	curves, notes, err := in.CurvesOf(zones)
	if err != nil {
		var input *vector.InputError
		if errors.As(err, &input) {
			return nil, err
		}
		return nil, j.fault(j.Plan.line, "plan: "+err.Error(), "see what a response curve needs in README")
	}
	o.notes = append(o.notes, notes...)
	return curves, nil
}

// untested tells of zones whose choice lies beyond the rates that their curve was tested at.
func (p *planner) untested(c *plan.Choice) {
	beyond := map[string][]string{}
	for i := range c.Zones {
		z, ch := &p.in.Zones[i], &c.Zones[i]
		curve, ok := z.Curve.(response.Curve)
		if !ok || !ch.In {
			continue
		}
		var words string
		switch u := p.first.Units; {
		case curve.Highest > 0 && ch.Rate > curve.Highest+1e-9:
			words = "more than " + u.NRate(curve.Highest) + ", the highest"
		case ch.Rate < curve.Lowest-1e-9:
			words = "less than " + u.NRate(curve.Lowest) + ", the lowest"
		default:
			continue
		}
		name := z.ID
		if len(p.fields) > 1 {
			name = z.Field + " " + z.ID
		}
		beyond[words] = append(beyond[words], name)
	}
	for _, words := range sortedKeys(beyond) {
		p.notes = append(p.notes, fmt.Sprintf("the choice gives %s rate that the curve was tested at, so that its yield there is a guess: %s", words, zonesNamed(beyond[words])))
	}
}
