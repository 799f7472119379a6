package plan

import (
	"ratewright/geo/unit"
)

// Unheld is what a zone would get if nothing were scarce: the strategy and rate of the
// largest mean return. Strategy is -1 where that is to put nothing down.
type Unheld struct {
	Strategy int
	Rate     unit.NRate
	Return   float64 // $ per hectare, the mean
}

// heldSlack is how far a limit may be passed by rounding alone, as a share of it.
const heldSlack = 1e-9

// held says what each zone of the choice would get if nothing were scarce, and which
// limits stand in the way of that, and of the best rate of the strategy it gets: those
// of which it would need more than the choice of the other zones leaves.
func (r *Result) held(c *Choice) {
	in := &r.Input
	for i := range c.Zones {
		z := &c.Zones[i]
		if !z.In {
			continue
		}
		best, own := r.options[i][0], level{z.Strategy, z.Rate.KgNPerHa(), z.Return}
		for _, l := range r.options[i] {
			if l.ret > best.ret {
				best = l
			}
			if l.strategy == z.Strategy && l.ret > own.ret {
				own = l
			}
		}
		z.Free = Unheld{Strategy: best.strategy, Rate: unit.KgNPerHa(best.rate), Return: best.ret}
		c.Unlimited += best.ret * in.Zones[i].AreaHa
		z.Held, z.RateHeld = r.inTheWay(c, i, best), r.inTheWay(c, i, own)
	}
}

// inTheWay are the limits that a zone of the choice would pass with another option
// that returns more.
func (r *Result) inTheWay(c *Choice, zone int, other level) (list []int) {
	in, z := &r.Input, &c.Zones[zone]
	if other.ret <= z.Return {
		return nil
	}
	need := make([]float64, len(in.Limits))
	for _, u := range in.uses(&in.Zones[zone], other) {
		need[u.Limit] += u.Amount
	}
	for _, u := range in.uses(&in.Zones[zone], level{z.Strategy, z.Rate.KgNPerHa(), z.Return}) {
		need[u.Limit] -= u.Amount
	}
	for k := range in.Limits {
		if need[k] > 0 && c.Used[k]+need[k] > in.Limits[k].Amount*(1+heldSlack) {
			list = append(list, k)
		}
	}
	return list
}

// Follow works out what comes of the choice on each zone at the rate that it gives:
// losses, what is still there, and returns with their bands, as Compare does at the
// rate compared. A zone without nitrogen has the yield of no nitrogen in every year.
func (r *Result) Follow(c *Choice) error {
	in := r.Input
	in.Zones, in.Strategies = nil, nil
	in.Step = in.Most // the one rate that matters is that of the choice
	at, of := map[int]int{}, []int{}
	for i := range c.Zones {
		z := &c.Zones[i]
		if !z.In {
			continue
		}
		if z.Strategy < 0 {
			z.Outcome = r.nothing(i, z.Return)
			continue
		}
		if _, ok := at[z.Strategy]; !ok {
			at[z.Strategy] = len(in.Strategies)
			in.Strategies = append(in.Strategies, r.Input.Strategies[z.Strategy])
		}
		zone := r.Input.Zones[i]
		zone.Target, zone.Most = &z.Rate, nil
		in.Zones = append(in.Zones, zone)
		of = append(of, i)
	}
	if len(of) == 0 {
		return nil
	}
	again, err := Compare(in)
	if err != nil {
		return err
	}
	for k, i := range of {
		z := &c.Zones[i]
		z.Outcome = again.Outcomes[k][at[z.Strategy]]
	}
	return nil
}

// nothing is the outcome of no nitrogen on a zone.
func (r *Result) nothing(zone int, ret float64) Outcome {
	z := &r.Input.Zones[zone]
	yield := z.Curve.Yield(0)
	o := Outcome{HasYield: true, Yield: yield, YieldWorst: yield, Return: ret, ReturnWorst: ret, ReturnLow: ret, ReturnHigh: ret}
	for range r.Input.Stations[z.Station].Years {
		o.Yearly = append(o.Yearly, ret)
	}
	return o
}

// ChosenTotal is the choice over the zones of a field that it weighs, in sums and in
// means by area, and the mean return there if nothing were scarce, $ per hectare. False
// where it weighs none. Follow comes before.
func (r *Result) ChosenTotal(field string, c *Choice) (t Total, unlimited float64, ok bool) {
	for i := range r.Input.Zones {
		z := &r.Input.Zones[i]
		if z.Field != field || !c.Zones[i].In {
			continue
		}
		if t.yearly == nil {
			t = Total{Strategy: -1, HasReturn: true, yearly: make([]float64, len(r.Input.Stations[z.Station].Years))}
		}
		t.add(&c.Zones[i].Outcome, z.AreaHa)
		unlimited += c.Zones[i].Free.Return * z.AreaHa
	}
	if t.yearly == nil {
		return t, 0, false
	}
	t.divide()
	return t, unlimited / t.AreaHa, true
}
