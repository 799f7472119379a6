package rx

import (
	"fmt"
	"math"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen"
)

// Limits bound and round the rates of an application. A nil part does nothing.
// A rate of zero stays zero: it says that nothing is wanted there.
//
// The step comes first: the rate is rounded to the nearest multiple of it, a
// tie upward. Then the limits: a rate below Min becomes Min, one above Max
// becomes Max, whether or not these are multiples of the step.
type Limits struct {
	Min, Max, Step *unit.Rate
	Of             unit.Of // what all three count
}

// tie is how near to half a step a rate counts as on it, in steps, so that unit
// conversion cannot turn a tie.
const tie = 1e-9

func (l Limits) empty() bool { return l.Min == nil && l.Max == nil && l.Step == nil }

func (l Limits) check(s nitrogen.Source) error {
	if l.empty() {
		return nil
	}
	named := map[string]*unit.Rate{"min": l.Min, "max": l.Max, "step": l.Step}
	for _, name := range []string{"min", "max", "step"} {
		r := named[name]
		if r == nil {
			continue
		}
		if err := checkRateUnit("limit "+name, r.Unit, l.Of); err != nil {
			return err
		}
		if err := checkValue(r.Value); err != nil {
			return fmt.Errorf("limit %s: %w", name, err)
		}
	}
	if l.Step != nil && l.Step.Value == 0 {
		return fmt.Errorf("limit step is zero; leave it out, or give the step the controller can hold")
	}
	if l.Min == nil || l.Max == nil {
		return nil
	}
	lowest, err := counted{*l.Min, l.Of}.in(s, l.Max.Unit, l.Of)
	if err != nil {
		return fmt.Errorf("limits: %w", err)
	}
	if lowest.Value > l.Max.Value {
		return fmt.Errorf("limit min %s is above max %s; exchange them", counted{*l.Min, l.Of}, counted{*l.Max, l.Of})
	}
	return nil
}

// Put is what an application truly puts down where a rate of nitrogen is asked for: rounded
// and bounded by its limits as Prescribe does it, with a reason for every change.
func (a Application) Put(n unit.NRate) (unit.NRate, []Reason, error) {
	if err := a.Limits.check(a.Source); err != nil {
		return 0, nil, err
	}
	raw := counted{unit.Rate{Value: n.KgNPerHa(), Unit: unit.KgPerHectare}, unit.Nitrogen}
	c, reasons, err := a.Limits.apply(raw, a.Source)
	if err != nil || c == raw {
		return n, nil, err
	}
	n, err = a.Source.NRateFrom(c.Rate, c.of)
	return n, reasons, err
}

// apply rounds and bounds one rate and gives a reason for every change.
func (l Limits) apply(c counted, s nitrogen.Source) (counted, []Reason, error) {
	if l.empty() {
		return c, nil, nil
	}
	if c.Value == 0 {
		return c, []Reason{"zero is left at zero: limits and step do not apply"}, nil
	}
	var reasons []Reason
	if l.Step != nil {
		v, err := c.in(s, l.Step.Unit, l.Of)
		if err != nil {
			return counted{}, nil, err
		}
		rounded := v.with(math.Floor(v.Value/l.Step.Value+0.5+tie) * l.Step.Value)
		if math.Abs(rounded.Value-v.Value) > tie*l.Step.Value {
			reasons = append(reasons, Reason(fmt.Sprintf("%s rounded to %s, the nearest step of %s", v, rounded, v.with(l.Step.Value))))
			c = rounded
		}
	}
	for _, b := range []struct {
		limit *unit.Rate
		text  string
		out   func(v, limit float64) bool
	}{
		{l.Min, "%s raised to the minimum %s", func(v, limit float64) bool { return v < limit*(1-tie) }},
		{l.Max, "%s cut to the maximum %s", func(v, limit float64) bool { return v > limit*(1+tie) }},
	} {
		if b.limit == nil {
			continue
		}
		v, err := c.in(s, b.limit.Unit, l.Of)
		if err != nil {
			return counted{}, nil, err
		}
		if b.out(v.Value, b.limit.Value) {
			c = v.with(b.limit.Value)
			reasons = append(reasons, Reason(fmt.Sprintf(b.text, v, c)))
		}
	}
	return c, reasons, nil
}
