package plan

import (
	"fmt"
	"slices"

	"ratewright/geo/parallel"
	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/nitrogen/water"
	"ratewright/rx/weather"
)

// perPart is how many zones are worked on at a time: their years must fit in memory,
// and the courses of a soil are made anew for each part.
const perPart = 128

// Compare works out what comes of every strategy on every zone. Errors are in words:
// what the input lacks, and what package loss refuses.
func Compare(in Input) (Result, error) {
	if err := in.check(); err != nil {
		return Result{}, err
	}
	r := Result{Input: in, Outcomes: make([][]Outcome, len(in.Zones)), options: make([][]level, len(in.Zones))}
	w := work{in: &r.Input, days: make([][][]water.Day, len(in.Stations))}
	w.list, w.trips, w.practice = in.applications()
	for i := range in.Stations {
		for k := range in.Stations[i].Years {
			w.days[i] = append(w.days[i], days(in.Stations[i].Years[k].Days))
		}
	}
	parts := w.parts()
	notes, errs := make([][]string, len(parts)), make([]error, len(parts))
	parallel.EachBy(len(parts), in.Workers, func() func(int) {
		c := &courses{work: &w, shapes: make([]loss.Shape, len(w.list))}
		return func(i int) { notes[i], errs[i] = c.part(parts[i], &r) }
	})
	for i := range parts {
		if errs[i] != nil {
			return Result{}, errs[i]
		}
		for _, n := range notes[i] {
			if !slices.Contains(r.Notes, n) {
				r.Notes = append(r.Notes, n)
			}
		}
	}
	r.Notes = append(r.Notes, in.missing()...)
	return r, nil
}

// missing tells of what the money lacks.
func (in *Input) missing() []string {
	var without, silent []string
	several := slices.ContainsFunc(in.Zones, func(z Zone) bool { return z.Field != in.Zones[0].Field })
	for i := range in.Zones {
		z := &in.Zones[i]
		name := z.ID
		if several {
			name = z.Field + " " + z.ID
		}
		switch {
		case z.Curve == nil:
			without = append(without, name)
		case z.Practice == nil:
			silent = append(silent, name)
		}
	}
	var notes []string
	for i := range in.Strategies {
		if s := &in.Strategies[i]; s.fixed() > in.Most.KgNPerHa()*(1+1e-12) {
			notes = append(notes, fmt.Sprintf("the fixed rates of %s together lie above the highest season's rate that is looked at; correct one of the two where that is not meant", s.Name))
		}
	}
	if len(without) > 0 {
		notes = append(notes, fmt.Sprintf("without a response curve there are no yields and no returns, and where the job has no target either strategies are compared at the highest rate looked at: %s", listed(without)))
	}
	if len(silent) > 0 {
		notes = append(notes, fmt.Sprintf("the response curve does not say how its trial put the nitrogen down, so that no yield can be read from it for another way: %s; name form, placement and date of the trial", listed(silent)))
	}
	if in.Grain <= 0 {
		notes = append(notes, "without a price of corn there are no returns")
	}
	return notes
}

func listed(ids []string) string {
	ids = slices.Compact(slices.Sorted(slices.Values(ids)))
	const show = 8
	word := "zones "
	if len(ids) == 1 {
		word = "zone "
	}
	text := word
	for i, id := range ids[:min(show, len(ids))] {
		if i > 0 {
			text += ", "
		}
		text += id
	}
	if len(ids) > show {
		text += fmt.Sprintf(" and %d more", len(ids)-show)
	}
	return text
}

// work is what the parts of a comparison share.
type work struct {
	in       *Input
	list     []loss.Application // distinct ones
	trips    [][]int            // by strategy and trip: index into list
	practice []int              // by zone: index into list, or -1
	days     [][][]water.Day    // by station and year
}

// part is zones of one soil under one station.
type part struct {
	soil    water.Soil
	station int
	zones   []int
}

// parts gathers zones by soil and station, in the order in which these come first.
func (w *work) parts() []part {
	type key struct {
		soil    water.Soil
		station int
	}
	var list []part
	open := map[key]int{}
	for i := range w.in.Zones {
		z := &w.in.Zones[i]
		k := key{z.Soil, z.Station}
		at, ok := open[k]
		if !ok || len(list[at].zones) == perPart {
			at = len(list)
			open[k] = at
			list = append(list, part{soil: z.Soil, station: z.Station})
		}
		list[at].zones = append(list[at].zones, i)
	}
	return list
}

// courses are the shapes of all applications on one soil in one year, used again for
// the next.
type courses struct {
	*work
	shapes []loss.Shape
	notes  []string
}

// year makes the shapes of a year for a run.
func (c *courses) year(p part, year int, lc *loss.Coefficients, wc water.Coefficients) error {
	station := &c.in.Stations[p.station]
	season, err := water.Run(p.soil, station.Latitude, c.days[p.station][year], wc)
	if err != nil {
		return fmt.Errorf("%s, %d: %w", station.Name, station.Years[year].Year, err)
	}
	c.note(season.Notes)
	for i := range c.shapes {
		if err := c.shapes[i].Prepare(c.list[i], &season, c.in.By, lc); err != nil {
			return fmt.Errorf("%s on %s: %w", c.list[i].Source.Label, c.list[i].Date.Format("2006-01-02"), err)
		}
		c.note(c.shapes[i].Notes)
	}
	return nil
}

func (c *courses) note(list []string) {
	for _, n := range list {
		if !slices.Contains(c.notes, n) {
			c.notes = append(c.notes, n)
		}
	}
}

// left adds up where the nitrogen of trips is on the last day. What residue takes it takes
// once a season, so that the trips divide it by their rates: nitrogen in two halves on a
// day is held as that of one trip.
func (c *courses) left(z *Zone, at []int, rates []float64) (loss.Balance, error) {
	var sum loss.Balance
	all := 0.0
	for _, n := range rates {
		all += n
	}
	site := z.Site
	for i, n := range rates {
		if n == 0 {
			continue
		}
		s := &c.shapes[at[i]]
		site.Part = n / all
		b, err := s.At(site, unit.KgNPerHa(n), s.Days())
		if err != nil {
			return sum, fmt.Errorf("zone %s: %w", z.ID, err)
		}
		add(&sum, b)
	}
	return sum, nil
}

// yield reads the curve of a zone at a season's rate of which so much is left. Kept is
// the share of the rate that the trial's own way would have left.
func (z *Zone) yield(rate, left, kept float64) float64 {
	if rate <= 0 {
		return z.Curve.Yield(0).KgPerHa()
	}
	worth := rate
	if kept > 0 {
		worth = left / kept
	}
	return z.Curve.Yield(unit.KgNPerHa(worth)).KgPerHa()
}

// kept is the share of a rate that the trial's way leaves.
func (c *courses) kept(zone int, rate float64) (float64, error) {
	if rate <= 0 {
		return 1, nil
	}
	z := &c.in.Zones[zone]
	b, err := c.left(z, c.practice[zone:zone+1], []float64{rate})
	return b.StillThere() / rate, err
}

func worstFifth(values []float64) float64 {
	v := slices.Clone(values)
	slices.Sort(v)
	v = v[:(len(v)+4)/5]
	return mean(v)
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

func days(list []weather.ScenarioDay) []water.Day {
	out := make([]water.Day, len(list))
	for i, d := range list {
		out[i] = water.Day{Date: d.Date, MaxC: d.MaxC, MinC: d.MinC, SoilC: d.SoilC, RainMM: d.RainMM}
	}
	return out
}
