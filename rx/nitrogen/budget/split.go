package budget

import (
	"fmt"
	"math"

	"ratewright/geo/unit"
)

// Part is what one application takes of a season's target: a share, a rate, or the rest.
// No more than one of the three is set; where none is, it is a rate of zero.
type Part struct {
	Name  string
	Share float64 // of the target
	Rate  unit.NRate
	Rest  bool
}

// set counts what is set; a rate of zero is one, too, so none may be.
func (p Part) set() (n int) {
	for _, is := range []bool{p.Share != 0, p.Rate != 0, p.Rest} {
		if is {
			n++
		}
	}
	return n
}

// Split gives each of several applications its part of a season's target, in their
// order in time. The rest is what the others leave, and no less than zero; a rate that is
// more than is left is kept, for it is what the job asks for, and a note says by how much
// the target is passed. Refused are shares of more than 100 %, more than one rest, and a
// part that is two things at once or no number.
func Split(target unit.NRate, parts []Part, u unit.System) ([]unit.NRate, []string, error) {
	if t := float64(target); !(t >= 0) || math.IsInf(t, 0) {
		return nil, nil, fmt.Errorf("a season's target of %s cannot be", u.NRate(target))
	}
	out := make([]unit.NRate, len(parts))
	rest := -1
	var taken unit.NRate
	shares := 0.0
	for i, p := range parts {
		if set := p.set(); set > 1 {
			return nil, nil, fmt.Errorf("%s takes a share, a rate or the rest of the season's target; write one of them", p.Name)
		}
		switch {
		case p.Rest && rest >= 0:
			return nil, nil, fmt.Errorf("%s and %s both take the rest of the season's target; let one of them", parts[rest].Name, p.Name)
		case p.Rest:
			rest = i
			continue
		case math.IsInf(p.Share, 0) || math.IsInf(float64(p.Rate), 0):
			return nil, nil, fmt.Errorf("what %s takes of the season's target is no number", p.Name)
		case !(p.Share >= 0 && p.Rate >= 0):
			return nil, nil, fmt.Errorf("%s takes less than nothing of the season's target", p.Name)
		}
		shares += p.Share
		out[i] = p.Rate + unit.NRate(p.Share)*target
		taken += out[i]
	}
	if shares > 1+1e-9 {
		return nil, nil, fmt.Errorf("the shares of the season's target add up to %.0f %%; 100 %% is all there is", 100*shares)
	}
	var notes []string
	over := taken - target
	if over > 1e-9*(1+target) {
		notes = append(notes, fmt.Sprintf("the applications come to %s more than the season's target of %s", u.NRate(over), u.NRate(target)))
	}
	switch {
	case rest >= 0:
		out[rest] = max(0, target-taken)
	case -over > 1e-9*(1+target):
		notes = append(notes, fmt.Sprintf("%s of the season's target of %s go to no application", u.NRate(-over), u.NRate(target)))
	}
	return out, notes, nil
}
