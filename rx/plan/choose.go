package plan

import (
	"errors"
	"fmt"
	"slices"

	"ratewright/geo/parallel"
	"ratewright/geo/unit"
	"ratewright/rx/allot"
)

// Choice is what each zone is to get so that the limits hold.
type Choice struct {
	Zones []Chosen // by zone
	Value float64  // $ a year, the mean: grain less cost of all zones in the choice
	Bound float64  // no choice within the limits returns more
	// Unlimited is what the same zones would return if nothing were scarce.
	Unlimited float64
	Gap       float64
	Proven    bool
	Used      []float64 // of each limit
	Worth     []Worth   // of one more unit of each limit
	Notes     []string
}

// Chosen is a zone's strategy; -1 and a rate of zero where it gets nothing. In is false
// for a zone without returns, which cannot be weighed against others.
type Chosen struct {
	In       bool
	Strategy int
	Rate     unit.NRate
	Trips    []unit.NRate
	Return   float64 // $ per hectare, the mean
	Free     Unheld  // what it would get if nothing were scarce
	Held     []int   // the limits in the way of that; none where it gets it
	RateHeld []int   // the limits in the way of the rate that pays best of its strategy
	Outcome  Outcome // of the choice, after Follow
}

// more is how much more of a limit is tried.
func (l Limit) more() float64 {
	if l.More > 0 {
		return l.More
	}
	return 1
}

// Worth is what More of a limit would bring, found by solving again with it.
type Worth struct {
	Limit   int
	Dollars float64
	// Low and High enclose it for certain; Known is false where they leave too much open.
	Low, High float64
	Known     bool
	// OnField says that the field of the limit alone was chosen again.
	OnField bool
	// Free is how much of the limit is left over.
	Free float64
}

// Choose gives every zone one strategy at one rate, or nothing, so that the sum of the
// mean returns is the largest that the limits allow, within a proven gap.
func (r *Result) Choose(o allot.Options) (Choice, error) {
	p, zones, err := r.problem()
	if err != nil {
		return Choice{}, err
	}
	if len(zones) == 0 {
		return Choice{}, errors.New("no zone has returns, so nothing can be weighed; give response curves with their practice, and prices")
	}
	res, err := p.Solve(o)
	if err != nil {
		return Choice{}, err
	}
	c := Choice{Zones: make([]Chosen, len(r.Input.Zones)), Value: res.Value, Bound: res.Bound, Gap: res.Gap, Proven: res.Proven, Used: res.Used, Notes: res.Notes}
	for i := range c.Zones {
		c.Zones[i].Strategy = -1
	}
	for g, i := range zones {
		l := r.options[i][res.Choice[g]]
		c.Zones[i] = Chosen{In: true, Strategy: l.strategy, Rate: unit.KgNPerHa(l.rate), Return: l.ret}
		if l.strategy >= 0 {
			trips, _ := r.Input.Strategies[l.strategy].tripRates(l.rate, nil)
			for _, n := range trips {
				c.Zones[i].Trips = append(c.Zones[i].Trips, unit.KgNPerHa(n))
			}
		}
	}
	r.held(&c)
	if n := len(r.Input.Zones) - len(zones); n > 0 {
		words := "1 zone without returns is left out of the choice and takes nothing of the limits"
		if n > 1 {
			words = fmt.Sprintf("%d zones without returns are left out of the choice and take nothing of the limits", n)
		}
		c.Notes = append(c.Notes, words)
	}
	if c.Worth, err = r.worths(p, res, o); err != nil {
		return Choice{}, err
	}
	if slices.ContainsFunc(c.Worth, func(w Worth) bool { return w.OnField }) {
		c.Notes = append(c.Notes, fmt.Sprintf("with %d limits, what more of a field's own would be worth is found by choosing again on that field, to which the others give way: all fields together may gain more by it, up to the upper end in plan.json", len(c.Worth)))
	}
	return c, nil
}

// worths solves again with some more of each limit. All together may take the work of one
// choice: with many limits each is searched less, and its proof is a little wider.
func (r *Result) worths(p *allot.Problem, first allot.Result, o allot.Options) ([]Worth, error) {
	n := len(r.Input.Limits)
	o.Steps = max(1, o.Steps/max(1, n))
	list, errs := make([]Worth, n), make([]error, n)
	parallel.Each(n, r.Input.Workers, func(k int) { list[k], errs[k] = r.worth(p, k, first, o) })
	return list, errors.Join(errs...)
}

// worth solves again with some more of a limit.
func (r *Result) worth(p *allot.Problem, k int, first allot.Result, o allot.Options) (Worth, error) {
	w := Worth{Limit: k, Free: r.Input.Limits[k].Amount - first.Used[k]}
	more, err := p.Worth(first, k, r.Input.Limits[k].more(), o)
	// The choice already made stays open, so that below zero there is rounding alone.
	w.Dollars, w.Low, w.High, w.Known, w.OnField = max(0, more.Dollars), max(0, more.Low), max(0, more.High), more.Known, more.OnField
	return w, err
}

// problem states the choice.
func (r *Result) problem() (*allot.Problem, []int, error) {
	in := &r.Input
	var limits []allot.Limit
	for _, l := range in.Limits {
		limits = append(limits, allot.Limit{Name: l.Name, Unit: l.Unit, Amount: l.Amount})
	}
	p, err := allot.New(limits)
	if err != nil {
		return nil, nil, err
	}
	var zones []int
	for i := range in.Zones {
		if len(r.options[i]) == 0 {
			continue
		}
		z := &in.Zones[i]
		zones = append(zones, i)
		p.AddGroup("zone " + z.ID + " of " + z.Field)
		for _, l := range r.options[i] {
			if err := p.AddOption(l.ret*z.AreaHa, in.uses(z, l)...); err != nil {
				return nil, nil, err
			}
		}
	}
	return p, zones, nil
}

// uses are what a level takes of the limits on a zone.
func (in *Input) uses(z *Zone, l level) []allot.Use {
	if l.strategy < 0 {
		return nil
	}
	s := &in.Strategies[l.strategy]
	trips, _ := s.tripRates(l.rate, nil)
	var uses []allot.Use
	for i, n := range trips {
		if n == 0 {
			continue
		}
		for _, u := range s.Trips[i].Uses {
			if f := in.Limits[u.Limit].Field; f == "" || f == z.Field {
				uses = append(uses, allot.Use{Limit: u.Limit, Amount: z.AreaHa * (n*u.PerKgN + u.PerHa)})
			}
		}
	}
	for k, lim := range in.Limits {
		if lim.PerKgN > 0 && (lim.Field == "" || lim.Field == z.Field) {
			uses = append(uses, allot.Use{Limit: k, Amount: z.AreaHa * l.rate * lim.PerKgN})
		}
	}
	return uses
}
