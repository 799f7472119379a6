package job

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/plan"
	"ratewright/rx/rates"
)

// fromPlan gives each zone what the choice of a plan gives it of an application.
func fromPlan(j Job, a ApplicationSpec, zones []rx.Zone) (rates.Result, error) {
	file := a.Rate.Plan
	fault := func(what, fix string) error { return &vector.InputError{File: file, What: what, Fix: fix} }
	data, err := os.ReadFile(file)
	if err != nil {
		return rates.Result{}, fault("cannot be read: "+cause(err), "make it first by ratewright plan")
	}
	var doc plan.JSON
	if err := json.Unmarshal(data, &doc); err != nil || doc.Schema != plan.Schema {
		return rates.Result{}, fault("is not the JSON of a plan", "name the plan.json that ratewright plan wrote")
	}
	i := slices.IndexFunc(doc.Fields, func(f plan.FieldJSON) bool { return f.Field == j.Field.Name })
	if i < 0 {
		return rates.Result{}, fault(fmt.Sprintf("has no field %q", j.Field.Name), "make the plan of this field")
	}
	field := doc.Fields[i]
	out := rates.Result{Method: "the choice of the plan"}
	named := map[string]bool{}
	for _, z := range zones {
		k := slices.IndexFunc(field.Zones, func(row plan.ZoneJSON) bool { return row.ID == z.ID })
		if k < 0 {
			return out, fault("has no zone "+z.ID, "make the plan anew: the zones have changed since")
		}
		c := field.Zones[k].Choice
		if c == nil {
			return out, fault(fmt.Sprintf("chooses nothing for zone %s, whose returns are not known", z.ID), "give the plan a response curve and prices")
		}
		row := rates.ZoneRate{ID: z.ID}
		source := "the plan gives this zone nothing"
		if c.Strategy != nil {
			source = "the plan chooses " + *c.Strategy
			for _, t := range c.Applications {
				named[t.Name] = true
				if t.Name == a.Name {
					row.Rate += unit.KgNPerHa(t.NRateKgHa)
				}
			}
			if row.Rate == 0 {
				source += ", which has none of this application here"
			}
		}
		row.Terms = []rates.Term{{What: a.Name, N: row.Rate, Source: source}}
		out.Zones = append(out.Zones, row)
	}
	if !named[a.Name] {
		return out, fault(fmt.Sprintf("chooses no application %s on any zone; it chooses %s", a.Name, strings.Join(sortedKeys(named), ", ")), "name the application as the strategy does")
	}
	return out, nil
}
