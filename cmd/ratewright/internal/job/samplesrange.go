package job

import (
	"fmt"
	"strings"

	"ratewright/geo/vector"
)

// possible refuses a sample of pH that can be none: named so by its column or by the
// column that it gives the zones. 65 is 6.5 without its point.
func (s SampleSpec) possible(place string, v float64) error {
	const lowest, highest = 2, 12 // of any soil
	named := strings.EqualFold(s.Name, "PH") || strings.EqualFold(s.Columns["value"], "PH")
	if !named || v >= lowest && v <= highest {
		return nil
	}
	return &vector.InputError{File: s.File, Place: place, What: fmt.Sprintf("a pH of %g cannot be: soils have %d to %d", v, lowest, highest), Fix: "correct it, or leave the cell empty"}
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
