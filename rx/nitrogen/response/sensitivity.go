package response

import "ratewright/geo/unit"

// Priced is the optimum at a price ratio.
type Priced struct {
	Ratio float64 // price of nitrogen over that of grain, kg grain per kg N
	Rate  unit.NRate
}

// AtRatios is the optimum of a curve at each of several price ratios above zero.
func (c Curve) AtRatios(ratios []float64) ([]Priced, error) {
	m, err := single(c)
	if err != nil {
		return nil, err
	}
	return m.AtRatios(ratios)
}

// AtRatios is that of a mean of curves.
func (m Mean) AtRatios(ratios []float64) ([]Priced, error) {
	if len(m.pieces) == 0 {
		return nil, refuse(NothingLeft, "there is no response curve to take a mean of")
	}
	out := make([]Priced, len(ratios))
	for i, r := range ratios {
		if !(r > 0) || !finite(r) {
			return nil, refuse(BadPrice, "a price ratio of %s kg grain per kg N is not possible; it is above zero", figure(r))
		}
		out[i] = Priced{r, unit.KgNPerHa(min(m.bestRate(r), m.most()))}
	}
	return out, nil
}

// Change is what one price alone does to the optimum over its range.
type Change struct {
	What      string // "nitrogen price" or "grain price"
	Low, High Prices
	// RateLow and RateHigh are the optima at the low and the high price.
	RateLow, RateHigh unit.NRate
}

// Swing is by how much the rate moves over the range of the price.
func (c Change) Swing() unit.NRate { return max(c.RateLow-c.RateHigh, c.RateHigh-c.RateLow) }

// PriceChanges move one price at a time over its range, low to high, from base.
func (m Mean) PriceChanges(base Prices, n [2]unit.NPrice, grain [2]unit.GrainPrice) ([]Change, error) {
	if err := base.check(); err != nil {
		return nil, err
	}
	out := []Change{
		{What: "nitrogen price", Low: Prices{n[0], base.Grain}, High: Prices{n[1], base.Grain}},
		{What: "grain price", Low: Prices{base.N, grain[0]}, High: Prices{base.N, grain[1]}},
	}
	for i := range out {
		c := &out[i]
		low, err := m.Optimum(c.Low)
		if err != nil {
			return nil, err
		}
		high, err := m.Optimum(c.High)
		if err != nil {
			return nil, err
		}
		c.RateLow, c.RateHigh = low.Rate, high.Rate
	}
	return out, nil
}

// PriceChanges are those of one curve.
func (c Curve) PriceChanges(base Prices, n [2]unit.NPrice, grain [2]unit.GrainPrice) ([]Change, error) {
	m, err := single(c)
	if err != nil {
		return nil, err
	}
	return m.PriceChanges(base, n, grain)
}
