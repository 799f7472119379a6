package job

import (
	"fmt"
	"strings"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx/nitrogen/response"
)

// observations turns plots into rates and yields. A plot where one of them is empty is
// left out and counted; one with text in place of a number is an error.
func (o *opener) observations(t *TrialSpec, u unit.System) ([]response.Observation, []string, error) {
	rows, err := o.plots(&t.TableSpec)
	if err != nil {
		return nil, nil, err
	}
	var obs []response.Observation
	var sites []string
	empty := 0
	for _, p := range rows {
		rate, haveRate, err := t.number(p, "n_rate")
		if err != nil {
			return nil, nil, err
		}
		yield, haveYield, err := t.number(p, "yield")
		if err != nil {
			return nil, nil, err
		}
		if !haveRate || !haveYield {
			empty++
			continue
		}
		if rate < 0 || yield < 0 {
			return nil, nil, &vector.InputError{File: t.File, Place: p.place, What: fmt.Sprintf("a rate of %g or a yield of %g is below zero", rate, yield), Fix: "correct it, or leave the cell empty where the plot was lost"}
		}
		ob := response.Observation{
			Rate: unit.KgNPerHa(rate * t.RateKgHa), Yield: unit.KgGrainPerHa(yield * t.YieldKgHa), Zone: p.cells["zone"],
		}
		if what := ob.Wrong(u); what != "" {
			return nil, nil, &vector.InputError{File: t.File, Place: p.place, What: what, Fix: "correct it and check its unit, or leave the cell empty where the plot was lost"}
		}
		for _, role := range []string{"zone", "site"} {
			if t.Columns[role] != "" && strings.TrimSpace(p.cells[role]) == "" {
				return nil, nil, &vector.InputError{File: t.File, Place: p.place, What: "has no " + role + ": column " + t.Columns[role] + " is empty", Fix: "write its " + role + ", or take the row out"}
			}
		}
		obs = append(obs, ob)
		sites = append(sites, p.cells["site"])
	}
	if empty > 0 {
		o.note(t.File, fmt.Sprintf("%d of %d plots have no rate or no yield and are left out", empty, len(rows)))
	}
	return obs, sites, nil
}
