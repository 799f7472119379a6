package surface

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Sample is a value at a place of the field's plane, metres.
type Sample struct {
	At    orb.Point
	Value float64
	ID    string // names it in notes
}

// Method is how a value at a place comes about.
type Method string

// The methods.
const (
	Mean            Method = "mean of the samples"
	InverseDistance Method = "inverse distance"
	Kriging         Method = "kriging"
)

// Surface gives values at places. Take one from Fit. It keeps the last kriging system for
// the next place and counts, so two goroutines must not share one.
type Surface struct {
	Method    Method
	Samples   int     // places with a value
	Skills    []Skill // of each method that could be tried
	Power     float64 // of inverse distance
	Variogram Variogram
	Notes     []string

	samples     []Sample
	all, others []int // of samples; scratch for all but one
	mean        float64
	low, high   float64
	near        int
	tree        *tree
	work        *kriger // of Kriging
	asked, set  int     // values given, and of them those set to a limit
}

// Options are the settings of a fit. Take them from DefaultOptions.
type Options struct {
	Neighbours int       // samples that a place takes its value from, 2 or more
	Powers     []float64 // of inverse distance to try, above zero
	SamePlaceM float64   // samples so near one another are one, with their mean
	// Low and High are the limits that nature sets to values, in their unit, such as 0 and
	// 100 to a cover in percent; infinite without any. A sample beyond them is refused, and
	// kriging, which may go beyond its samples, is held to them.
	Low, High float64
	// Examined is how many samples at most make the variogram and are left out one at a
	// time. Of more they are drawn by Seed.
	Examined int
	Seed     uint64
}

// DefaultOptions are those of the package; values have no limits.
func DefaultOptions() Options {
	return Options{
		Neighbours: 24, Powers: []float64{1, 1.5, 2, 3}, SamePlaceM: 0.01,
		Low: math.Inf(-1), High: math.Inf(1), Examined: 5000, Seed: 1,
	}
}

const (
	fewSamples    = 100 // below which a variogram is little known
	leastKriged   = 10  // below which none is fitted
	leastSurfaces = 3
	allWeighed    = 1000 // above which inverse distance weighs the nearest alone
	clearly       = 0.05 // share by which a method must be off less than the mean
)

// Fit makes a surface of samples. Samples whose value or place is no number, or beyond any
// that can be measured, are counted, named and left out. Errors: fewer than three places, a
// sample beyond the limits of the options, limits or powers that are none.
func Fit(samples []Sample, o Options) (Surface, error) {
	for _, power := range o.Powers {
		if !(power > 0) || math.IsInf(power, 1) {
			return Surface{}, fmt.Errorf("a power of inverse distance is %g; it must be above zero", power)
		}
	}
	o.Examined = max(o.Examined, leastSurfaces)
	s := Surface{low: o.Low, high: o.High, near: max(2, o.Neighbours)}
	s.samples = s.places(samples, o)
	s.Samples = len(s.samples)
	if s.Samples < leastSurfaces {
		return Surface{}, fmt.Errorf("%d places with a value make no surface; %d are the least, and %d or more are wanted", s.Samples, leastSurfaces, fewSamples)
	}
	if err := beyond(s.samples, o); err != nil {
		return Surface{}, err
	}
	for i, p := range s.samples {
		s.mean += p.Value / float64(s.Samples)
		s.all = append(s.all, i)
	}
	s.tree = newTree(s.samples)
	examined := s.examine(o)
	s.tryMean(examined)
	s.tryInverse(o, examined)
	s.tryKriging(o, examined)
	s.choose()
	if s.Method == Mean {
		s.Notes = append(s.Notes, "samples left out are told best by the mean of the others: the samples show no pattern in space, and every place has their mean")
	}
	if note := lineNote(s.samples); note != "" {
		s.Notes = append(s.Notes, note)
	}
	if s.Samples < fewSamples {
		s.Notes = append(s.Notes, fmt.Sprintf("%d samples are few: below about %d a variogram, and with it kriging, is little known (Webster & Oliver 1992)", s.Samples, fewSamples))
	}
	return s, nil
}

// At returns the value at a place and, by kriging, its standard error; NaN by others. The
// value is held to the limits of the options. A place that is no number has the mean of
// the samples.
func (s *Surface) At(p orb.Point) (value, standardError float64) {
	value, standardError = s.mean, math.NaN()
	switch s.Method {
	case InverseDistance:
		value = inverse(s.samples, s.around(p, -1), p, s.Power)
	case Kriging:
		v, variance := s.work.at(p, -1)
		value, standardError = v, math.Sqrt(variance)
	case Mean:
	}
	held := s.within(value)
	s.asked++
	const rounding = 1e-9
	if math.Abs(held-value) > rounding*(1+math.Abs(held)) {
		s.set++
	}
	return held, standardError
}

// within holds a value to the limits.
func (s *Surface) within(v float64) float64 { return min(max(v, s.low), s.high) }

// LimitNote says how many of the values that At and MeanOver have given so far lay beyond
// the limits of the options and were set to them; it is empty where none did.
func (s *Surface) LimitNote() string {
	if s.set == 0 {
		return ""
	}
	return fmt.Sprintf("%d of %d values between the samples came out beyond %g to %g and were set to that limit", s.set, s.asked, s.low, s.high)
}

// MeanOver is the mean of the values at places, such as those of a grid in a zone, and the
// mean of their standard errors.
func (s *Surface) MeanOver(places []orb.Point) (value, standardError float64, err error) {
	if len(places) == 0 {
		return 0, 0, fmt.Errorf("there is no place to take a mean over")
	}
	for _, p := range places {
		v, e := s.At(p)
		value += v / float64(len(places))
		standardError += e / float64(len(places))
	}
	return value, standardError, nil
}

// Words is how good the surface is, as a sentence.
func (s *Surface) Words() string {
	text := fmt.Sprintf("%d samples by %s", s.Samples, s.Method)
	for _, k := range s.Skills {
		text += fmt.Sprintf("; %s is off by %.3g at samples left out", k.Method, k.RMSE)
	}
	return text
}
