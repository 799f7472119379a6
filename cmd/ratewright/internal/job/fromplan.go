package job

import (
	"encoding/json"
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

const changedPlan = "make the plan anew: the file was changed since ratewright plan wrote it"

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

// untold names an application that a plan chooses without its rate. Taken for a zero, it
// would leave the zone without nitrogen.
func untold(data []byte) string {
	var doc struct {
		Fields []struct {
			Zones []struct {
				ID     string `json:"id"`
				Choice struct {
					Applications []struct {
						Name      string   `json:"name"`
						NRateKgHa *float64 `json:"n_rate_kg_ha"`
					} `json:"applications"`
				} `json:"choice"`
			} `json:"zones"`
		} `json:"fields"`
	}
	if err := json.Unmarshal(data, &doc); err != nil {
		return err.Error()
	}
	for _, f := range doc.Fields {
		for _, z := range f.Zones {
			for _, a := range z.Choice.Applications {
				if a.NRateKgHa == nil {
					return fmt.Sprintf("has no rate of %s for zone %s", a.Name, z.ID)
				}
			}
		}
	}
	return ""
}

// twice names what a plan lists more than once, where it must be told which one counts.
func twice(doc plan.JSON) string {
	seen := map[string]bool{}
	again := func(what string) bool {
		was := seen[what]
		seen[what] = true
		return was
	}
	for _, s := range doc.Compared {
		for _, a := range s.Applications {
			if again("strategy " + s.Strategy + "\n" + a.Name) {
				return fmt.Sprintf("lists application %s of %s twice", a.Name, s.Strategy)
			}
		}
	}
	for _, f := range doc.Fields {
		if again("field " + f.Field) {
			return fmt.Sprintf("lists field %s twice", f.Field)
		}
		for _, z := range f.Zones {
			if again("zone " + f.Field + "\n" + z.ID) {
				return fmt.Sprintf("lists zone %s of %s twice", z.ID, f.Field)
			}
			if z.Choice == nil {
				continue
			}
			for _, a := range z.Choice.Applications {
				if again("choice " + f.Field + "\n" + z.ID + "\n" + a.Name) {
					return fmt.Sprintf("has two rates of %s for zone %s of %s", a.Name, z.ID, f.Field)
				}
			}
		}
	}
	return ""
}

// unsummed names a zone whose rates by application are not the rate that was chosen: one
// that is gone would leave ground without its nitrogen.
func unsummed(doc plan.JSON) string {
	for _, f := range doc.Fields {
		for _, z := range f.Zones {
			if z.Choice == nil {
				continue
			}
			sum := 0.0
			for _, a := range z.Choice.Applications {
				sum += a.NRateKgHa
			}
			if z.Choice.Strategy == nil && len(z.Choice.Applications) > 0 || math.Abs(sum-z.Choice.NRateKgHa) > 1e-6*max(1, z.Choice.NRateKgHa) {
				return fmt.Sprintf("has rates by application for zone %s of %s that are not those of its choice", z.ID, f.Field)
			}
		}
	}
	return ""
}

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
	if what := untold(data); what != "" {
		return rates.Result{}, fault(what, changedPlan)
	}
	for _, amiss := range []func(plan.JSON) string{twice, unsummed} {
		if what := amiss(doc); what != "" {
			return rates.Result{}, fault(what, changedPlan)
		}
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
