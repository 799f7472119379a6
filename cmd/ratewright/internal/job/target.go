package job

import (
	"fmt"
	"slices"
	"strings"

	"ratewright/geo/unit"
	"ratewright/rx"
	"ratewright/rx/nitrogen/budget"
	"ratewright/rx/rates"
)

// fromTarget works an application's part of the season's target out.
func (o *opener) fromTarget(j Job, a ApplicationSpec, zones []rx.Zone) (Worked, error) {
	w, err := o.target(j, zones)
	if err != nil {
		return w, err
	}
	sharing := j.sharing()
	parts := make([]budget.Part, len(sharing))
	at := -1
	for i, s := range sharing {
		parts[i] = *s.Rate.Part
		parts[i].Name = s.Name
		if parts[i].Limited, err = j.limited(s); err != nil {
			return w, err
		}
		if s.Name == a.Name {
			at = i
		}
	}
	for _, other := range j.Applications {
		if other.Rate != nil && other.Rate.Part == nil {
			o.notes = append(o.notes, fmt.Sprintf("application %s has a rate of its own, which is not counted in the season's target; write its rate as {target: 30 lb/ac} to have it counted", other.Name))
		}
	}
	w.Result, err = rates.Shared(w.Result, parts, at, j.Units)
	return w, err
}

// limited is what an application truly puts down where a rate is asked for; nil where it
// has no limits.
func (j Job) limited(a ApplicationSpec) (func(unit.NRate) (unit.NRate, error), error) {
	if a.Limits.Min == nil && a.Limits.Max == nil && a.Limits.Step == nil {
		return nil, nil
	}
	if a.Source == "" && a.Limits.Of == unit.Product {
		return nil, j.fault(a.line, fmt.Sprintf("application %s takes a part of the season's target, and its limits count product", a.Name), "name its source: what goes down in nitrogen depends on it")
	}
	app, err := j.plan(a)
	if err != nil {
		return nil, err
	}
	return func(n unit.NRate) (unit.NRate, error) {
		put, _, err := app.Put(n)
		return put, err
	}, nil
}

// sharing are the applications that take a part of the season's target, in the order of
// their dates; those without one come first.
func (j Job) sharing() []ApplicationSpec {
	var list []ApplicationSpec
	for _, a := range j.Applications {
		if a.Rate != nil && a.Rate.Part != nil {
			list = append(list, a)
		}
	}
	slices.SortStableFunc(list, func(a, b ApplicationSpec) int { return strings.Compare(a.Date, b.Date) })
	return list
}

// target is the season's target of every zone.
func (o *opener) target(j Job, zones []rx.Zone) (Worked, error) {
	t := j.Target
	if t.Method != nil {
		return o.work(j, t.Method, zones)
	}
	if t.Of != unit.Nitrogen {
		return Worked{}, fmt.Errorf("the season's target counts nitrogen; write of: nitrogen")
	}
	v := ValueSpec{Rule: rx.ValueRule{What: "season's target", Column: t.Column, Table: t.Table}, Factor: t.Unit.PerHa()}
	values, err := v.of(o, zones)
	if err != nil {
		return Worked{}, err
	}
	w := Worked{Result: rates.Result{Method: "season's target"}}
	for i, z := range zones {
		if values[i] < 0 {
			return Worked{}, fmt.Errorf("zone %s: a target of %g is below zero", z.ID, values[i]/t.Unit.PerHa())
		}
		n := unit.KgNPerHa(values[i])
		w.Result.Zones = append(w.Result.Zones, rates.ZoneRate{ID: z.ID, Rate: n, Terms: []rates.Term{{What: "season's target", N: n, Source: "given in the job"}}})
	}
	return w, nil
}
