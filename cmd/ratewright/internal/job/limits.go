package job

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ratewright/geo/vector"
	"ratewright/rx/soil"
	"ratewright/rx/surface"
)

// span is what values can be.
type span struct{ low, high float64 }

// naturalSpans are those of columns known by their names: a share of the ground in percent.
var naturalSpans = map[string]span{
	"RESIDUE_COVER": {0, 100}, "RESIDUE": {0, 100}, "RES_PCT": {0, 100},
}

// span is that of a column of samples. A column of another name has no upper limit, and
// none below where a sample is itself below zero, as elevations and balances can be.
func (s SampleSpec) span(samples []surface.Sample) span {
	if _, counted := s.Columns["marks"]; counted {
		return span{0, 100}
	}
	if known, ok := naturalSpans[strings.ToUpper(s.Name)]; ok {
		return known
	}
	if s.taken != nil {
		return span{s.taken.Low / s.factor, s.taken.High / s.factor}
	}
	if p, ok := soil.Sampled(s.Name); ok {
		return span{p.Low, p.High}
	}
	if slices.ContainsFunc(samples, func(p surface.Sample) bool { return p.Value < 0 }) {
		return span{math.Inf(-1), math.Inf(1)}
	}
	return span{0, math.Inf(1)}
}

// check refuses a sample beyond the span.
func (s SampleSpec) check(samples []surface.Sample, limits span) error {
	for _, p := range samples {
		if p.Value < limits.low || p.Value > limits.high {
			return &vector.InputError{
				File: s.File, Place: p.ID, What: fmt.Sprintf("%s is %g, and values of it lie within %g to %g", s.Name, p.Value, limits.low, limits.high),
				Fix: "write the value in that unit, or give the column its right name",
			}
		}
	}
	return nil
}
