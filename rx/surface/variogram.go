package surface

import (
	"math"
)

// Variogram is a model of half the mean squared difference of values by distance.
type Variogram struct {
	Model               string // "spherical" or "exponential"
	Nugget, Sill, Range float64
	// Sill is without the nugget. Range is where a spherical model is level, and a third
	// of where an exponential one nearly is; metres.
}

// At is the semivariance at a distance above zero.
func (v Variogram) At(h float64) float64 {
	if h <= 0 {
		return 0
	}
	return v.Nugget + v.Sill*shape(v.Model, h/v.Range)
}

func shape(model string, r float64) float64 {
	if model == "exponential" {
		return 1 - math.Exp(-r)
	}
	if r >= 1 {
		return 1
	}
	return r * (1.5 - 0.5*r*r)
}

const (
	lagClasses = 12
	rangesTry  = 60
)

// lags are the classes of an empirical semivariogram.
type lags struct{ distance, gamma, pairs [lagClasses]float64 }

func empirical(samples []Sample) (l lags, reach float64) {
	for i := range samples {
		for j := range i {
			reach = max(reach, dist(samples[i].At, samples[j].At))
		}
	}
	reach /= 2
	for i := range samples {
		for j := range i {
			h := dist(samples[i].At, samples[j].At)
			// On a grid of samples many distances lie on the edge of a class, and
			// rounding must not choose for them.
			k := int(h/reach*lagClasses + 1e-9)
			if k >= lagClasses {
				continue
			}
			d := samples[i].Value - samples[j].Value
			l.distance[k] += h
			l.gamma[k] += d * d / 2
			l.pairs[k]++
		}
	}
	for k := range l.pairs {
		if l.pairs[k] > 0 {
			l.distance[k] /= l.pairs[k]
			l.gamma[k] /= l.pairs[k]
		}
	}
	return l, reach
}

// fitVariogram fits both models over a fixed list of ranges; false where all values are
// the same.
func fitVariogram(samples []Sample) (best Variogram, ok bool) {
	l, reach := empirical(samples)
	least := math.Inf(1)
	for _, model := range []string{"spherical", "exponential"} {
		for i := range rangesTry {
			// From a fiftieth of the reach to three times it.
			r := reach / 50 * math.Pow(150, float64(i)/(rangesTry-1))
			v, sse := l.fit(model, r)
			if sse < least*(1-1e-12) {
				best, least = v, sse
			}
		}
	}
	return best, best.Nugget+best.Sill > 0
}

// fit finds nugget and sill, neither below zero, for a range.
func (l *lags) fit(model string, r float64) (Variogram, float64) {
	var w, x, y [lagClasses]float64
	var sw, sx, sy, sxx, sxy float64
	for k := range l.pairs {
		if l.pairs[k] == 0 {
			continue
		}
		w[k] = l.pairs[k] / (l.distance[k] * l.distance[k])
		x[k], y[k] = shape(model, l.distance[k]/r), l.gamma[k]
		sw += w[k]
		sx += w[k] * x[k]
		sy += w[k] * y[k]
		sxx += w[k] * x[k] * x[k]
		sxy += w[k] * x[k] * y[k]
	}
	best, least := Variogram{}, math.Inf(1)
	try := func(nugget, sill float64) {
		if !(nugget >= 0 && sill >= 0) {
			return
		}
		sse := 0.0
		for k := range w {
			d := y[k] - nugget - sill*x[k]
			sse += w[k] * d * d
		}
		if sse < least {
			best, least = Variogram{model, nugget, sill, r}, sse
		}
	}
	if det := sw*sxx - sx*sx; det > 0 {
		sill := (sw*sxy - sx*sy) / det
		try((sy-sill*sx)/sw, sill)
	}
	if sxx > 0 {
		try(0, sxy/sxx)
	}
	if sw > 0 {
		try(sy/sw, 0)
	}
	return best, least
}
