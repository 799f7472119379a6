package course

import (
	"slices"
	"time"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/nitrogen/water"
	"ratewright/rx/weather"
)

// Follow reckons the course of an application. Errors are in words: what the input
// lacks, and what packages loss and water refuse.
func Follow(in Input) (Result, error) {
	if err := in.check(); err != nil {
		return Result{}, err
	}
	r := Result{First: midnight(in.Application.Date), Last: midnight(in.Until)}
	f := follower{in: &in}
	f.field = in.field()
	for i := range in.Years {
		r.Years = append(r.Years, in.Years[i].Year)
	}
	years, err := f.spread(in.Years)
	if err != nil {
		return Result{}, err
	}
	var actual []Spread
	if in.Actual != nil {
		if actual, err = f.spread([]weather.Scenario{*in.Actual}); err != nil {
			return Result{}, err
		}
	}
	for i, z := range append(slices.Clone(in.Zones), f.field) {
		c := ZoneCourse{Zone: z, Years: years[i]}
		if actual != nil {
			a := actual[i]
			a.Worst, a.WorstOf = nil, nil
			c.Actual = &a
		}
		if i == len(in.Zones) {
			r.Field = c
		} else {
			r.Zones = append(r.Zones, c)
		}
	}
	r.Notes = f.notes
	return r, nil
}

// follower reckons one input.
type follower struct {
	in    *Input
	field Zone
	shape loss.Shape
	notes []string
}

// field is the whole field as a zone: its rate is the mean by area.
func (in *Input) field() Zone {
	var w Zone
	n := 0.0
	for _, z := range in.Zones {
		w.Area += z.Area
		n += z.Area.Hectares() * z.Rate.KgNPerHa()
	}
	w.Rate = unit.KgNPerHa(n / w.Area.Hectares())
	return w
}

// spread reckons the courses of all zones, and of the field behind them, under one or
// several weathers.
func (f *follower) spread(list []weather.Scenario) ([]Spread, error) {
	t, err := f.three(list)
	if err != nil {
		return nil, err
	}
	if f.in.Draws > 0 {
		if err := f.draws(list, t); err != nil {
			return nil, err
		}
	}
	out := make([]Spread, len(t))
	for i := range t {
		out[i] = t[i].finish(list, f.in.Draws)
	}
	return out, nil
}

// each makes the balances of all zones under a weather day by day, and tells them with
// the day from 0. The zones of one soil share a shape.
func (f *follower) each(days []water.Day, l *loss.Coefficients, w water.Coefficients, tell func(zone, day int, b *loss.Balance)) error {
	done := make([]bool, len(f.in.Zones))
	for first := range f.in.Zones {
		if done[first] || f.in.Zones[first].Rate == 0 {
			continue
		}
		soil := f.in.Zones[first].Soil
		season, err := water.Run(soil, f.in.Latitude, days, w)
		if err != nil {
			return err
		}
		if err := f.shape.Prepare(f.in.Application, &season, f.in.Until, l); err != nil {
			return err
		}
		f.note(f.shape.Notes)
		for i := first; i < len(f.in.Zones); i++ {
			z := &f.in.Zones[i]
			if done[i] || z.Soil != soil || z.Rate == 0 {
				continue
			}
			done[i] = true
			for day := range f.shape.Days() {
				b, err := f.shape.At(z.Site, z.Rate, day+1)
				if err != nil {
					return err
				}
				tell(i, day, &b)
			}
		}
	}
	return nil
}

func (f *follower) note(list []string) {
	for _, n := range list {
		if !slices.Contains(f.notes, n) {
			f.notes = append(f.notes, n)
		}
	}
}

func weatherDays(s *weather.Scenario) []water.Day {
	out := make([]water.Day, len(s.Days))
	for i, d := range s.Days {
		out[i] = water.Day{Date: d.Date, MaxC: d.MaxC, MinC: d.MinC, SoilC: d.SoilC, RainMM: d.RainMM}
	}
	return out
}

func midnight(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}
