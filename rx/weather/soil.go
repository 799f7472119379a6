package weather

import (
	"fmt"
	"math"
)

// Soil are the coefficients of a relation that gives the daily mean temperature of
// the soil from that of the air. Take DefaultSoil and change what is known better.
type Soil struct {
	DepthCM float64 // depth below the surface, cm
	Leaf    float64 // green leaf area over ground area; 0 for bare soil

	RatePerDay  float64 // share of the way to the surface's temperature made in a day, at the surface
	PerCM       float64 // fall of that rate with depth, per cm
	PerLeaf     float64 // fall of that rate with green leaf area
	Air         float64 // surface over air temperature under a full canopy
	Bare        float64 // what is added to that where leaves do not shade
	BarePerLeaf float64 // fall of what is added, with leaf area
	BareFrom    float64 // leaf area at which just Bare is added
	Frozen      float64 // surface over air temperature below 0 °C
	ErrorC      float64 // standard error of an estimate, °C
}

// DefaultSoil is the relation of Kätterer & Andrén with its published coefficients,
// for bare soil at 10 cm (4 in).
//
// Source: Kätterer & Andrén 2009, Acta Agric. Scand. B 59:77-86, as given in the manual
// of a public R package; the paper itself was not seen.
func DefaultSoil() Soil {
	return Soil{
		DepthCM: soilDepth, RatePerDay: soilRate, PerCM: soilPerCM, PerLeaf: soilPerLeaf,
		Air: soilAir, Bare: soilBare, BarePerLeaf: soilBarePerLeaf, BareFrom: soilBareFrom, Frozen: soilFrozen,
		ErrorC: soilError,
	}
}

// check refuses coefficients with which the soil would not follow the air.
func (s Soil) check() error {
	for _, v := range []float64{s.DepthCM, s.Leaf, s.RatePerDay, s.PerCM, s.PerLeaf, s.Air, s.Bare, s.BarePerLeaf, s.BareFrom, s.Frozen, s.ErrorC} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return fmt.Errorf("soil temperature from air: a coefficient of %g; give numbers not below zero", v)
		}
	}
	if a := s.follow(); !(a > 0 && a <= 1) || s.warmth() > warmestSurface {
		return fmt.Errorf("soil temperature from air: at %g cm and leaf area %g the soil goes %.3g of the way a day to %.3g of the air's temperature; the first lies above 0 and at most at 1, the second at most at %g", s.DepthCM, s.Leaf, a, s.warmth(), float64(warmestSurface))
	}
	return nil
}

// follow is the share of the way to the surface's temperature that the soil makes in
// a day.
func (s Soil) follow() float64 {
	return s.RatePerDay * math.Exp(-s.PerCM*s.DepthCM) * math.Exp(-s.PerLeaf*s.Leaf)
}

// warmth is the temperature of the surface over that of air above 0 °C.
func (s Soil) warmth() float64 {
	return s.Air + s.Bare*math.Exp(-s.BarePerLeaf*(s.leafIndex()-s.BareFrom))
}

// leafIndex is the leaf area index that belongs to the green area.
func (s Soil) leafIndex() float64 { return leafOfGreen * s.Leaf }

// surface is the temperature of the ground's surface, °C, from the mean of the air.
func (s Soil) surface(airC float64) float64 {
	if airC < 0 {
		return s.Frozen * airC
	}
	return s.warmth() * airC
}

// Course is the daily mean temperature of the soil, °C, on the days whose mean air
// temperatures airC, °C, are given one after another: each day the soil goes a
// constant share of the way from its own temperature to that of the surface the day
// before. The first day takes the mean of the surface over the first week, so that the
// days before Settled are the less sure. It is an error where there is no day, a
// temperature is no number, or a coefficient cannot be.
//
// Source: Kätterer & Andrén 2009, Acta Agric. Scand. B 59:77-86.
func (s Soil) Course(airC []float64) (soilC []float64, err error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	if len(airC) == 0 {
		return nil, fmt.Errorf("soil temperature from air: no day is given")
	}
	for _, t := range airC {
		if math.IsNaN(t) || math.IsInf(t, 0) {
			return nil, fmt.Errorf("soil temperature from air: a temperature of %g °C is no number; fill the gaps of the record first", t)
		}
	}
	first := airC[:min(7, len(airC))]
	now := 0.0
	for _, t := range first {
		now += s.surface(t) / float64(len(first))
	}
	soilC = make([]float64, len(airC))
	share := s.follow()
	for i, t := range airC {
		soilC[i] = now
		now += share * (s.surface(t) - now)
	}
	return soilC, nil
}

// Settled is from which day of a Course on, counted from 0, less than a hundredth is
// left of its beginning.
func (s Soil) Settled() int {
	if s.follow() >= 1 {
		return 1
	}
	return int(math.Ceil(math.Log(leftOver) / math.Log(1-s.follow())))
}

// words says what the estimate is and how far it may be off.
func (s Soil) words() string {
	return fmt.Sprintf("soil temperature at %g cm from that of the air by Kätterer & Andrén 2009 (arable soils in Sweden); take it as ±%g °C (that paper was not seen itself): the standard error of a like relation at six climates of the United States was 1.5 to 2.9 °C (Zheng, Hunt & Running 1993, Clim. Res. 2:183)", s.DepthCM, s.ErrorC)
}
