package rates

import (
	"fmt"
	"slices"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/budget"
)

// Shared is what the application at an index of parts takes of the target that a result
// has for every zone. Of the rest of a target, what the others take stands as terms.
func Shared(target Result, parts []budget.Part, at int) (Result, error) {
	out := target
	out.Method = fmt.Sprintf("%s, %s of it", target.Method, partText(parts[at]))
	out.Zones = make([]ZoneRate, len(target.Zones))
	out.Changes, out.Notes = nil, slices.Clone(target.Notes)
	for i, z := range target.Zones {
		got, notes, err := budget.Split(z.Rate, parts)
		if err != nil {
			return Result{}, err
		}
		for _, n := range notes {
			out.Notes = append(out.Notes, fmt.Sprintf("zone %s: %s", z.ID, n))
		}
		out.Zones[i] = ZoneRate{ID: z.ID, Rate: got[at], Reasons: z.Reasons, Terms: terms(z, parts, got, at)}
	}
	return out, nil
}

func terms(z ZoneRate, parts []budget.Part, got []unit.NRate, at int) []Term {
	const given = "given in the job"
	p := parts[at]
	switch {
	case p.Share > 0:
		return []Term{{fmt.Sprintf("%g %% of the season's %.1f lb N/ac (%.1f kg N/ha)", 100*p.Share, z.Rate.LbNPerAcre(), z.Rate.KgNPerHa()), got[at], given}}
	case !p.Rest:
		return []Term{{fmt.Sprintf("fixed, of the season's %.1f lb N/ac (%.1f kg N/ha)", z.Rate.LbNPerAcre(), z.Rate.KgNPerHa()), got[at], given}}
	}
	list, sum := slices.Clone(z.Terms), z.Rate
	for i, other := range parts {
		if i != at {
			list = append(list, Term{"less " + other.Name, -got[i], given})
			sum -= got[i]
		}
	}
	if sum < 0 {
		list = append(list, Term{"less than nothing is left: none", got[at] - sum, "arithmetic"})
	}
	return list
}

func partText(p budget.Part) string {
	switch {
	case p.Rest:
		return "the rest"
	case p.Share > 0:
		return fmt.Sprintf("%g %%", 100*p.Share)
	}
	return fmt.Sprintf("%.1f lb N/ac (%.1f kg N/ha)", p.Rate.LbNPerAcre(), p.Rate.KgNPerHa())
}
