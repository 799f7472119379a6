package job

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"ratewright/geo/vector"
	"ratewright/rx/allot"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/plan"
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
	heard    [][]string      // by station: the notes on its record
	// fields have their zones from these on in the input.
	fields []plannedField
}

type plannedField struct {
	job    Job
	name   string
	ground Ground
	notes  []string
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
			a, err := j.plannedTrip(t)
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
		a, err := j.plannedTrip(*t)
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
	f := plannedField{job: j, name: ground.Field.Name, ground: ground, from: len(p.in.Zones)}
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
	f.notes = unique(o.notes)
	p.fields = append(p.fields, f)
	return nil
}

// plannedTrip is a trip of a strategy, with dates that its crop allows.
func (j Job) plannedTrip(t TripSpec) (loss.Application, error) {
	a, err := j.follows(t)
	if err == nil {
		err = j.inSeason(t, a)
	}
	if err == nil {
		err = j.workedInTime(t, a)
	}
	return a, err
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

// sameAs refuses a field whose strategies, prices or supply are not those of the first.
func (p *planner) sameAs(j Job, apps [][]loss.Application) error {
	q := planner{}
	j.Units = p.first.Units // of which one more is tried
	if err := q.common(j, apps); err != nil {
		return err
	}
	differ := func(what string) error {
		return &vector.InputError{File: j.Path, Place: fmt.Sprintf("line %d", j.Plan.line), What: fmt.Sprintf("its %s are not those of %s", what, p.first.Path), Fix: "fields that are planned together share strategies, prices, limits and coefficients; make the two alike"}
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

// solve compares and chooses.
func (p *planner) solve(workers int) (plan.Result, *plan.Choice, error) {
	p.in.Workers = workers
	r, err := plan.Compare(p.in)
	if err != nil {
		return r, nil, p.first.fault(p.first.Plan.line, "plan: "+err.Error(), "correct strategies, zones or weather")
	}
	if !slices.ContainsFunc(r.Outcomes, func(o []plan.Outcome) bool { return len(o[0].Yearly) > 0 }) {
		if len(p.in.Limits) > 0 {
			p.notes = append(p.notes, "without returns nothing is chosen, and supply and work are not weighed: the figures of each strategy stand as if there were enough")
		}
		return r, nil, nil
	}
	c, err := r.Choose(allot.DefaultOptions())
	if err != nil {
		var short *allot.ShortError
		if errors.As(err, &short) {
			return r, nil, p.first.fault(p.first.Plan.line, "plan: "+err.Error(), "give more, or let shares follow the season's rate in place of fixed rates")
		}
		return r, nil, p.first.fault(p.first.Plan.line, "plan: "+err.Error(), "look for a price, a cost or a limit that is far too large")
	}
	p.untested(&c)
	return r, &c, r.Follow(&c)
}
