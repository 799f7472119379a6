package budget

import (
	"fmt"
	"strings"
)

// A number of the job is never cited as published: where a term is worked out with one, its
// source says so, with the published number and where that stands beside it.

// own are the coefficients among those used that are not the published ones, as the job
// gives them. The places must be those of co.
func (co *Coefficients) own(used ...*float64) []string {
	published := Published()
	before := published.named()
	var list []string
	for i, n := range co.named() {
		for _, at := range used {
			if at == n.at && *at != *before[i].at {
				list = append(list, fmt.Sprintf("%s %g %s in place of %g", n.name, *at, n.unit, *before[i].at))
			}
		}
	}
	return list
}

// given is the source of what is worked out with numbers of the job; source is that of the
// published ones.
func given(source string, own []string) string {
	return fmt.Sprintf("given in the job: %s (%s)", strings.Join(own, ", "), source)
}

// cite is where a term comes from: the publication, with the number that it prints where
// the term is in other units, or the job where any of own is its.
func (w words) cite(source, printed string, own []string) string {
	switch {
	case len(own) > 0:
		return given(source, own)
	case printed != "":
		return w.published(source, printed)
	}
	return source
}

// aside is what stands behind a sentence that has a number of a publication: where it
// stands, or that the job gives it.
func (co *Coefficients) aside(source string, used ...*float64) string {
	return " (" + (words{co.Units}).cite(source, "", co.own(used...)) + ")"
}

// ExpectedSource is where the part of expected yield over the mean comes from.
func (co Coefficients) ExpectedSource() string {
	return words{co.Units}.cite("Univ. of Nebraska; Colorado State Univ. 0.538", "", co.own(&co.ExpectedOver))
}

// UnsampledSource is where the nitrate of a soil that was not sampled comes from.
func (co Coefficients) UnsampledSource() string {
	return words{co.Units}.cite("Univ. of Nebraska EC117", "", co.own(&co.NitrateMedium, &co.NitrateSandy))
}
