package plan

import (
	"math"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/nitrogen/water"
)

// ladder is a strategy on a zone at all its rates, added up year by year.
type ladder struct {
	rates   []float64
	at      int // the one compared, -1 still open
	sums    []loss.Balance
	left    [][]float64 // by rate and year
	yields  [][]float64 // the same; nil without a curve
	chosen  []float64   // the trips' rates at the rate compared
	outcome Outcome
}

// part works out the zones of a part.
func (c *courses) part(p part, r *Result) ([]string, error) {
	c.notes = nil
	years := len(c.in.Stations[p.station].Years)
	ladders := make([][]ladder, len(p.zones))
	for i, zone := range p.zones {
		z := &c.in.Zones[zone]
		ladders[i] = make([]ladder, len(c.in.Strategies))
		for s := range ladders[i] {
			l := &ladders[i][s]
			l.rates, l.at = c.in.levels(&c.in.Strategies[s], z)
			l.sums = make([]loss.Balance, len(l.rates))
			l.left = grid(len(l.rates), years)
			if c.priced(z) {
				l.yields = grid(len(l.rates), years)
			}
		}
	}
	if err := c.middle(p, ladders); err != nil {
		return nil, err
	}
	for i, zone := range p.zones {
		c.settle(zone, ladders[i], r)
	}
	for _, run := range []struct {
		high  bool
		loss  *loss.Coefficients
		water water.Coefficients
	}{{false, &c.in.Runs.Low, c.in.Runs.LowWater}, {true, &c.in.Runs.High, c.in.Runs.HighWater}} {
		for y := range years {
			if err := c.year(p, y, run.loss, run.water); err != nil {
				return nil, err
			}
			for i, zone := range p.zones {
				if err := c.band(zone, ladders[i], float64(years), run.high); err != nil {
					return nil, err
				}
			}
		}
	}
	for i, zone := range p.zones {
		for s := range ladders[i] {
			o := ladders[i][s].outcome
			// In a drought that leaves urea unchanged, and residue that takes all the rest,
			// the run of high losses may leave a little more.
			o.LeftLow, o.LeftHigh = min(o.Left, o.LeftLow, o.LeftHigh), max(o.Left, o.LeftLow, o.LeftHigh)
			r.Outcomes[zone] = append(r.Outcomes[zone], o)
		}
	}
	return c.notes, nil
}

// priced tells whether a zone has yields.
func (c *courses) priced(z *Zone) bool { return z.Curve != nil && z.Practice != nil }

func grid(n, m int) [][]float64 {
	all := make([]float64, n*m)
	rows := make([][]float64, n)
	for i := range rows {
		rows[i] = all[i*m : (i+1)*m]
	}
	return rows
}

// middle runs all years with the middle coefficients, at every rate.
func (c *courses) middle(p part, ladders [][]ladder) error {
	var trips []float64
	kept := map[float64]float64{}
	for y := range c.in.Stations[p.station].Years {
		if err := c.year(p, y, &c.in.Runs.Mid, c.in.Runs.MidWater); err != nil {
			return err
		}
		for i, zone := range p.zones {
			z := &c.in.Zones[zone]
			clear(kept)
			for s := range ladders[i] {
				l := &ladders[i][s]
				for k, rate := range l.rates {
					trips, _ = c.in.Strategies[s].tripRates(rate, trips)
					b, err := c.left(z, c.trips[s], trips)
					if err != nil {
						return err
					}
					add(&l.sums[k], b)
					l.left[k][y] = b.StillThere()
					if l.yields == nil {
						continue
					}
					share, ok := kept[rate]
					if !ok {
						if share, err = c.kept(zone, rate); err != nil {
							return err
						}
						kept[rate] = share
					}
					l.yields[k][y] = z.yield(rate, b.StillThere(), share)
				}
			}
		}
	}
	return nil
}

// settle finds the rate at which each strategy is compared and what can be chosen.
func (c *courses) settle(zone int, ladders []ladder, r *Result) {
	z := &c.in.Zones[zone]
	money := c.priced(z) && c.in.Grain > 0
	if money {
		r.options[zone] = append(r.options[zone], level{-1, 0, c.in.Grain.PerKg() * z.Curve.Yield(0).KgPerHa()})
	}
	for s := range ladders {
		l := &ladders[s]
		strategy := &c.in.Strategies[s]
		best, bestAt := math.Inf(-1), 0
		for k, rate := range l.rates {
			if !money {
				break
			}
			trips, _ := strategy.tripRates(rate, nil)
			ret := c.in.Grain.PerKg()*mean(l.yields[k]) - strategy.cost(trips)
			if rate > 0 {
				r.options[zone] = append(r.options[zone], level{s, rate, ret})
			}
			if ret > best {
				best, bestAt = ret, k
			}
		}
		if l.at < 0 {
			l.at = bestAt
			if !money { // no price says which: the highest
				l.at = len(l.rates) - 1
			}
		}
		l.chosen, _ = strategy.tripRates(l.rates[l.at], nil)
		l.outcome = c.outcome(strategy, l, money)
	}
}

// outcome sums the years at the rate compared.
func (c *courses) outcome(s *Strategy, l *ladder, money bool) Outcome {
	years := float64(len(l.left[l.at]))
	b := l.sums[l.at]
	o := Outcome{
		Rate: unit.KgNPerHa(l.rates[l.at]),
		Lost: Lost{b.Ammonia / years, b.AtInjection / years, b.Denitrified / years, b.Leached / years, b.Held / years},
		Left: mean(l.left[l.at]), LeftWorst: worstFifth(l.left[l.at]),
		Cost: s.cost(l.chosen),
	}
	for _, n := range l.chosen {
		o.Trips = append(o.Trips, unit.KgNPerHa(n))
	}
	if l.yields == nil {
		return o
	}
	y := l.yields[l.at]
	o.HasYield = true
	o.Yield, o.YieldWorst = unit.KgGrainPerHa(mean(y)), unit.KgGrainPerHa(worstFifth(y))
	if !money {
		return o
	}
	for _, kg := range y {
		o.Yearly = append(o.Yearly, c.in.Grain.PerKg()*kg-o.Cost)
	}
	o.Return, o.ReturnWorst = mean(o.Yearly), worstFifth(o.Yearly)
	return o
}

// band adds a year of the run of low or high losses at the rates compared.
func (c *courses) band(zone int, ladders []ladder, years float64, high bool) error {
	z := &c.in.Zones[zone]
	for s := range ladders {
		l := &ladders[s]
		o := &l.outcome
		b, err := c.left(z, c.trips[s], l.chosen)
		if err != nil {
			return err
		}
		left, ret := &o.LeftHigh, &o.ReturnLow // low losses leave the most
		if high {
			left, ret = &o.LeftLow, &o.ReturnHigh
		}
		*left += b.StillThere() / years
		if !o.HasYield || len(o.Yearly) == 0 {
			continue
		}
		rate := l.rates[l.at]
		share, err := c.kept(zone, rate)
		if err != nil {
			return err
		}
		*ret += (c.in.Grain.PerKg()*z.yield(rate, b.StillThere(), share) - o.Cost) / years
	}
	return nil
}

func add(to *loss.Balance, b loss.Balance) {
	to.Applied += b.Applied
	to.Urea += b.Urea
	to.Ammonium += b.Ammonium
	to.Nitrate += b.Nitrate
	to.Ammonia += b.Ammonia
	to.AtInjection += b.AtInjection
	to.Denitrified += b.Denitrified
	to.Leached += b.Leached
	to.Held += b.Held
}
