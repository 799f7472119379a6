package response

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
)

// ZoneRule is how FitZones chooses one form for all zones, as a sentence for the user.
const ZoneRule = Rule + ". By zone one form is taken for all, the residual sums of squares of the zones added up, each with a curve of its own; a form that is refused in more zones than another is out"

// forms are those that are tried, in the order of Rule.
var forms = []Model{Quadratic, LinearPlateau, QuadraticPlateau}

// FormChoice is the one form that was taken for all zones, and why.
type FormChoice struct {
	Model Model
	Rule  string
	Why   string
	Close string // a note where the data hardly tell the form from another; "" where they do
}

// chooseForZones takes the form that fits the zones best, each with a curve of its own:
// all plots in one heap show a mixture of the zones' shapes, which is the shape of none.
// none says why a zone has no curve of any form; where that is every zone, the choice is nil.
func chooseForZones(byZone map[string][]Observation, p Practice, o Options) (c *FormChoice, none map[string]*Refusal, err error) {
	none = map[string]*Refusal{}
	tried := map[string][]Tried{}
	for id, list := range byZone {
		of, err := Choose(list, p, o)
		var refusal *Refusal
		switch {
		case errors.As(err, &refusal):
			none[id] = refusal
		case err != nil:
			return nil, nil, err
		default:
			tried[id] = of.Tried
		}
	}
	if len(tried) == 0 {
		return nil, none, nil
	}
	return chosenForm(tried), none, nil
}

// chosenForm compares the forms that the most zones have, over the zones that have all of
// those forms.
func chosenForm(tried map[string][]Tried) *FormChoice {
	count := make([]int, len(forms))
	out := make([]string, len(forms)) // where a form is refused first, by id
	for _, id := range slices.Sorted(maps.Keys(tried)) {
		for i, t := range tried[id] {
			switch {
			case t.Refusal == nil:
				count[i]++
			case out[i] == "":
				out[i] = fmt.Sprintf("%s is out: zone %s: %s", t.Model, id, t.Refusal.Why)
			}
		}
	}
	most := slices.Max(count)
	sse, plots := summed(tried, func(i int) bool { return count[i] == most })
	best := -1
	for i := range forms {
		if count[i] == most && (best < 0 || sse[i] < sse[best]*(1-tie)) {
			best = i
		}
	}
	scatter := false // without any, logarithms of sums of squares tell nothing
	for _, of := range tried {
		scatter = scatter || of[best].Refusal == nil && !of[best].Fit.Exact
	}
	c := &FormChoice{Model: forms[best], Rule: ZoneRule}
	why := []string{c.Model.String() + " has the least AICc"}
	for i, m := range forms {
		switch {
		case count[i] < most:
			why = append(why, out[i])
		case i != best && scatter:
			delta := max(0, plots*math.Log(sse[i]/sse[best]))
			why = append(why, worse(m, delta))
			if delta < closeAICc {
				c.Close = hardlyTold(c.Model, m, delta)
			}
		}
	}
	c.Why = strings.Join(why, "; ")
	return c
}

// summed adds up the residual sums of squares of each form over the zones in which none of
// the forms asked for is refused, and the plots of those zones.
func summed(tried map[string][]Tried, asked func(i int) bool) (sse []float64, plots float64) {
	sse = make([]float64, len(forms))
	for _, id := range slices.Sorted(maps.Keys(tried)) {
		n := 0
		for i, t := range tried[id] {
			if asked(i) && t.Refusal != nil {
				n = 0
				break
			}
			if asked(i) {
				n = t.Fit.Observations
			}
		}
		if n == 0 {
			continue
		}
		plots += float64(n)
		for i, t := range tried[id] {
			if asked(i) {
				sse[i] += t.Fit.SSE
			}
		}
	}
	return sse, plots
}

// worse tells how a form that was not taken did.
func worse(m Model, delta float64) string {
	if delta < 0.05 {
		return m.String() + " fits alike"
	}
	return fmt.Sprintf("%s has an AICc higher by %.1f", m, delta)
}

// hardlyTold is the note of two forms between which the data do not decide.
func hardlyTold(taken, other Model, delta float64) string {
	return fmt.Sprintf("the data hardly tell %s from %s (AICc higher by %.1f, less than %g), and their optima may differ widely", taken, other, delta, closeAICc)
}
