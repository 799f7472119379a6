package job

import (
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/plan"
	"ratewright/rx/rates"
)

// sameGround is the part of its area by which a zone may differ from that of the plan.
const sameGround = 1e-6

// otherwise says in what the application of a plan is another one than that of the job.
// What the job leaves out is not held against it.
func (j Job) otherwise(a ApplicationSpec, doc plan.JSON, strategy string) string {
	var t plan.PutDownJSON
	found := false
	for _, s := range doc.Compared {
		for _, p := range s.Applications {
			if s.Strategy == strategy && p.Name == a.Name {
				t, found = p, true
			}
		}
	}
	if !found {
		return fmt.Sprintf("does not tell how %s of %s is applied", a.Name, strategy)
	}
	differs := func(now, then string) string {
		return fmt.Sprintf("application %s of the job is %s, and that of %s in the plan %s", a.Name, now, strategy, then)
	}
	place, placed := placed(a.Placement)
	inhibitor, err := loss.InhibitorNamed(a.Inhibitor)
	switch src, fault := j.source(a); {
	case fault == nil && src.Label != t.Source:
		return differs(src.Label, t.Source)
	case placed && place.String() != t.Placement:
		return differs(place.String(), t.Placement)
	case a.Date != "" && a.Date != t.Date:
		return differs("on "+a.Date, "on "+t.Date)
	case a.Depth != nil && t.DepthM > 0 && math.Abs(a.Depth.Metres()-t.DepthM) > 1e-9:
		return differs(j.Units.Depth(*a.Depth)+" deep", j.Units.Depth(unit.Metres(t.DepthM))+" deep")
	case a.Inhibitor != "" && err == nil && inhibitor.String() != t.Inhibitor:
		return differs("with inhibitor "+inhibitor.String(), "with inhibitor "+t.Inhibitor)
	}
	return ""
}

// fromPlan gives each zone what the choice of a plan gives it of an application.
func fromPlan(j Job, a ApplicationSpec, zones []rx.Zone) (rates.Result, error) {
	file := a.Rate.Plan
	fault := func(what, fix string) error { return &vector.InputError{File: file, What: what, Fix: fix} }
	data, err := os.ReadFile(file)
	if err != nil {
		return rates.Result{}, fault("cannot be read: "+cause(err), vector.Remedy(err, "make it first by ratewright plan"))
	}
	doc, err := plan.Read(data)
	switch {
	case errors.Is(err, plan.ErrNoPlan):
		return rates.Result{}, fault(err.Error(), "name the plan.json that ratewright plan wrote")
	case err != nil:
		return rates.Result{}, fault(err.Error(), "make the plan anew: the file was changed since ratewright plan wrote it")
	}
	i := slices.IndexFunc(doc.Fields, func(f plan.FieldJSON) bool { return f.Field == j.Field.Name })
	if i < 0 {
		return rates.Result{}, fault(fmt.Sprintf("has no field %q", j.Field.Name), "make the plan of this field")
	}
	field := doc.Fields[i]
	out := rates.Result{Method: "the choice of the plan"}
	for _, row := range field.Zones {
		if !slices.ContainsFunc(zones, func(z rx.Zone) bool { return z.ID == row.ID }) {
			return out, fault(fmt.Sprintf("has a zone %s, which the job has not", row.ID), "make the plan anew: the zones have changed since")
		}
	}
	named := map[string]bool{}
	for _, z := range zones {
		k := slices.IndexFunc(field.Zones, func(row plan.ZoneJSON) bool { return row.ID == z.ID })
		if k < 0 {
			return out, fault("has no zone "+z.ID, "make the plan anew: the zones have changed since")
		}
		if now := z.Region.Area().SquareMetres(); math.Abs(now-field.Zones[k].AreaM2) > sameGround*now {
			return out, fault(fmt.Sprintf("zone %s had %s then and has %s now", z.ID, j.Units.Area(unit.SquareMetres(field.Zones[k].AreaM2)), j.Units.Area(z.Region.Area())), "make the plan anew: boundary or zones have changed since")
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
					if what := j.otherwise(a, doc, *c.Strategy); what != "" {
						return out, fault(what, "make the plan anew where it is old; where two strategies have an application of one name, give each a name of its own")
					}
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
