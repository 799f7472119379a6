package job

import (
	"fmt"
	"math"
	"slices"
	"time"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx/nitrogen/growth"
	"ratewright/rx/plan"
)

// stationKey is a record over a season at a latitude, in tenths of a degree.
type stationKey struct {
	weather     string // how it is read
	latitude    float64
	first, last time.Time
}

// weather reads the record of a field, once for all that share the file.
func (p *planner) weather(o *opener, j Job, g Ground, first time.Time) error {
	by, err := time.Parse(time.DateOnly, j.Plan.By)
	if err == nil {
		if err := j.beforeEnd(by); err != nil {
			return err
		}
	}
	last := by
	if err != nil { // a stage: far enough for any
		planted, err := time.Parse(time.DateOnly, j.Crop.Planted)
		if err != nil {
			return err
		}
		last = planted.AddDate(0, 0, 120)
	}
	// Fields side by side share a record, and with it the courses on each soil.
	key := stationKey{fmt.Sprintf("%q", *j.Weather), math.Round(10*g.Field.Plane.Origin().Lat()) / 10, first, last}
	at, ok := p.stations[key]
	if !ok {
		read := &opener{}
		s, moved, err := read.station(j, key.latitude, first, last)
		if err != nil {
			return err
		}
		at = len(p.in.Stations)
		p.in.Stations, p.moved, p.heard = append(p.in.Stations, s), append(p.moved, moved), append(p.heard, read.notes)
	}
	o.notes = append(o.notes, p.heard[at]...)
	if by.IsZero() {
		if by, err = j.stageDay(&p.in.Stations[at]); err != nil {
			return err
		}
		if err := j.beforeEnd(by); err != nil {
			return err
		}
		o.notes = append(o.notes, fmt.Sprintf("%s is reached on %s in the middle year of the record", j.Plan.By, by.Format(time.DateOnly)))
	}
	if p.in.By.IsZero() {
		p.in.By = by
	} else if !p.in.By.Equal(by) {
		return &vector.InputError{File: j.Path, Place: fmt.Sprintf("line %d", j.Plan.line), What: fmt.Sprintf("its plan looks at %s, that of the first job at %s", by.Format(time.DateOnly), p.in.By.Format(time.DateOnly)), Fix: "fields that are planned together look at one day; write a date under plan: until"}
	}
	p.station, p.stations[key] = at, at
	return nil
}

// planted is when the crop of the job is planted, where it says so.
func (j Job) planted() (time.Time, bool) {
	if j.Crop == nil {
		return time.Time{}, false
	}
	planted, err := time.Parse(time.DateOnly, j.Crop.Planted)
	return planted, err == nil
}

// stageDay is the day on which the plan's stage is reached by all models, in the
// middle year of a record.
func (j Job) stageDay(s *plan.Station) (time.Time, error) {
	var stage growth.Stage
	fmt.Sscanf(j.Plan.By, "V%g", (*float64)(&stage))
	planted, err := time.Parse(time.DateOnly, j.Crop.Planted)
	if err != nil {
		return planted, err
	}
	var days []time.Time
	for i := range s.Years {
		sum := 0.0
		for _, d := range s.Years[i].Days {
			if d.Date.Before(planted) {
				continue
			}
			f, err := growth.Method{}.Day(d.MaxC, d.MinC)
			if err != nil {
				return planted, err
			}
			sum += f
			at, err := growth.Stages(sum, growth.FromPlanting, j.Crop.Models)
			if err != nil {
				return planted, err
			}
			if at.Low >= stage {
				days = append(days, d.Date)
				break
			}
		}
	}
	if len(days) <= len(s.Years)/2 {
		return planted, &vector.InputError{File: j.Weather.File, What: fmt.Sprintf("%s is not reached within 120 days of planting in most years", j.Plan.By), Fix: "write a date under plan: until"}
	}
	slices.SortFunc(days, time.Time.Compare)
	return days[len(days)/2], nil
}

// mostMoved is how many zones are worked out twice to tell what the time of observation
// changes.
const mostMoved = 200

// readingTime says what it would change if the readings of a record, which does not say
// when they were taken, are of the day before.
func (p *planner) readingTime(r *plan.Result) (string, error) {
	if len(p.in.Zones) > mostMoved || slices.Contains(p.moved, nil) {
		return "", nil
	}
	in := p.in
	in.Stations = nil
	for _, s := range p.moved {
		in.Stations = append(in.Stations, *s)
	}
	other, err := plan.Compare(in)
	if err != nil {
		return "", err
	}
	most := 0.0
	fields, moved := r.Fields(), other.Fields()
	same := true
	for i := range fields {
		same = same && fields[i].Best == moved[i].Best
		for s := range fields[i].Totals {
			most = max(most, math.Abs(fields[i].Totals[s].Left-moved[i].Totals[s].Left))
		}
	}
	text := fmt.Sprintf("if the weather was read in the morning, so that maximum and rain are of the day before, what remains in the soil changes by at most %s", p.first.Units.NRate(unit.KgNPerHa(most)))
	if !same {
		text += ", and another strategy returns the most"
	}
	return text, nil
}
