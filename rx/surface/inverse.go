package surface

import (
	"math"

	"github.com/paulmach/orb"
)

// inverse weighs samples by a power of their distance from a place, each over that of the
// nearest so that no weight is beyond what a number holds. A place that is none, or too
// far away for squares to be numbers, has their mean.
func inverse(samples []Sample, chosen []int, p orb.Point, power float64) float64 {
	nearest, first := math.Inf(1), 0.0
	for _, i := range chosen {
		if d2 := square(p, samples[i].At); d2 < nearest {
			nearest, first = d2, samples[i].Value
		}
	}
	const atSample = 1e-18 // square metres
	if nearest < atSample {
		return first
	}
	var sum, weight, all float64
	for _, i := range chosen {
		v := samples[i].Value
		w := closeness(square(p, samples[i].At)/nearest, power)
		sum += w * v
		weight += w
		all += v
	}
	if v := sum / weight; !math.IsNaN(v - v) {
		return v
	}
	return all / float64(len(chosen))
}

// closeness is a distance to a negative power, from its square. The usual powers need no
// logarithm, a tenth of the time.
func closeness(d2, power float64) float64 {
	switch power {
	case 1:
		return 1 / math.Sqrt(d2)
	case 1.5:
		d := math.Sqrt(d2)
		return 1 / (d * math.Sqrt(d))
	case 2:
		return 1 / d2
	case 3:
		return 1 / (d2 * math.Sqrt(d2))
	}
	return math.Pow(d2, -power/2)
}

// around are the samples that inverse distance weighs at a place: all but one, or of many
// the nearest.
func (s *Surface) around(p orb.Point, but int) []int {
	if len(s.samples) > allWeighed {
		if near := s.tree.nearest(p, but, s.near); len(near) > 0 {
			return near
		}
	}
	if but < 0 {
		return s.all
	}
	s.others = append(append(s.others[:0], s.all[:but]...), s.all[but+1:]...)
	return s.others
}
