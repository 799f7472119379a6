package rx

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen"
)

// Tank is what one load holds of product, by volume or by mass; the zero value
// is no tank. It is the usable content: ammonia tanks are filled to 85 % at
// most.
type Tank struct {
	Volume unit.Volume
	Mass   unit.Mass
}

// IsSet reports whether there is a tank.
func (t Tank) IsSet() bool { return t.Volume != 0 || t.Mass != 0 }

func (t Tank) check() error {
	switch {
	case t.Volume < 0 || t.Mass < 0:
		return errors.New("tank: its content is below zero; give what one load holds")
	case t.Volume > 0 && t.Mass > 0:
		return errors.New("tank: both a volume and a mass are given; keep one")
	}
	return nil
}

// mass is what one load weighs.
func (t Tank) mass(s nitrogen.Source) unit.Mass {
	if t.Mass > 0 {
		return t.Mass
	}
	return unit.Kilograms(t.Volume.Litres() * s.Density.KgPerLitre())
}

// mostLoads is more than any season has hours for.
const mostLoads = 1e6

// Loads is how often the tank is filled.
type Loads struct {
	Exact float64   // product over the tank's content
	Count int       // Exact rounded up
	Area  unit.Area // treated by one load at the mean rate of the treated ground
}

// loads divides the product by the tank, and the treated ground (rate above
// zero) by the loads.
func loads(t Tank, s nitrogen.Source, product unit.Mass, treated unit.Area) (Loads, error) {
	full := t.mass(s)
	if full <= 0 {
		return Loads{}, fmt.Errorf("tank: %s has no density, so a load by volume has no mass; set its density, or give the tank by mass", s.Called())
	}
	l := Loads{Exact: product.Kilograms() / full.Kilograms()}
	if !(l.Exact <= mostLoads) {
		return Loads{}, fmt.Errorf("tank: one load would be %s kg and the field needs %s kg of %s, more than %s loads; check the tank's content and its unit", shortest(full.Kilograms()), shortest(product.Kilograms()), s.Called(), number(mostLoads))
	}
	// A millionth of a load over is rounding, not another trip.
	l.Count = int(math.Ceil(l.Exact - 1e-6))
	if l.Exact > 0 {
		l.Area = unit.SquareMetres(treated.SquareMetres() / l.Exact)
	}
	return l, nil
}

// shortest prints a number with six digits, however small it is.
func shortest(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
