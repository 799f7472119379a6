package job

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"ratewright/geo/vector"
	"ratewright/rx/course"
	"ratewright/rx/nitrogen/growth"
	"ratewright/rx/nitrogen/guard"
	"ratewright/rx/soil"
	"ratewright/rx/weather"
)

// soilTexture are the columns in which a soil survey tells the texture.
var soilTexture = []string{soil.ColumnGroup, soil.ColumnTexture}

// record is the weather of a job.
type record struct{ series weather.Series }

func (j Job) readRecord(o *opener) (record, error) {
	series, err := j.Weather.read()
	if err != nil {
		return record{}, err
	}
	for _, n := range series.Notes {
		o.note(j.Weather.File, n)
	}
	return record{series}, nil
}

// seasonWeather is the weather around an application.
type seasonWeather struct {
	years  []weather.Scenario
	actual *weather.Scenario // of the application's own year, nil where it is not whole
	soil   weather.Soil
	rain   []float64 // of the coming days, as far as the record has them, mm
}

// rainAhead is how many days of rain are looked for.
const rainAhead = 14

// season cuts the record into years from some weeks before an application, or from
// planting if that is earlier, to the end of its course.
func (r record) season(o *opener, j Job, on, until time.Time) (seasonWeather, error) {
	from := on.AddDate(0, 0, -runUp)
	if j.Crop != nil {
		for _, text := range []string{j.Crop.Planted, j.Crop.Emerged} {
			if day, err := time.Parse(time.DateOnly, text); err == nil && day.Before(from) {
				from = day
			}
		}
	}
	rules := weather.DefaultRules()
	all, err := r.series.Scenarios(from, until, rules, j.Weather.actual(r.series))
	if err != nil {
		var input *vector.InputError
		if errors.As(err, &input) {
			return seasonWeather{}, err
		}
		return seasonWeather{}, &vector.InputError{File: j.Weather.File, What: err.Error(), Fix: "give a record of daily weather that covers the season, and end the course within two years"}
	}
	for _, n := range all.Notes {
		o.note(j.Weather.File, n)
	}
	if n := j.Weather.before(from); n != "" {
		o.note(j.Weather.File, n)
	}
	w := seasonWeather{years: all.List, soil: rules.Soil}
	for i := range all.List {
		days := all.List[i].Days
		for _, n := range all.List[i].Notes {
			o.note(j.Weather.File, n)
		}
		if sameDay(days[len(days)-1].Record, until) {
			w.actual = &all.List[i]
		}
	}
	if w.actual == nil && all.List[0].Observed == 0 {
		o.note(j.Weather.File, fmt.Sprintf("the weather of the course's own year, %s to %s, is not known in full (%s), so that its losses are told for the years of the record alone",
			from.Format(time.DateOnly), until.Format(time.DateOnly), r.why(all, until)))
	}
	for _, d := range r.series.Between(on, on.AddDate(0, 0, rainAhead-1)) {
		if !sameDay(d.Date, on.AddDate(0, 0, len(w.rain))) || !d.RainMM.Known {
			break
		}
		w.rain = append(w.rain, d.RainMM.Value)
	}
	return w, nil
}

// why says why there is no weather of a year.
func (r record) why(all weather.Scenarios, until time.Time) string {
	for _, l := range all.LeftOut {
		if l.Year == until.Year() {
			return l.Why
		}
	}
	return fmt.Sprintf("the record reaches from %s to %s", r.series.Days[0].Date.Format(time.DateOnly), r.series.Days[len(r.series.Days)-1].Date.Format(time.DateOnly))
}

func sameDay(a, b time.Time) bool { return a.Format(time.DateOnly) == b.Format(time.DateOnly) }

// seen are the weathers by which an application is judged: that of its own year, else
// all of the record.
func (w seasonWeather) seen() []weather.Scenario {
	if w.actual != nil {
		return []weather.Scenario{*w.actual}
	}
	return w.years
}

// soilOn is the temperature of the soil on a day with its standard error: of the
// estimate, and of the years where there are several.
func (w seasonWeather) soilOn(on time.Time) (meanC, errorC float64, ok bool) {
	var values []float64
	estimated := false
	for _, s := range w.seen() {
		for _, d := range s.Days {
			if sameDay(d.Date, on) {
				values = append(values, d.SoilC)
				estimated = estimated || !d.Measured
			}
		}
	}
	if len(values) == 0 {
		return 0, 0, false
	}
	variance := 0.0
	for _, v := range values {
		meanC += v / float64(len(values))
	}
	for _, v := range values {
		variance += (v - meanC) * (v - meanC) / float64(max(1, len(values)-1))
	}
	if estimated {
		variance += w.soil.ErrorC * w.soil.ErrorC
	}
	return meanC, math.Sqrt(variance), true
}

// stageOn is how far the crop may be on a day; nil before it grows.
func (w seasonWeather) stageOn(c *CropSpec, on time.Time) (*guard.Stages, error) {
	if c == nil {
		return nil, nil
	}
	since, from := growth.FromPlanting, c.Planted
	day := on.Format(time.DateOnly)
	switch {
	case c.Emerged == "":
	case c.Emerged <= day:
		since, from = growth.FromEmergence, c.Emerged
	case c.Planted <= day: // sown, and known not to be up
		return &guard.Stages{Low: growth.NotEmerged(), High: growth.NotEmerged()}, nil
	}
	begin, err := time.Parse(time.DateOnly, from)
	if err != nil || on.Before(begin) {
		return nil, err
	}
	var out *guard.Stages
	for _, s := range w.seen() {
		days := make([]growth.Day, len(s.Days))
		for i, d := range s.Days {
			days[i] = growth.Day{Date: d.Date, MaxC: d.MaxC, MinC: d.MinC, Known: true}
		}
		sum, err := growth.DegreeDays(days, begin, on, growth.Method{}, fillDays)
		if err != nil {
			return nil, err
		}
		at, err := growth.Stages(sum.F, since, c.Models)
		if err != nil {
			return nil, err
		}
		if out == nil {
			out = &guard.Stages{Low: at.Low, High: at.High}
		}
		out.Low, out.High = min(out.Low, at.Low), max(out.High, at.High)
	}
	return out, nil
}

// warnings asks the guards about each zone. The care that ammonia asks for stands among
// the cautions.
func (f *follow) warnings(a ApplicationSpec, in course.Input, w seasonWeather, grounds []zoneGround) (zoneWarnings, error) {
	s := guard.Situation{
		Source: in.Application.Source, Inhibitor: guard.Inhibitor(in.Application.Inhibitor.String()),
		Depth: a.Depth, Date: in.Application.Date, RainMM: w.rain,
	}
	s.Placement, _ = guard.PlacementNamed(a.Placement)
	workedIn(&s, in.Application.Tillage)
	a.Care.tell(&s)
	if f.j.Crop != nil {
		var err error
		if s.Planting, err = time.Parse(time.DateOnly, f.j.Crop.Planted); err != nil {
			return zoneWarnings{}, err
		}
	}
	if c, e, ok := w.soilOn(s.Date); ok {
		s.SoilC, s.SoilErrorC = &c, e
	}
	var err error
	if s.Stage, err = w.stageOn(f.j.Crop, s.Date); err != nil {
		return zoneWarnings{}, err
	}
	var out zoneWarnings
	for _, g := range grounds {
		s.N, s.Texture, s.Residue = g.Rate, g.texture, g.cover
		list, err := guard.Check(s, guard.DefaultOptions(), f.j.Units)
		if err != nil {
			return out, fmt.Errorf("zone %s: %w", g.ID, err)
		}
		list = slices.DeleteFunc(list, func(w guard.Warning) bool { return w.Key == guard.AmmoniaCare })
		out.ids, out.list = append(out.ids, g.ID), append(out.list, list)
	}
	return out, nil
}
