package surface

import (
	"fmt"
	"math"
	"slices"

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

// Skill is how far off a method is at samples that it does not know.
type Skill struct {
	Method Method
	RMSE   float64 // root mean square of the errors, in the unit of the values
	Bias   float64 // their mean
}

// Surface gives values at places. Take one from Fit.
type Surface struct {
	Method    Method
	Samples   int     // places with a value
	Skills    []Skill // of each method that could be tried
	Power     float64 // of inverse distance
	Variogram Variogram
	Notes     []string

	samples []Sample
	mean    float64
	work    *kriger // of Kriging
}

// Options are the settings of a fit. Take them from DefaultOptions.
type Options struct {
	Neighbours int       // samples that a place takes its value from
	Powers     []float64 // of inverse distance to try
	SamePlaceM float64   // samples so near one another are one, with their mean
}

// DefaultOptions are those of the package.
func DefaultOptions() Options {
	return Options{Neighbours: 24, Powers: []float64{1, 1.5, 2, 3}, SamePlaceM: 0.01}
}

const (
	fewSamples    = 100 // below which a variogram is little known
	leastKriged   = 10  // below which none is fitted
	leastSurfaces = 3
	clearly       = 0.05 // share by which a method must be off less than the mean
)

// Fit makes a surface of samples. Samples whose value is no number are counted and left
// out. Errors: fewer than three places.
func Fit(samples []Sample, o Options) (Surface, error) {
	s := Surface{}
	s.samples = s.places(samples, o)
	s.Samples = len(s.samples)
	if s.Samples < leastSurfaces {
		return Surface{}, fmt.Errorf("%d places with a value make no surface; %d are the least, and %d or more are wanted", s.Samples, leastSurfaces, fewSamples)
	}
	for _, p := range s.samples {
		s.mean += p.Value / float64(s.Samples)
	}
	s.tryMean()
	s.tryInverse(o)
	s.tryKriging(o)
	s.choose()
	if s.Method == Mean {
		s.Notes = append(s.Notes, "samples left out are told best by the mean of the others: the samples show no pattern in space, and every place has their mean")
	}
	if s.Samples < fewSamples {
		s.Notes = append(s.Notes, fmt.Sprintf("%d samples are few: below about %d a variogram, and with it kriging, is little known (Webster & Oliver 1992)", s.Samples, fewSamples))
	}
	return s, nil
}

// choose takes the method that is off least at samples left out; the mean of the
// samples unless another is off clearly less.
func (s *Surface) choose() {
	best := s.Skills[0] // the mean
	least := best.RMSE * (1 - clearly)
	for _, k := range s.Skills[1:] {
		if k.RMSE < least {
			best, least = k, k.RMSE
		}
	}
	s.Method = best.Method
}

// places drops what is no number and takes the mean of samples at one place.
func (s *Surface) places(samples []Sample, o Options) []Sample {
	var out []Sample
	counts := []int{}
	bad, same := 0, 0
	sorted := slices.Clone(samples)
	slices.SortFunc(sorted, func(a, b Sample) int { // so that order does not matter
		for _, d := range []float64{a.At[0] - b.At[0], a.At[1] - b.At[1], a.Value - b.Value} {
			if d != 0 && !math.IsNaN(d) {
				return int(math.Copysign(1, d))
			}
		}
		return 0
	})
	for _, p := range sorted {
		if bad1 := math.IsNaN(p.Value-p.Value) || math.IsNaN(p.At[0]-p.At[0]) || math.IsNaN(p.At[1]-p.At[1]); bad1 {
			bad++
			continue
		}
		if i := slices.IndexFunc(out, func(q Sample) bool { return dist(p.At, q.At) <= o.SamePlaceM }); i >= 0 {
			counts[i]++
			out[i].Value += (p.Value - out[i].Value) / float64(counts[i])
			same++
			continue
		}
		out, counts = append(out, p), append(counts, 1)
	}
	if bad > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("%d of %d samples have no value and are left out", bad, len(samples)))
	}
	if same > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("%d samples lie at the place of another; their mean was taken", same))
	}
	return out
}

// At returns the value at a place and, by kriging, its standard error; NaN by others.
func (s *Surface) At(p orb.Point) (value, standardError float64) {
	switch s.Method {
	case InverseDistance:
		return inverse(s.samples, p, s.Power, -1), math.NaN()
	case Kriging:
		v, variance := s.work.at(p, -1)
		return v, math.Sqrt(variance)
	case Mean:
	}
	return s.mean, math.NaN()
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

// Skill returns that of a method.
func (s *Surface) Skill(m Method) (Skill, bool) {
	for _, k := range s.Skills {
		if k.Method == m {
			return k, true
		}
	}
	return Skill{}, false
}

// Words is how good the surface is, as a sentence.
func (s *Surface) Words() string {
	text := fmt.Sprintf("%d samples by %s", s.Samples, s.Method)
	for _, k := range s.Skills {
		text += fmt.Sprintf("; %s is off by %.3g at samples left out", k.Method, k.RMSE)
	}
	return text
}

// skill leaves samples out one at a time.
func skill(m Method, samples []Sample, predict func(left int) float64) Skill {
	k := Skill{Method: m}
	for i, p := range samples {
		d := predict(i) - p.Value
		k.RMSE += d * d / float64(len(samples))
		k.Bias += d / float64(len(samples))
	}
	k.RMSE = math.Sqrt(k.RMSE)
	return k
}

func (s *Surface) tryMean() {
	n := float64(s.Samples)
	s.Skills = append(s.Skills, skill(Mean, s.samples, func(i int) float64 {
		return (s.mean*n - s.samples[i].Value) / (n - 1)
	}))
}

func (s *Surface) tryInverse(o Options) {
	best := Skill{RMSE: math.Inf(1)}
	for _, power := range o.Powers {
		k := skill(InverseDistance, s.samples, func(i int) float64 { return inverse(s.samples, s.samples[i].At, power, i) })
		if k.RMSE < best.RMSE {
			best, s.Power = k, power
		}
	}
	if !math.IsInf(best.RMSE, 1) {
		s.Skills = append(s.Skills, best)
	}
}

func (s *Surface) tryKriging(o Options) {
	if s.Samples < leastKriged {
		s.Notes = append(s.Notes, fmt.Sprintf("%d samples are too few for a variogram; %d are the least", s.Samples, leastKriged))
		return
	}
	v, ok := fitVariogram(s.samples)
	if !ok {
		s.Notes = append(s.Notes, "the samples do not differ, so there is no variogram")
		return
	}
	s.Variogram = v
	s.work = newKriger(s.samples, v, o.Neighbours)
	s.Skills = append(s.Skills, skill(Kriging, s.samples, func(i int) float64 {
		value, _ := s.work.at(s.samples[i].At, i)
		return value
	}))
}

// inverse weighs all samples but one by a power of their distance.
func inverse(samples []Sample, p orb.Point, power float64, but int) float64 {
	var sum, weight float64
	for i, q := range samples {
		if i == but {
			continue
		}
		d := dist(p, q.At)
		if d < 1e-9 {
			return q.Value
		}
		w := math.Pow(d, -power)
		sum += w * q.Value
		weight += w
	}
	return sum / weight
}

func dist(a, b orb.Point) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }
