package surface

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/paulmach/orb"
)

// Skill is how far off a method is at samples that it does not know.
type Skill struct {
	Method Method
	RMSE   float64 // root mean square of the errors, in the unit of the values
	Bias   float64 // their mean
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

// examine draws the samples that make the variogram and are left out one at a time: all,
// but for very many.
func (s *Surface) examine(o Options) []int {
	if s.Samples <= o.Examined {
		return s.all
	}
	s.Notes = append(s.Notes, fmt.Sprintf("%d of %d samples, drawn by the seed %d, make the variogram and are left out one at a time to hold the methods against; all of them make the surface", o.Examined, s.Samples, o.Seed))
	some := rand.New(rand.NewPCG(o.Seed, uint64(s.Samples))).Perm(s.Samples)[:o.Examined]
	slices.Sort(some)
	return some
}

// skill leaves samples out one at a time.
func (s *Surface) skill(m Method, examined []int, predict func(p orb.Point, left int) float64) Skill {
	k := Skill{Method: m}
	n := float64(len(examined))
	for _, i := range examined {
		d := s.within(predict(s.samples[i].At, i)) - s.samples[i].Value
		k.RMSE += d * d / n
		k.Bias += d / n
	}
	k.RMSE = math.Sqrt(k.RMSE)
	return k
}

func (s *Surface) tryMean(examined []int) {
	n := float64(s.Samples)
	s.Skills = append(s.Skills, s.skill(Mean, examined, func(_ orb.Point, i int) float64 {
		return (s.mean*n - s.samples[i].Value) / (n - 1)
	}))
}

func (s *Surface) tryInverse(o Options, examined []int) {
	best := Skill{RMSE: math.Inf(1)}
	for _, power := range o.Powers {
		k := s.skill(InverseDistance, examined, func(p orb.Point, i int) float64 {
			return inverse(s.samples, s.around(p, i), p, power)
		})
		if k.RMSE < best.RMSE {
			best, s.Power = k, power
		}
	}
	if len(o.Powers) == 0 {
		return
	}
	s.Skills = append(s.Skills, best)
	if s.Samples > allWeighed {
		s.Notes = append(s.Notes, fmt.Sprintf("of more than %d samples inverse distance weighs the %d nearest to a place", allWeighed, s.near))
	}
}

func (s *Surface) tryKriging(o Options, examined []int) {
	if s.Samples < leastKriged {
		s.Notes = append(s.Notes, fmt.Sprintf("%d samples are too few for a variogram; %d are the least", s.Samples, leastKriged))
		return
	}
	known := make([]Sample, len(examined))
	for j, i := range examined {
		known[j] = s.samples[i]
	}
	v, ok := fitVariogram(known)
	if !ok {
		s.Notes = append(s.Notes, "the samples do not differ, so there is no variogram")
		return
	}
	s.Variogram = v
	s.work = newKriger(s.tree, v, s.near)
	s.Skills = append(s.Skills, s.skill(Kriging, examined, func(p orb.Point, i int) float64 {
		value, _ := s.work.at(p, i)
		return value
	}))
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
