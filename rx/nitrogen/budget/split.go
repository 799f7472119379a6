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
	// Limited is what truly goes down where a rate is asked for, after the limits and the
	// step of the application; nil where it has none.
	Limited func(unit.NRate) (unit.NRate, error)
}

// Took is what one application takes of a target.
type Took struct {
	Asked unit.NRate // before its limits
	Put   unit.NRate // what truly goes down
}

// put is a rate after the limits of a part.
func (p Part) put(n unit.NRate) (Took, error) {
	t := Took{Asked: n, Put: n}
	if p.Limited == nil {
		return t, nil
	}
	var err error
	if t.Put, err = p.Limited(n); err != nil {
		return t, fmt.Errorf("%s: %w", p.Name, err)
	}
	if v := float64(t.Put); !(v >= 0) || math.IsInf(v, 0) {
		return t, fmt.Errorf("%s: its limits make no rate of %v", p.Name, n)
	}
	return t, nil
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
// order in time. The rest is what the others truly put down of it leave, after their limits
// and steps, and no less than zero; a rate that is more than is left is kept, for it is what
// the job asks for. Notes say by how much the target is passed or missed, and which limits
// did it. Refused are shares of more than 100 %, more than one rest, and a part that is two
// things at once or no number.
func Split(target unit.NRate, parts []Part, u unit.System) ([]Took, []string, error) {
	if t := float64(target); !(t >= 0) || math.IsInf(t, 0) {
		return nil, nil, fmt.Errorf("a season's target of %s cannot be", u.NRate(target))
	}
	if err := checkParts(parts); err != nil {
		return nil, nil, err
	}
	out := make([]Took, len(parts))
	rest := -1
	var taken unit.NRate
	var err error
	for i, p := range parts {
		if p.Rest {
			rest = i
			continue
		}
		if out[i], err = p.put(p.Rate + unit.NRate(p.Share)*target); err != nil {
			return nil, nil, err
		}
		taken += out[i].Put
	}
	if rest >= 0 {
		if out[rest], err = parts[rest].put(max(0, target-taken)); err != nil {
			return nil, nil, err
		}
		taken += out[rest].Put
	}
	return out, splitNotes(target, taken, parts, out, u), nil
}

// checkParts refuses what cannot be parts of one target.
func checkParts(parts []Part) error {
	rest := -1
	shares := 0.0
	for i, p := range parts {
		if set := p.set(); set > 1 {
			return fmt.Errorf("%s takes a share, a rate or the rest of the season's target; write one of them", p.Name)
		}
		switch {
		case p.Rest && rest >= 0:
			return fmt.Errorf("%s and %s both take the rest of the season's target; let one of them", parts[rest].Name, p.Name)
		case p.Rest:
			rest = i
		case math.IsInf(p.Share, 0) || math.IsInf(float64(p.Rate), 0):
			return fmt.Errorf("what %s takes of the season's target is no number", p.Name)
		case !(p.Share >= 0 && p.Rate >= 0):
			return fmt.Errorf("%s takes less than nothing of the season's target", p.Name)
		}
		shares += p.Share
	}
	if shares > 1+1e-9 {
		return fmt.Errorf("the shares of the season's target add up to %.0f %%; 100 %% is all there is", 100*shares)
	}
	return nil
}

// splitNotes say where what is put down is not the target.
func splitNotes(target, taken unit.NRate, parts []Part, out []Took, u unit.System) []string {
	near := 1e-9 * (1 + target)
	why := ""
	for i, p := range parts {
		if t := out[i]; max(t.Put-t.Asked, t.Asked-t.Put) > near {
			if why != "" {
				why += ", "
			}
			why += fmt.Sprintf("%s %s in place of %s", p.Name, u.NRate(t.Put), u.NRate(t.Asked))
		}
	}
	if why != "" {
		why = ", for the limits and steps of the job make it " + why
	}
	switch over := taken - target; {
	case over > near:
		return []string{fmt.Sprintf("the applications come to %s more than the season's target of %s%s", u.NRate(over), u.NRate(target), why)}
	case -over > near:
		return []string{fmt.Sprintf("%s of the season's target of %s go to no application%s", u.NRate(-over), u.NRate(target), why)}
	case why != "":
		return []string{fmt.Sprintf("the applications come to the season's target of %s%s", u.NRate(target), why)}
	}
	return nil
}
