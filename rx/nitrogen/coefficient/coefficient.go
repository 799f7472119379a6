// Package coefficient is a set of numbers by name, each with its unit, its middle and
// the ends of its range, that a job may set.
package coefficient

import (
	"fmt"
	"slices"
	"strings"
)

// Coefficient is one of them by name. Low and High are Mid where it has no range.
type Coefficient struct {
	Name, Unit     string
	Mid, Low, High float64
}

// One is a coefficient at its place.
type One struct {
	Name, Unit     string
	At             *float64
	Least, Most    float64 // allowed
	Mid, Low, High float64
}

// Of is a coefficient with a range, between the values that are allowed.
func Of(name, unit string, at *float64, least, most, mid, low, high float64) One {
	return One{name, unit, at, least, most, mid, low, high}
}

// Ranged tells whether it has a range.
func (o One) Ranged() bool { return o.Low != o.High }

// Set are the coefficients of What, such as "the losses".
type Set struct {
	What string
	All  []One
}

// Fill gives each a value.
func (s Set) Fill(value func(One) float64) {
	for _, o := range s.All {
		*o.At = value(o)
	}
}

// Names lists them with their units and ranges.
func (s Set) Names() []Coefficient {
	var list []Coefficient
	for _, o := range s.All {
		list = append(list, Coefficient{o.Name, o.Unit, o.Mid, o.Low, o.High})
	}
	return list
}

// Put changes one by its name, in the unit that Names gives. It is an error where none is
// called so, or the value is not allowed.
func (s Set) Put(name string, v float64) error {
	for _, o := range s.All {
		if o.Name != name {
			continue
		}
		if err := s.bounded(o, v); err != nil {
			return err
		}
		*o.At = v
		return nil
	}
	return fmt.Errorf("no coefficient of %s is called %q", s.What, name)
}

func (s Set) bounded(o One, v float64) error {
	if !(v >= o.Least && v <= o.Most) {
		return fmt.Errorf("the coefficient %s of %s is %g %s; write %g to %g (published or common: %g)", o.Name, s.What, v, o.Unit, o.Least, o.Most, o.Mid)
	}
	return nil
}

// Check refuses values that are not allowed.
func (s Set) Check() error {
	for _, o := range s.All {
		if err := s.bounded(o, *o.At); err != nil {
			return err
		}
	}
	return nil
}

// Changed tells which are not at their middle, as a sentence; "" for none.
func (s Set) Changed() string {
	var list []string
	for _, o := range s.All {
		if *o.At != o.Mid {
			list = append(list, fmt.Sprintf("%s %g (else %g) %s", o.Name, *o.At, o.Mid, o.Unit))
		}
	}
	if len(list) == 0 {
		return ""
	}
	slices.Sort(list)
	return "coefficients of " + s.What + " set otherwise: " + strings.Join(list, "; ")
}
