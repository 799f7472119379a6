package plan

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
)

// ErrNoPlan is the error of Read for what is no plan.json.
var ErrNoPlan = errors.New("is not the JSON of a plan")

// Read reads a plan.json. It refuses one that lists a field, a zone or an application
// twice, or whose rates by application are not those chosen: it was changed by hand, and
// which figure counts nobody knows.
func Read(data []byte) (JSON, error) {
	var doc JSON
	if err := json.Unmarshal(data, &doc); err != nil || doc.Schema != Schema {
		return JSON{}, ErrNoPlan
	}
	for _, amiss := range []string{untold(data), twice(doc), unsummed(doc)} {
		if amiss != "" {
			return JSON{}, errors.New(amiss)
		}
	}
	return doc, nil
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
func twice(doc JSON) string {
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
func unsummed(doc JSON) string {
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
