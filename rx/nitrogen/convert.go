package nitrogen

import (
	"fmt"
	"math"

	"ratewright/geo/unit"
)

// Product is the rate of product that carries a rate of nitrogen:
// product = N / (percent N / 100).
func (s Source) Product(n unit.NRate) unit.ProductRate {
	return unit.KgPerHa(n.KgNPerHa() / (s.PercentN / 100))
}

// Nitrogen is the rate of nitrogen in a rate of product:
// N = product x percent N / 100.
func (s Source) Nitrogen(p unit.ProductRate) unit.NRate {
	return unit.KgNPerHa(p.KgPerHa() * (s.PercentN / 100))
}

// NRateFrom is the nitrogen in a rate that counts nitrogen or product. A rate
// by volume counts product and needs the density:
// N = volume x density x percent N / 100.
// A rate that is negative or not finite is refused.
func (s Source) NRateFrom(r unit.Rate, of unit.Of) (unit.NRate, error) {
	kg, err := s.kgPer(r.Unit, of)
	if err != nil {
		return 0, err
	}
	n := unit.KgNPerHa(r.PerHa())
	if of == unit.Product {
		n = s.Nitrogen(unit.KgPerHa(r.PerHa() * kg))
	}
	if !sound(n.KgNPerHa()) {
		return 0, fmt.Errorf("source %s: a rate of %g %s is not possible", s.Name, r.Value, r.Unit)
	}
	return n, nil
}

// RateFor is a rate of nitrogen expressed in a unit, as nitrogen or as the
// product that carries it; the inverse of NRateFrom with the same limits.
func (s Source) RateFor(n unit.NRate, u unit.RateUnit, of unit.Of) (unit.Rate, error) {
	kg, err := s.kgPer(u, of)
	if err != nil {
		return unit.Rate{}, err
	}
	perHa := n.KgNPerHa()
	if of == unit.Product {
		perHa = s.Product(n).KgPerHa() / kg
	}
	r := unit.Rate{Value: perHa / u.PerHa(), Unit: u}
	if !sound(r.Value) {
		return unit.Rate{}, fmt.Errorf("source %s: a rate of %g kg N/ha is not possible", s.Name, n.KgNPerHa())
	}
	return r, nil
}

// sound tells a rate that can be put down from one negative, NaN or infinite.
func sound(v float64) bool { return v >= 0 && !math.IsInf(v, 1) }

// kgPer is the mass in what a rate unit counts per hectare: 1 for the units of
// mass, the density for those of volume.
func (s Source) kgPer(u unit.RateUnit, of unit.Of) (float64, error) {
	switch {
	case u == unit.RateUnit{}:
		return 0, fmt.Errorf("source %s: the rate has no unit", s.Name)
	case of != unit.Nitrogen && of != unit.Product:
		return 0, fmt.Errorf("source %s: the rate in %s does not say whether it counts nitrogen or product", s.Name, u)
	case of == unit.Product && !(s.PercentN > 0):
		return 0, fmt.Errorf("source %s has no nitrogen, so nitrogen and product cannot be converted", s.Name)
	case !u.IsVolume():
		return 1, nil
	case of == unit.Nitrogen:
		return 0, fmt.Errorf("source %s: %s is a volume of product and cannot count nitrogen; say of: product, or use lb/ac or kg/ha", s.Name, u)
	case !s.HasDensity:
		return 0, fmt.Errorf("source %s has no density, so %s cannot be converted; set its density, or use a unit of mass such as lb/ac or kg/ha", s.Name, u)
	}
	return s.Density.KgPerLitre(), nil
}
