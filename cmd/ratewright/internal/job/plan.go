package job

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/allot"
	"ratewright/rx/nitrogen/growth"
	"ratewright/rx/nitrogen/guard"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/nitrogen/response"
	"ratewright/rx/plan"
	"ratewright/rx/rates"
)

// planner puts the input of a plan together, from one job or from several that share
// strategies and supply.
type planner struct {
	in       plan.Input
	notes    []string
	first    Job
	stations map[stationKey]int
	station  int // of the field at hand
	days     map[dayKey]dayFacts
	moved    []*plan.Station // by station: as if read in the morning; nil where that is known
	// fields have their zones from these on in the input.
	fields []plannedField
}

// stationKey is a record over a season at a latitude, in tenths of a degree.
type stationKey struct {
	weather     string // how it is read
	latitude    float64
	first, last time.Time
}

type plannedField struct {
	job    Job
	ground Ground
	from   int // of the zones in the input
	// By zone, as it tells: empty and nil where it does not.
	texture []string
	cover   []*float64
}

// canPlan says what a job lacks for a plan.
func (j Job) canPlan() error {
	lack := func(what, fix string) error {
		return &vector.InputError{File: j.Path, What: "the job has no " + what, Fix: fix}
	}
	switch {
	case len(j.Strategies) == 0:
		return lack("strategies", "list some under `strategies:`, each with its applications")
	case j.Plan == nil:
		return lack("plan", "write at least plan: {until: 2026-07-01}, the day by which it matters what is still there")
	case j.Zones == nil:
		return lack("zones", "name their file under `zones:`")
	case j.Weather == nil:
		return lack("weather", "name a record of daily weather of several years under `weather:`")
	}
	return nil
}

// add puts a field to the input.
func (p *planner) add(j Job) error {
	if err := j.canPlan(); err != nil {
		return err
	}
	ground, err := j.Open()
	if err != nil {
		return err
	}
	for _, f := range p.fields {
		if f.ground.Field.Name == ground.Field.Name {
			return &vector.InputError{File: j.Path, What: fmt.Sprintf("its field is called %s, as that of %s", ground.Field.Name, f.job.Path), Fix: "give each field of a plan a name of its own"}
		}
	}
	o := &opener{notes: ground.Notes}
	var apps [][]loss.Application
	first := time.Time{}
	for _, s := range j.Strategies {
		var list []loss.Application
		for _, t := range s.Trips {
			a, err := j.follows(t)
			if err == nil {
				err = j.inSeason(t, a)
			}
			if err != nil {
				return err
			}
			if first.IsZero() || a.Date.Before(first) {
				first = a.Date
			}
			list = append(list, a)
		}
		apps = append(apps, list)
	}
	if t := j.Plan.Practice; t != nil {
		a, err := j.follows(*t)
		if err == nil {
			err = j.inSeason(*t, a)
		}
		if err != nil {
			return err
		}
		if a.Date.Before(first) {
			first = a.Date
		}
	}
	if planted, ok := j.planted(); ok && planted.Before(first) {
		first = planted // the crop and its water are followed from there
	}
	if len(p.fields) == 0 {
		p.first, p.stations, p.days = j, map[stationKey]int{}, map[dayKey]dayFacts{}
		if err := p.common(j, apps); err != nil {
			return err
		}
	} else if err := p.sameAs(j, apps); err != nil {
		return err
	}
	if err := p.weather(o, j, ground, first); err != nil {
		return err
	}
	f := plannedField{job: j, ground: ground, from: len(p.in.Zones)}
	if err := p.zones(o, j, &f); err != nil {
		return err
	}
	if j.Plan.FieldMost > 0 {
		p.in.Limits = append(p.in.Limits, plan.Limit{
			Name: "nitrogen on " + ground.Field.Name, Unit: "kg N", Field: ground.Field.Name, PerKgN: 1,
			// A step of the rate over the field: less may fit no zone.
			More:   j.Plan.Step.KgNPerHa() * ground.Field.Ground.Area().Hectares(),
			Amount: j.Plan.FieldMost.KgNPerHa() * ground.Field.Ground.Area().Hectares(),
		})
	}
	p.fields = append(p.fields, f)
	p.notes = append(p.notes, o.notes...)
	return nil
}

// seasonDays is how long after planting corn stands at the most (common practice).
const seasonDays = 180

// beforeDays is how long before planting nitrogen for it is put down at the most: after
// the harvest of the crop before (common practice).
const beforeDays = 270

// inSeason refuses dates that no crop allows.
func (j Job) inSeason(t TripSpec, a loss.Application) error {
	planted, ok := j.planted()
	if !ok {
		return nil
	}
	day := func(d time.Time) string { return d.Format(time.DateOnly) }
	switch before := a.Date.Before(planted); {
	case a.Date.After(planted.AddDate(0, 0, seasonDays)):
		return j.fault(t.line, fmt.Sprintf("application %s is on %s, more than %d days after planting: the crop is harvested by then", t.Name, day(a.Date), seasonDays), "correct the date, or that of planting")
	case a.Date.Before(planted.AddDate(0, 0, -beforeDays)):
		return j.fault(t.line, fmt.Sprintf("application %s is on %s, more than %d days before planting on %s: the crop before stands by then", t.Name, day(a.Date), beforeDays, day(planted)), "correct the date, or that of planting")
	case a.Tillage != nil && !a.Tillage.Date.Before(planted):
		return j.fault(t.line, fmt.Sprintf("application %s is worked in on %s, after planting on %s", t.Name, day(a.Tillage.Date), day(planted)), "correct the dates, or leave incorporate out")
	case a.Placement == loss.Incorporated && !before:
		return j.fault(t.line, fmt.Sprintf("application %s is worked into the ground on %s, after planting on %s", t.Name, day(a.Date), day(planted)), "correct the date or the placement")
	case !before && (t.Care.Season == string(guard.Spring) || t.Care.Season == string(guard.Fall)), before && t.Care.Season == string(guard.Sidedress):
		return j.fault(t.line, fmt.Sprintf("application %s is on %s, its season is %s, and planting is on %s", t.Name, day(a.Date), t.Care.Season, day(planted)), "correct one of them")
	}
	return nil
}

// common reads what all fields of a plan share from the first job.
func (p *planner) common(j Job, apps [][]loss.Application) error {
	in := &p.in
	in.Step, in.Most, in.Runs = j.Plan.Step, j.Plan.Most, plan.DefaultRuns()
	for _, name := range sortedKeys(j.Plan.Coefficients) {
		for _, c := range []*loss.Coefficients{&in.Runs.Low, &in.Runs.Mid, &in.Runs.High} {
			if err := c.Set(name, j.Plan.Coefficients[name]); err != nil {
				return j.fault(j.Plan.line, "plan: coefficients: "+err.Error(), "")
			}
		}
	}
	if planted, ok := j.planted(); ok {
		in.Runs.LowWater.Planted, in.Runs.MidWater.Planted, in.Runs.HighWater.Planted = planted, planted, planted
	}
	if note := in.Runs.Mid.Changed(); note != "" {
		p.notes = append(p.notes, note)
	}
	if j.Prices != nil {
		in.Grain = j.Prices.Grain
	} else {
		p.notes = append(p.notes, "the job has no prices: costs are those of the trips alone, without products and inhibitors, and there are no returns")
	}
	p.notes = append(p.notes, loss.Ranking)
	limits, err := j.planLimits()
	if err != nil {
		return err
	}
	in.Limits = limits
	for i, s := range j.Strategies {
		strategy := plan.Strategy{Name: s.Name}
		for k, t := range s.Trips {
			trip, err := p.trip(j, t, apps[i][k])
			if err != nil {
				return err
			}
			strategy.Trips = append(strategy.Trips, trip)
		}
		in.Strategies = append(in.Strategies, strategy)
	}
	return nil
}

// planLimits are the supplies and the times to work of a job.
func (j Job) planLimits() ([]plan.Limit, error) {
	var limits []plan.Limit
	used := map[string]bool{}
	for _, s := range j.Strategies {
		for _, t := range s.Trips {
			used[t.Source], used["work "+t.Work] = true, true
		}
	}
	for _, s := range j.Supply {
		if !used[s.Source] {
			return nil, j.fault(s.line, fmt.Sprintf("supply of %s, which no strategy uses", s.Source), "name a source as the strategies name it")
		}
		src, err := j.source(ApplicationSpec{Source: s.Source, sourceLine: s.line})
		if err != nil {
			return nil, err
		}
		l := plan.Limit{Name: src.Label, Unit: "kg", Amount: s.Mass.Kilograms(), More: unit.ShortTons(1).Kilograms()}
		if s.Mass == 0 && s.Volume > 0 {
			if !src.HasDensity {
				return nil, j.fault(s.line, fmt.Sprintf("supply of %s is by volume, and it has no density", s.Source), "give it by mass, or a density under `sources:`")
			}
			l.Amount = s.Volume.Litres() * src.Density.KgPerLitre()
		}
		limits = append(limits, l)
	}
	for _, w := range j.Work {
		if !used["work "+w.Name] {
			return nil, j.fault(w.line, fmt.Sprintf("work %s, which no strategy uses", w.Name), "name it as `work:` of an application, or leave it out")
		}
		limits = append(limits, plan.Limit{Name: w.Name, Unit: w.Unit, Amount: w.Available})
	}
	return limits, nil
}

// trip is a trip with its costs and what it takes of the limits.
func (p *planner) trip(j Job, t TripSpec, a loss.Application) (plan.Trip, error) {
	trip := plan.Trip{Name: t.Name, Application: a, Share: t.Share, PerHa: t.Cost.PerHa()}
	switch {
	case t.Rate != nil:
		trip.Rate = *t.Rate
	case t.Share == 0:
		return trip, j.fault(t.line, fmt.Sprintf("application %s has neither a rate nor a share", t.Name), "write rate: 40 lb/ac, or share: 100 %")
	}
	if j.Prices != nil {
		trip.NPrice = j.Prices.N
		if price, ok := j.Prices.Sources[t.Source]; ok {
			perKg, ok := price.PerKg(a.Source.Density, a.Source.HasDensity)
			if !ok {
				return trip, j.fault(t.line, fmt.Sprintf("the price of %s is by volume, and it has no density", t.Source), "give a price by mass, or a density under `sources:`")
			}
			trip.NPrice = unit.NPrice(perKg / (a.Source.PercentN / 100))
		}
		if a.Inhibitor != loss.NoInhibitor {
			price, ok := j.Prices.Inhibitors[a.Inhibitor.String()]
			if !ok {
				p.notes = append(p.notes, fmt.Sprintf("the inhibitor %s has no price under prices: inhibitors, and counts as free", a.Inhibitor))
			}
			trip.PerHaInhibitor, trip.PerKgInhibitor = price.PerHa.PerHa(), price.PerKg.PerKg()
		}
	}
	for i, l := range p.in.Limits {
		switch {
		case l.Unit == "kg" && l.Name == a.Source.Label:
			trip.Uses = append(trip.Uses, plan.Use{Limit: i, PerKgN: 100 / a.Source.PercentN})
		case t.Work != "" && l.Name == t.Work:
			for _, w := range j.Work {
				if w.Name == t.Work {
					trip.Uses = append(trip.Uses, plan.Use{Limit: i, PerHa: 1 / w.Rate.Hectares()})
				}
			}
		}
	}
	return trip, nil
}

// sameAs refuses a field whose strategies, prices or supply are not those of the first.
func (p *planner) sameAs(j Job, apps [][]loss.Application) error {
	q := planner{}
	if err := q.common(j, apps); err != nil {
		return err
	}
	differ := func(what string) error {
		return &vector.InputError{File: j.Path, What: fmt.Sprintf("its %s are not those of %s", what, p.first.Path), Fix: "fields that are planned together share strategies, prices, limits and coefficients; make the two alike"}
	}
	same := slices.EqualFunc(p.in.Strategies, q.in.Strategies, func(a, b plan.Strategy) bool {
		return a.Name == b.Name && slices.EqualFunc(a.Trips, b.Trips, plan.Trip.Same)
	})
	shared := slices.DeleteFunc(slices.Clone(p.in.Limits), func(l plan.Limit) bool { return l.Field != "" })
	switch {
	case p.first.Weather.Through != j.Weather.Through:
		return differ("weather of this year (weather: through)")
	case !same:
		return differ("strategies or their prices")
	case !slices.Equal(shared, q.in.Limits):
		return differ("supply and work")
	case p.in.Grain != q.in.Grain || p.in.Step != q.in.Step || p.in.Most != q.in.Most || p.in.Runs.Mid != q.in.Runs.Mid || !p.in.Runs.MidWater.Planted.Equal(q.in.Runs.MidWater.Planted):
		return differ("price of corn, rates, date of planting or coefficients")
	}
	return nil
}

// weather reads the record of a field, once for all that share the file.
func (p *planner) weather(o *opener, j Job, g Ground, first time.Time) error {
	by, err := time.Parse(time.DateOnly, j.Plan.By)
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
	if at, ok := p.stations[key]; ok {
		p.station = at
		return nil
	}
	s, moved, err := o.station(j, key.latitude, first, last)
	if err != nil {
		return err
	}
	if by.IsZero() {
		if by, err = j.stageDay(&s); err != nil {
			return err
		}
		o.notes = append(o.notes, fmt.Sprintf("%s is reached on %s in the middle year of the record", j.Plan.By, by.Format(time.DateOnly)))
	}
	if p.in.By.IsZero() {
		p.in.By = by
	} else if !p.in.By.Equal(by) {
		return &vector.InputError{File: j.Path, What: fmt.Sprintf("its plan looks at %s, that of the first job at %s", by.Format(time.DateOnly), p.in.By.Format(time.DateOnly)), Fix: "fields that are planned together look at one day; write a date under plan: until"}
	}
	p.station = len(p.in.Stations)
	p.stations[key] = p.station
	p.in.Stations = append(p.in.Stations, s)
	p.moved = append(p.moved, moved)
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

// zones puts the zones of a field to the input.
func (p *planner) zones(o *opener, j Job, f *plannedField) error {
	zones := f.ground.Zones
	g, err := j.groundsOf(zones)
	if err != nil {
		return err
	}
	o.notes = append(o.notes, g.notes...)
	f.texture, f.cover = g.texture, g.cover
	curves, err := o.curves(j, zones)
	if err != nil {
		return err
	}
	var practice *loss.Application
	if j.Plan.Practice != nil {
		a, err := j.follows(*j.Plan.Practice)
		if err != nil {
			return err
		}
		practice = &a
	}
	targets := map[string]unit.NRate{}
	if j.Target != nil {
		w, err := o.target(j, zones)
		if err != nil {
			return err
		}
		for _, z := range w.Result.Zones {
			targets[z.ID] = z.Rate
		}
	}
	for i, z := range zones {
		zone := plan.Zone{
			Field: f.ground.Field.Name, ID: z.ID, AreaHa: z.Region.Area().Hectares(),
			Soil: g.soils[i], Site: g.sites[i], Station: p.station,
		}
		if c, ok := curves[z.ID]; ok {
			zone.Curve, zone.Practice = c, practice
		}
		if n, ok := targets[z.ID]; ok {
			zone.Target = &n
		}
		p.in.Zones = append(p.in.Zones, zone)
	}
	return nil
}

// curves are the response curves of the zones.
func (o *opener) curves(j Job, zones []rx.Zone) (map[string]response.Curve, error) {
	s := j.Plan.Response
	if s == nil {
		return nil, nil
	}
	in := rates.Response{Model: s.Model, Curve: s.Curve, Curves: s.Curves, Practice: s.Practice, Otherwise: s.Otherwise, Options: response.DefaultOptions()}
	in.Options.Units = j.Units
	if s.Trial != nil {
		var err error
		if in.Trial, _, err = o.observations(s.Trial, j.Units); err != nil {
			return nil, err
		}
		in.ByZone = s.Trial.Columns["zone"] != ""
	}
	curves, notes, err := in.CurvesOf(zones)
	if err != nil {
		var input *vector.InputError
		if errors.As(err, &input) {
			return nil, err
		}
		return nil, j.fault(j.Plan.line, "plan: "+err.Error(), "see what a response curve needs in README")
	}
	o.notes = append(o.notes, notes...)
	return curves, nil
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

// untested tells of zones whose choice lies beyond the rates that their curve was tested at.
func (p *planner) untested(c *plan.Choice) {
	zones := map[string][]string{}
	for i := range c.Zones {
		z, ch := &p.in.Zones[i], &c.Zones[i]
		curve, ok := z.Curve.(response.Curve)
		if !ok || curve.Highest == 0 || ch.Strategy < 0 || ch.Rate <= curve.Highest+1e-9 {
			continue
		}
		key := p.first.Units.NRate(curve.Highest)
		name := z.ID
		if len(p.fields) > 1 {
			name = z.Field + " " + z.ID
		}
		zones[key] = append(zones[key], name)
	}
	for _, highest := range sortedKeys(zones) {
		p.notes = append(p.notes, fmt.Sprintf("the choice gives more than %s, the highest rate that the curve was tested at, so that its yield there is a guess: zones %s", highest, strings.Join(zones[highest], ", ")))
	}
}

// solve compares and chooses.
func (p *planner) solve(workers int) (plan.Result, *plan.Choice, error) {
	p.in.Workers = workers
	r, err := plan.Compare(p.in)
	if err != nil {
		return r, nil, &vector.InputError{File: p.first.Path, What: "plan: " + err.Error(), Fix: "correct strategies, zones or weather"}
	}
	if !slices.ContainsFunc(r.Outcomes, func(o []plan.Outcome) bool { return len(o[0].Yearly) > 0 }) {
		return r, nil, nil
	}
	c, err := r.Choose(allot.DefaultOptions())
	if err != nil {
		var short *allot.ShortError
		if errors.As(err, &short) {
			return r, nil, &vector.InputError{File: p.first.Path, What: err.Error(), Fix: "give more, or let shares follow the season's rate in place of fixed rates"}
		}
		return r, nil, err
	}
	p.untested(&c)
	return r, &c, r.Follow(&c)
}
