package response

import (
	"fmt"
	"strings"

	"ratewright/geo/unit"
)

// Shape is the shape of a confidence set.
type Shape int

// The shapes. Several is a set of more than one interval, as a form with a join
// may have. Unjudged is none: the curve goes through every observation, so that there
// is no scatter to judge its error by, and nothing is ruled out.
const (
	Interval   Shape = iota + 1
	HalfLine         // bounded on one side only
	WholeLine        // nothing is ruled out
	Complement       // all but an interval: Fieller's, where the bend may be none
	Several
	Unjudged
)

// Span is a stretch of rates. Low means nothing where NoLow, High where NoHigh.
type Span struct {
	Low, High     unit.NRate
	NoLow, NoHigh bool // unbounded on that side
}

// Set is a confidence set of the economic optimum.
type Set struct {
	Method string  // "Fieller", "Wald", "profile likelihood", or "none" where Unjudged
	Level  float64 // confidence asked for, a share
	Shape  Shape
	Spans  []Span // the rates of zero or more that may be the optimum, rising, apart
	// Line is Fieller's or Wald's set on the whole line, as the formula gives
	// it, below zero too; empty for a profile. Of a Complement one part stands
	// for curves that bend upward and have no optimum: Spans leave it out.
	Line   []Span
	Zero   bool // no nitrogen may be the optimum
	Beyond bool // some of it lies above the highest tested rate
	Notes  []string

	highest unit.NRate
	units   unit.System
}

// Words is the set as a sentence, so that an open set is never taken for a
// finite one.
func (s Set) Words() string {
	if s.Shape == Unjudged {
		return "the curve goes through every observation: there is no scatter to judge the error of the optimum by, so that nothing is said about its certainty"
	}
	b := fmt.Sprintf("with %g %% confidence (%s) the optimum ", 100*s.Level, s.Method)
	switch {
	case s.all():
		b += "may be any rate: this trial cannot tell which rate is best"
	case len(s.Spans) == 1 && s.Spans[0].High == 0 && !s.Spans[0].NoHigh:
		b += "is no nitrogen"
	default:
		var parts []string
		for _, p := range s.Spans {
			parts = append(parts, p.words(s.units))
		}
		b += "lies " + strings.Join(parts, ", or ")
		if s.Zero {
			b += "; no nitrogen at all is not ruled out"
		}
	}
	if s.Shape == Complement && len(s.Line) == 2 {
		b += fmt.Sprintf("; on the whole line the set is all but %s to %s, for the bend of the curve is not certain enough to rule out a straight line", s.units.NRateNumber(s.Line[0].High), s.units.NRate(s.Line[1].Low))
	}
	if s.Beyond && !s.all() {
		b += fmt.Sprintf("; above %s nothing was tested", s.units.NRate(s.highest))
	}
	return b
}

func (s Set) all() bool {
	return s.Zero && len(s.Spans) == 1 && s.Spans[0].NoHigh && s.Spans[0].Low == 0
}

func (p Span) words(u unit.System) string {
	switch {
	case p.NoHigh && p.Low == 0:
		return "above no nitrogen, with no upper limit"
	case p.NoHigh:
		return "at " + u.NRate(p.Low) + " or above, with no upper limit"
	case p.High == 0:
		return "at no nitrogen"
	case p.Low == 0:
		return "at " + u.NRate(p.High) + " or below"
	case p.High == p.Low:
		return "at " + u.NRate(p.Low)
	}
	return "between " + u.NRate(p.Low) + " and " + u.NRate(p.High)
}

// Contains tells whether a rate of zero or more is in the set. A span may begin
// at zero, as what rates come near to, without no nitrogen being in it.
func (s Set) Contains(n unit.NRate) bool {
	if s.Shape == Unjudged {
		return n >= 0
	}
	if n == 0 {
		return s.Zero
	}
	for _, p := range s.Spans {
		if (p.NoLow || n >= p.Low) && (p.NoHigh || n <= p.High) {
			return true
		}
	}
	return false
}

// finish fills in what follows from the spans.
func (s *Set) finish(f Fit) {
	s.highest, s.units = f.Curve.Highest, f.Curve.Units
	for _, p := range s.Spans {
		s.Beyond = s.Beyond || p.NoHigh || p.High > s.highest
	}
	if s.Beyond {
		s.Notes = append(s.Notes, fmt.Sprintf("the set runs over the highest tested rate of %s: up there it rests on the form of the curve alone", s.units.NRate(s.highest)))
	}
	s.Notes = append(s.Notes, independence)
}

const independence = "the set takes every observation as independent and the form of the curve as true; neighbouring points of a yield monitor are not independent, and the true set is then wider"

// onlyRates takes as the spans a stretch of the line cut at zero, below which the
// optimum is no nitrogen.
func (s *Set) onlyRates(p Span) {
	s.Zero = p.NoLow || p.Low <= 0
	if p.NoLow || p.Low < 0 {
		p.Low, p.NoLow = 0, false
	}
	if !p.NoHigh {
		p.High = max(p.High, 0)
	}
	s.Spans = []Span{p}
}
