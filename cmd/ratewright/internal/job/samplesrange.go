package job

import (
	"fmt"
	"slices"

	"ratewright/geo/vector"
	"ratewright/rx/soil"
)

// possible refuses a sample that can be none: by what a method takes the column for, or by
// the name of the column, in the file or as it is given to the zones. A pH of 65 is 6.5
// without its point, an organic matter of 0.035 % is 3.5 % as a fraction.
func (s SampleSpec) possible(place string, v float64) error {
	refuse := func(p soil.Property, v float64) error {
		if what := p.Check(v); what != "" {
			return &vector.InputError{File: s.File, Place: place, What: what, Fix: p.Fix}
		}
		return nil
	}
	for _, name := range []string{s.Name, s.Columns["value"]} {
		if p, ok := soil.Sampled(name); ok && (s.taken == nil || s.taken.Name != p.Name) {
			if err := refuse(p, v); err != nil {
				return err
			}
		}
	}
	if s.taken == nil {
		return nil
	}
	return refuse(*s.taken, v*s.factor)
}

// takenFor tells samples what the methods of a job take their columns for.
func (j Job) takenFor(specs []SampleSpec) []SampleSpec {
	specs = slices.Clone(specs)
	rates := []*RateSpec{j.Target}
	for _, a := range j.Applications {
		rates = append(rates, a.Rate)
	}
	for _, r := range rates {
		if r == nil || r.Method == nil || r.Method.Budget == nil {
			continue
		}
		b := r.Method.Budget
		organic, nitrate := soil.OrganicMatter(), soil.Nitrate()
		for i := range specs {
			specs[i].take(b.OrganicMatter, organic)
			specs[i].take(b.Nitrate, nitrate)
		}
	}
	return specs
}

func (s *SampleSpec) take(v *ValueSpec, p soil.Property) {
	if v != nil && v.Rule.Column == s.Name {
		s.taken, s.factor = &p, v.Factor
	}
}

// samplesThat counts samples with a verb for one and for more.
func samplesThat(n int, one, more string) string {
	if n == 1 {
		return "1 sample " + one
	}
	return fmt.Sprintf("%d samples %s", n, more)
}

func isOrAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}
