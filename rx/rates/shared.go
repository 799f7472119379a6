package rates

import (
	"fmt"
	"slices"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/budget"
)

// Shared is what the application at an index of parts takes of the target that a result
// has for every zone, before its own limits, with sentences in a system of units. Changes
// are those of the whole target. Of the rest of a target, what the others truly put down,
// after their limits, stands as terms.
func Shared(target Result, parts []budget.Part, at int, u unit.System) (Result, error) {
	out := target
	out.Method = fmt.Sprintf("%s, %s of it", target.Method, partText(parts[at], u))
	out.Zones = make([]ZoneRate, len(target.Zones))
	out.Changes, out.Notes = slices.Clone(target.Changes), slices.Clone(target.Notes)
	for i := range out.Changes {
		out.Changes[i].What = "season's target by " + out.Changes[i].What
	}
	var said byZone
	for i, z := range target.Zones {
		got, notes, err := budget.Split(z.Rate, parts, u)
		if err != nil {
			return Result{}, fmt.Errorf("zone %s: %w", z.ID, err)
		}
		for _, n := range notes {
			said.add(z.ID, n)
		}
		out.Zones[i] = ZoneRate{ID: z.ID, Rate: got[at].Asked, Reasons: reasons(z, parts[at], u), Terms: terms(z, parts, got, at, u)}
	}
	out.Notes = append(out.Notes, said.words(len(target.Zones))...)
	return out, nil
}

// reasons are those of the target; where its terms do not stand among those of the part,
// they are among these.
func reasons(z ZoneRate, p budget.Part, u unit.System) []string {
	list := slices.Clone(z.Reasons)
	if !p.Rest {
		for _, t := range z.Terms {
			list = append(list, "of the season's target, "+t.words(u))
		}
	}
	return list
}

func terms(z ZoneRate, parts []budget.Part, got []budget.Took, at int, u unit.System) []Term {
	const given = "given in the job"
	p := parts[at]
	switch {
	case p.Share > 0:
		return []Term{{fmt.Sprintf("%g %% of the season's %s", 100*p.Share, u.NRate(z.Rate)), got[at].Asked, given}}
	case !p.Rest:
		return []Term{{"fixed, of the season's " + u.NRate(z.Rate), got[at].Asked, given}}
	}
	list, sum := slices.Clone(z.Terms), z.Rate
	for i, other := range parts {
		if i != at {
			t := Term{"less " + other.Name, -got[i].Put, given}
			if got[i].Put != got[i].Asked {
				t.What += fmt.Sprintf(", which puts down %s of %s", u.NRate(got[i].Put), u.NRate(got[i].Asked))
				t.Source += ", after its limits"
			}
			list = append(list, t)
			sum -= got[i].Put
		}
	}
	if sum < 0 {
		list = append(list, Term{"less than nothing is left: none", got[at].Asked - sum, "arithmetic"})
	}
	return list
}

func partText(p budget.Part, u unit.System) string {
	switch {
	case p.Rest:
		return "the rest"
	case p.Share > 0:
		return fmt.Sprintf("%g %%", 100*p.Share)
	}
	return u.NRate(p.Rate)
}
