package plan

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/loss"
)

// MostLevels is how many steps of a season's rate are looked at.
const MostLevels = 200

// check refuses what cannot be compared.
func (in *Input) check() error {
	switch {
	case len(in.Zones) == 0:
		return errors.New("there is no zone to plan for")
	case len(in.Strategies) == 0:
		return errors.New("there is no strategy to compare; list some under `strategies:`")
	case in.By.IsZero():
		return errors.New("nothing says by which day nitrogen must still be there")
	case !(in.Step > 0) || !(in.Most >= in.Step) || float64(in.Most/in.Step) > MostLevels:
		return fmt.Errorf("rates from 0 to %.4g lb N/ac (%.4g kg N/ha) in steps of %.3g lb N/ac (%.3g kg N/ha) are no ladder of at most %d; give a wider step", in.Most.LbNPerAcre(), in.Most.KgNPerHa(), in.Step.LbNPerAcre(), in.Step.KgNPerHa(), MostLevels)
	}
	for i := range in.Stations {
		if err := in.Stations[i].check(); err != nil {
			return err
		}
	}
	for i := range in.Zones {
		z := &in.Zones[i]
		if z.Station < 0 || z.Station >= len(in.Stations) {
			return fmt.Errorf("zone %s has no weather", z.ID)
		}
		if !(z.AreaHa > 0) || math.IsInf(z.AreaHa, 0) {
			return fmt.Errorf("zone %s has an area of %g ha", z.ID, z.AreaHa)
		}
	}
	seen := map[string]bool{}
	for i := range in.Strategies {
		s := &in.Strategies[i]
		if seen[s.Name] {
			return fmt.Errorf("two strategies are called %s; give each its own name", s.Name)
		}
		seen[s.Name] = true
		if err := s.check(in); err != nil {
			return fmt.Errorf("strategy %s: %w", s.Name, err)
		}
	}
	return nil
}

func (s *Station) check() error {
	if len(s.Years) == 0 {
		return fmt.Errorf("the record of %s has no year that can be used", s.Name)
	}
	first := s.Years[0].Days
	for i := range s.Years {
		days := s.Years[i].Days
		if len(days) == 0 || len(days) != len(first) || !days[0].Date.Equal(first[0].Date) {
			return fmt.Errorf("the years of the record of %s do not stand over the same days", s.Name)
		}
	}
	return nil
}

func (s *Strategy) check(in *Input) error {
	if len(s.Trips) == 0 {
		return errors.New("it has no application")
	}
	shares := 0.0
	for i := range s.Trips {
		t := &s.Trips[i]
		if t.Share < 0 || t.Share > 1 || math.IsNaN(t.Share) {
			return fmt.Errorf("application %s: a share of %g %% is none", t.Name, 100*t.Share)
		}
		if t.Rate < 0 || math.IsNaN(float64(t.Rate)) || math.IsInf(float64(t.Rate), 0) {
			return fmt.Errorf("application %s: a rate of %g lb N/ac (%g kg N/ha) is none", t.Name, t.Rate.LbNPerAcre(), t.Rate.KgNPerHa())
		}
		if t.Share > 0 && t.Rate > 0 {
			return fmt.Errorf("application %s has both a rate and a share; keep one", t.Name)
		}
		if t.Date.After(in.By) {
			return fmt.Errorf("application %s is on %s, after %s, by which its nitrogen should be there", t.Name, t.Date.Format("2006-01-02"), in.By.Format("2006-01-02"))
		}
		for _, c := range []float64{t.NPrice.PerKg(), t.PerHa, t.PerHaInhibitor, t.PerKgInhibitor} {
			if !(c >= 0) || math.IsInf(c, 0) {
				return fmt.Errorf("application %s: a cost of %g is none", t.Name, c)
			}
		}
		for _, u := range t.Uses {
			if u.Limit < 0 || u.Limit >= len(in.Limits) || !(u.PerKgN >= 0) || !(u.PerHa >= 0) {
				return fmt.Errorf("application %s takes of a limit that there is not", t.Name)
			}
		}
		shares += t.Share
	}
	if shares > 1+1e-9 {
		return fmt.Errorf("its shares come to %.4g %%, more than all there is", 100*shares)
	}
	if shares > 0 && shares < 1-1e-9 {
		return fmt.Errorf("its shares come to %.4g %%; what of the rest? Shares count what fixed rates leave, and make 100 %% together", 100*shares)
	}
	return nil
}

// applications lists the distinct ones of all strategies and practices, without their
// rates, and where each is found.
func (in *Input) applications() (list []loss.Application, trips [][]int, practice []int) {
	find := func(a loss.Application) int {
		for i, have := range list {
			if sameApplication(have, a) {
				return i
			}
		}
		list = append(list, a)
		return len(list) - 1
	}
	for i := range in.Strategies {
		var at []int
		for k := range in.Strategies[i].Trips {
			at = append(at, find(in.Strategies[i].Trips[k].Application))
		}
		trips = append(trips, at)
	}
	practice = make([]int, len(in.Zones))
	var last *loss.Application
	for i := range in.Zones {
		p := in.Zones[i].Practice
		switch {
		case p == nil:
			practice[i] = -1
		case p == last:
			practice[i] = practice[i-1]
		default:
			practice[i] = find(*p)
		}
		last = p
	}
	return list, trips, practice
}

// Same tells whether two trips do, cost and take the same.
func (t Trip) Same(o Trip) bool {
	return t.Name == o.Name && sameApplication(t.Application, o.Application) && t.Rate == o.Rate && t.Share == o.Share && t.NPrice == o.NPrice &&
		t.PerHa == o.PerHa && t.PerHaInhibitor == o.PerHaInhibitor && t.PerKgInhibitor == o.PerKgInhibitor && slices.Equal(t.Uses, o.Uses)
}

func sameApplication(a, b loss.Application) bool {
	t := (a.Tillage == nil) == (b.Tillage == nil)
	if t && a.Tillage != nil {
		t = a.Tillage.Date.Equal(b.Tillage.Date) && a.Tillage.Depth == b.Tillage.Depth
	}
	return t && a.Placement == b.Placement && a.Depth == b.Depth && a.Date.Equal(b.Date) && a.Inhibitor == b.Inhibitor &&
		a.Source.Name == b.Source.Name && a.Source.PercentN == b.Source.PercentN && a.Source.UreaN == b.Source.UreaN &&
		a.Source.AmmoniumN == b.Source.AmmoniumN && a.Source.NitrateN == b.Source.NitrateN && a.Source.Ammonia == b.Source.Ammonia &&
		a.Source.HasDensity == b.Source.HasDensity && a.Source.Density == b.Source.Density // a solution of urea has no grains to melt
}

// levels are the season's rates to be looked at for a strategy on a zone, kg/ha,
// rising; at is the index of the one to compare at, -1 where that is still to be found.
func (in *Input) levels(s *Strategy, z *Zone) (rates []float64, at int) {
	if !s.shares() {
		return []float64{s.fixed()}, 0
	}
	most := in.Most.KgNPerHa()
	if z.Most != nil {
		most = min(most, z.Most.KgNPerHa())
	}
	step, fixed := in.Step.KgNPerHa(), s.fixed()
	for k := 0; float64(k)*step <= most*(1+1e-12); k++ {
		if r := float64(k) * step; r >= fixed {
			rates = append(rates, r)
		}
	}
	at = -1
	target := unit.NRate(-1)
	if z.Target != nil {
		target = *z.Target
	}
	if len(rates) == 0 {
		return []float64{fixed}, 0
	}
	if target < 0 {
		return rates, -1
	}
	want := max(target.KgNPerHa(), fixed)
	for i, r := range rates {
		if math.Abs(r-want) < 1e-9 {
			return rates, i
		}
		if r > want {
			return append(rates[:i:i], append([]float64{want}, rates[i:]...)...), i
		}
	}
	return append(rates, want), len(rates)
}
