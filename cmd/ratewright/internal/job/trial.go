package job

import (
	"fmt"
	"strings"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/nitrogen/response"
)

// plotOrigin is the trial that a plot belongs to, where there are several, and its place in
// the file.
type plotOrigin struct{ site, place string }

// observations turns plots into rates and yields. A plot where one of them is empty is
// left out and counted; one with text in place of a number is an error, and so is a file
// without a plot that has both.
func (o *opener) observations(t *TrialSpec, u unit.System) ([]response.Observation, []plotOrigin, error) {
	rows, err := o.plots(&t.TableSpec)
	if err != nil {
		return nil, nil, err
	}
	var obs []response.Observation
	var from []plotOrigin
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
		from = append(from, plotOrigin{site: p.cells["site"], place: p.place})
	}
	if len(obs) == 0 {
		return nil, nil, &vector.InputError{File: t.File, What: fmt.Sprintf("none of its %d plots has a rate and a yield", len(rows)), Fix: "name a file with the plots of a trial, and the columns of rate and yield"}
	}
	if empty > 0 {
		o.note(t.File, fmt.Sprintf("%d of %d plots have no rate or no yield and are left out", empty, len(rows)))
	}
	return obs, from, nil
}

// onField refuses a plot in a zone that the field has not, by its place in the file.
func (t *TrialSpec) onField(obs []response.Observation, from []plotOrigin, zones []rx.Zone) error {
	if t.Columns["zone"] == "" {
		return nil
	}
	ids := make([]string, len(zones))
	for i, z := range zones {
		ids[i] = z.ID
	}
	var have []string
	seen := map[string]bool{}
	for _, ob := range obs {
		if !seen[ob.Zone] {
			seen[ob.Zone] = true
			have = append(have, ob.Zone)
		}
	}
	match, err := rx.NewIDMatch(have, ids)
	if err != nil {
		return &vector.InputError{File: t.File, What: "zones of the trial: " + err.Error(), Fix: "give each zone of the field an id of its own"}
	}
	for i, ob := range obs {
		if _, ok := match.Find(ob.Zone); !ok {
			return &vector.InputError{
				File: t.File, Place: from[i].place,
				What: fmt.Sprintf("zone %s is none of the field, which has %s", ob.Zone, zonesInShort(ids)),
				Fix:  "name the trial's zones as the field's, or take the plots of other fields out",
			}
		}
	}
	return nil
}
