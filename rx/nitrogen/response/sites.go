package response

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// Site is one trial of many.
type Site struct {
	Name         string
	Observations []Observation
	Practice     Practice
}

// SiteFits are the trials of a mean, and those that are not in it.
type SiteFits struct {
	Members []Member // in the order given, each with weight 1
	Fits    []Fit    // those of the members; of a site without response only its notes
	Left    []string // names of sites left out
	Notes   []string
}

// FitSites fits each trial by itself, with one form or Best, for a mean return
// over trials. A trial that does not respond counts with its mean yield at every
// rate, for to leave it out would raise the mean rate; a trial refused for
// another reason is left out. Notes tell of both. Where none is left, it is
// refused.
func FitSites(m Model, sites []Site, o Options) (SiteFits, error) {
	var out SiteFits
	ways := map[string]int{}
	for _, s := range sites {
		f, err := fitSite(m, s, o)
		var why *Refusal
		switch {
		case err == nil:
		case !errors.As(err, &why) || why.Reason == BadObservation || why.Reason == BadCurve:
			return SiteFits{}, fmt.Errorf("trial %s: %w", s.Name, err)
		case why.Level:
			if f, err = flatSite(s, o); err != nil {
				return SiteFits{}, fmt.Errorf("trial %s: %w", s.Name, err)
			}
			out.Notes = append(out.Notes, fmt.Sprintf("trial %s counts as level at its mean yield: %s", s.Name, why.Why))
		default:
			out.Left = append(out.Left, s.Name)
			out.Notes = append(out.Notes, fmt.Sprintf("trial %s is left out, which %s: %s", s.Name, why.Reason.leftOut(), why.Why))
			ways[why.Reason.leftOut()]++
			continue
		}
		out.Fits = append(out.Fits, f)
		out.Members = append(out.Members, Member{Name: s.Name, Curve: f.Curve, Weight: 1})
	}
	if len(out.Members) == 0 {
		return out, refuse(NothingLeft, "none of %s has a response curve that can be used", plural(len(sites), "trial"))
	}
	if n := len(out.Left); n > 1 {
		var parts []string
		for _, way := range slices.Sorted(maps.Keys(ways)) {
			parts = append(parts, fmt.Sprintf("for %d that %s", ways[way], way))
		}
		out.Notes = append(out.Notes, fmt.Sprintf("%d of %s are left out of the mean: %s", n, plural(len(sites), "trial"), strings.Join(parts, ", ")))
	}
	return out, nil
}

// leftOut tells which way the mean rate moves where a trial is left out for the reason.
func (r Reason) leftOut() string {
	switch r {
	case NoPlateau: // it asks for more than its highest rate
		return "lowers the mean rate"
	case JoinTooEarly: // it asks for less than its second rate
		return "raises the mean rate"
	}
	return "moves the mean rate a way that cannot be told"
}

func fitSite(m Model, s Site, o Options) (Fit, error) {
	if m != Best {
		return FitCurve(m, s.Observations, s.Practice, o)
	}
	t, err := newTrial(s.Observations, o)
	if err != nil {
		return Fit{}, err
	}
	c, err := choose(t, s.Practice, o) // an early plateau counts: to leave it out would raise the mean rate
	return c.Fit, err
}

// flatSite is a trial without response as a level curve.
func flatSite(s Site, o Options) (Fit, error) {
	t, err := newTrial(s.Observations, o)
	if err != nil {
		return Fit{}, err
	}
	f := Fit{Practice: s.Practice, Observations: t.obs, Rates: len(t.levels), SSE: t.total, DF: t.obs - 1, ResponseP: 1}
	f.Curve = Curve{Model: NoResponse, A: t.mean, Lowest: rateAt(t, 0), Highest: rateAt(t, 1), Units: t.units}
	f.add("no response: the mean yield at every rate")
	return f, nil
}
