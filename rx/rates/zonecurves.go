package rates

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"ratewright/geo/unit"
	"ratewright/rx"
	"ratewright/rx/nitrogen/response"
)

// givenByZone takes a curve whose coefficients are given for each zone.
func (in Response) givenByZone(out *Result, zones []rx.Zone) error {
	have := slices.Sorted(maps.Keys(in.Curves))
	match, err := rx.NewIDMatch(zoneIDs(zones), have)
	if err != nil {
		return fmt.Errorf("curves: %w", err)
	}
	if note := match.Note(); note != "" {
		out.Notes = append(out.Notes, note)
	}
	if note := idle(zones, have); note != "" {
		out.Notes = append(out.Notes, note)
	}
	var members []response.Member
	var curves []*response.Curve
	var whole, apart float64
	for _, z := range zones {
		at, ok := match.Find(z.ID)
		if !ok {
			return fmt.Errorf("zone %s has no curve; there are those of %v", z.ID, have)
		}
		c := in.Curves[have[at]].Held(in.Options.MostBeyond)
		o, err := c.Optimum(in.Prices)
		if err != nil {
			return inZone(z.ID, err)
		}
		reasons, err := in.around(c, o)
		if err != nil {
			return inZone(z.ID, err)
		}
		for _, n := range o.Notes {
			out.Notes = append(out.Notes, fmt.Sprintf("zone %s: %s", z.ID, n))
		}
		out.Zones = append(out.Zones, ZoneRate{ID: z.ID, Rate: o.Rate, Reasons: reasons, Terms: []Term{{"rate of the largest return", o.Rate, fmt.Sprintf("%s curve with the coefficients given", c.Model)}}})
		ha := z.Region.Area().Hectares()
		members, curves = append(members, response.Member{Name: z.ID, Curve: c, Weight: ha}), append(curves, &c)
		whole += ha
		apart += ha * o.Return.PerHa()
	}
	if err := in.againstOneRate(out, members, unit.Return(apart/whole)); err != nil {
		return err
	}
	return in.movedByZone(out, zones, curves)
}

// idle tells of curves that belong to no zone.
func idle(zones []rx.Zone, have []string) string {
	match, err := rx.NewIDMatch(have, zoneIDs(zones))
	if err != nil {
		return "" // said where the zones look for their curves
	}
	var list []string
	for _, id := range have {
		if _, ok := match.Find(id); !ok {
			list = append(list, id)
		}
	}
	if len(list) == 0 {
		return ""
	}
	return "curves of no zone of the field, which have no effect: " + strings.Join(list, ", ")
}

// againstOneRate tells what the rates of the zones bring over the best one rate, by the
// curves.
func (in Response) againstOneRate(out *Result, members []response.Member, apart unit.Return) error {
	mean, err := response.NewMean(members)
	if err != nil {
		return err
	}
	one, err := mean.Optimum(in.Prices)
	if err != nil {
		return err
	}
	u := in.Options.Units
	out.Findings = append(out.Findings, fmt.Sprintf("by the curves given, rates by zone bring %s more than the best one rate of %s", u.Return(max(0, apart-one.Return)), u.NRate(one.Rate)))
	return nil
}

func zoneIDs(zones []rx.Zone) []string {
	ids := make([]string, len(zones))
	for i, z := range zones {
		ids[i] = z.ID
	}
	return ids
}
