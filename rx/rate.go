package rx

import (
	"fmt"
	"math"
	"strings"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen"
)

// counted is a rate together with what it counts, so that a rate of product is
// never read as one of nitrogen.
type counted struct {
	unit.Rate
	of unit.Of
}

// String writes "185 lb N/ac" or "33.91 gal/ac".
func (c counted) String() string {
	u := c.Unit.String()
	if c.of == unit.Nitrogen {
		u = strings.Replace(u, "/", " N/", 1)
	}
	return number(c.Value) + " " + u
}

// in converts to another unit of nitrogen or product. The same unit gives the
// same value to the last bit.
func (c counted) in(s nitrogen.Source, u unit.RateUnit, of unit.Of) (counted, error) {
	if c.Unit == u && c.of == of {
		return c, nil
	}
	n, err := s.NRateFrom(c.Rate, c.of)
	if err != nil {
		return counted{}, err
	}
	r, err := s.RateFor(n, u, of)
	if err != nil {
		return counted{}, err
	}
	return counted{r, of}, nil
}

// with returns the rate with another value.
func (c counted) with(v float64) counted {
	c.Value = v
	return c
}

// mostRate is far above any rate in any unit: a million lb/ac would lie 0.1 m deep.
const mostRate = 1e6

// checkValue refuses what is no rate. What passes can be converted to any unit,
// summed over any field and written.
func checkValue(v float64) error {
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return fmt.Errorf("rate %v is not a number", v)
	case v < 0:
		return fmt.Errorf("rate %s is below zero", number(v))
	case v > mostRate:
		return fmt.Errorf("rate %s is above %s, which no machine puts down", number(v), number(mostRate))
	}
	return nil
}

// roundTo rounds to decimals, halves away from zero.
func roundTo(v float64, decimals int) float64 {
	scale := math.Pow10(decimals)
	return math.Round(v*scale) / scale
}
