package job

import (
	"errors"
	"fmt"
	"io"

	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/cmd/ratewright/page"
	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/nitrogen/response"
	"ratewright/rx/rates"
)

// works gives an application the rates that its method works out for the zones.
func (o *opener) works(j Job, a ApplicationSpec, app *rx.Application, zones []rx.Zone) (*Worked, error) {
	if a.Rate == nil || a.Rate.Method == nil && a.Rate.Part == nil && a.Rate.Plan == "" {
		return nil, nil
	}
	var w Worked
	var err error
	switch {
	case a.Rate.Plan != "":
		w.Result, err = fromPlan(j, a, zones)
	case a.Rate.Part != nil:
		w, err = o.fromTarget(j, a, zones)
	default:
		w, err = o.work(j, a.Rate.Method, zones)
	}
	if err != nil {
		return nil, j.ofMethod(a, o.ofSurvey(err))
	}
	app.Rate = w.Result.Rule(j.Units)
	o.notes = append(o.notes, w.Result.Notes...)
	return &w, nil
}

// Worked is what a method gave for an application.
type Worked struct {
	Result          rates.Result
	rates.MeanCurve // of a mean return over trials
}

func (o *opener) work(j Job, m *MethodSpec, zones []rx.Zone) (w Worked, err error) {
	var prices response.Prices
	if p := j.priced(); p != nil {
		prices = *p
	}
	switch {
	case m.Response != nil:
		w.Result, err = o.fromResponse(m.Response, prices, zones, j.Units)
	case m.Mean != nil:
		w.Result, w.MeanCurve, err = o.fromMean(m.Mean, prices, zones, j.Units)
	case m.Budget != nil:
		w.Result, err = o.fromBudget(m, zones)
	}
	return w, err
}

func (o *opener) fromResponse(s *ResponseSpec, prices response.Prices, zones []rx.Zone, u unit.System) (rates.Result, error) {
	in := rates.Response{
		Model: s.Model, Curve: s.Curve, Curves: s.Curves, Practice: s.Practice, Prices: prices, Within: s.Within, Level: s.Level, Otherwise: s.Otherwise,
		Options: response.DefaultOptions(),
	}
	in.Options.Units = u
	if s.Trial != nil {
		var from []plotOrigin
		var err error
		if in.Trial, from, err = o.observations(s.Trial, u); err != nil {
			return rates.Result{}, err
		}
		if err := s.Trial.onField(in.Trial, from, zones); err != nil {
			return rates.Result{}, err
		}
		in.ByZone = s.Trial.Columns["zone"] != ""
	}
	return rates.FromResponse(zones, in)
}

func (o *opener) fromMean(s *MeanSpec, prices response.Prices, zones []rx.Zone, u unit.System) (rates.Result, rates.MeanCurve, error) {
	obs, from, err := o.observations(s.Trial, u)
	if err != nil {
		return rates.Result{}, rates.MeanCurve{}, err
	}
	in := rates.Mean{Model: s.Model, Practice: s.Practice, Prices: prices, Within: s.Within, Options: response.DefaultOptions()}
	in.Options.Units = u
	at := map[string]int{}
	for i, ob := range obs {
		k, seen := at[from[i].site]
		if !seen {
			k = len(in.Sites)
			at[from[i].site] = k
			in.Sites = append(in.Sites, response.Site{Name: from[i].site})
		}
		in.Sites[k].Observations = append(in.Sites[k].Observations, ob)
	}
	return rates.FromMean(zones, in)
}

// ofMethod names the job's line in an error that names no file.
func (j Job) ofMethod(a ApplicationSpec, err error) error {
	var input *vector.InputError
	if errors.As(err, &input) {
		return err
	}
	fix := "see what the method needs in README"
	var refusal *response.Refusal
	if errors.As(err, &refusal) {
		fix = "look at the trial, or take another method"
	}
	return &vector.InputError{
		File: j.Path, Place: fmt.Sprintf("line %d", a.Rate.line),
		What: fmt.Sprintf("application %s: %s", a.Name, err), Fix: fix,
	}
}

// Rated is what the step rates gives.
type Rated struct {
	Field  rx.Field
	Result rates.Result
	Mean   rates.MeanCurve // of a mean return over trials
	Zones  []rx.Zone
	Notes  []string
	Set    outputs.Set
	Inputs []string
	// Picture writes the PNG where it was asked for.
	Picture func(w io.Writer) error

	unzoned geo.Region // known where the application has a source
}

// Rates works the rates of an application out and shows the arithmetic. application
// may be empty where the job has one.
func (j Job) Rates(application string) (Rated, error) { return j.RatesAs(application, How{}) }

// RatesAs is Rates, carried out as how says.
func (j Job) RatesAs(application string, how How) (Rated, error) {
	a, err := j.application(application)
	if err != nil {
		return Rated{}, err
	}
	if err := j.canRate(a); err != nil {
		return Rated{}, err
	}
	spec := *a
	spec.Logs = nil // which say nothing of what is wanted
	sums := j.sums(j.Inputs(spec), How{}, true)
	ground, err := j.Open()
	if err != nil {
		return Rated{}, err
	}
	o := &opener{notes: ground.Notes}
	app, err := j.plan(*a)
	if err != nil {
		return Rated{}, err
	}
	w, err := o.works(j, *a, &app, ground.Zones)
	if err != nil {
		return Rated{}, err
	}
	unzoned, err := o.putDown(j, *a, app, ground, w.Result)
	if err != nil {
		return Rated{}, err
	}
	if err := o.timing(j, *a); err != nil {
		return Rated{}, err
	}
	out := Rated{Field: ground.Field, Result: w.Result, Mean: w.MeanCurve, Zones: ground.Zones, Inputs: ground.Inputs, unzoned: unzoned}
	out.Notes = unique(append(append([]string{}, ground.Field.Notes...), o.notes...))
	drawn, err := how.draw(func() (page.Sheet, error) {
		inputs, err := sums()
		return j.sheetOfRates(a, out, *w, inputs), err
	}, j.Path, j.fileName("rates.html", a), true)
	if err != nil {
		return Rated{}, err
	}
	out.Picture = drawn.picture
	out.Set = outputs.Set{Files: drawn.page, Summary: j.ratesJSON(a, out, *w, drawn.page)}
	return out, nil
}

// putDown refuses rates that prescribe refuses, and tells what the limits of the application
// make of them. It returns the ground in no zone.
func (o *opener) putDown(j Job, a ApplicationSpec, app rx.Application, g Ground, r rates.Result) (unzoned geo.Region, err error) {
	if a.Source != "" {
		p, err := rx.Prescribe(g.Field, g.Zones, app)
		if err != nil {
			return unzoned, j.placed(a, err)
		}
		notes, err := j.checkStarter(a, p)
		if err != nil {
			return unzoned, err
		}
		o.notes = append(o.notes, notes...)
		unzoned = p.Unzoned
	} else if a.Starter != nil {
		return unzoned, j.fault(a.Starter.line, fmt.Sprintf("application %s has a starter and no source", a.Name), "name the source: what may lie with the seed depends on it")
	}
	note, err := r.Limited(app, j.Units)
	if err != nil {
		return unzoned, j.placed(a, err)
	}
	if note != "" {
		o.notes = append(o.notes, note)
	}
	return unzoned, nil
}

func (j Job) canRate(a *ApplicationSpec) error {
	switch {
	case a == nil:
		return &vector.InputError{File: j.Path, What: "the job has no application", Fix: "describe one under `applications:`"}
	case a.Rate == nil || a.Rate.Method == nil && a.Rate.Part == nil && a.Rate.Plan == "":
		return j.fault(a.line, fmt.Sprintf("the rate of application %s is not worked out by a method", a.Name), "write rate: {method: response, ...}; prescribe takes rates from a column or a table")
	case j.Zones == nil:
		return &vector.InputError{File: j.Path, What: "the job has no zones", Fix: "name their file under `zones:`"}
	}
	return nil
}

// ratesJSON is the summary of the step.
func (j Job) ratesJSON(a *ApplicationSpec, r Rated, w Worked, files []outputs.File) outputs.File {
	return outputs.File{Name: j.fileName("rates.json", a), From: func(sums outputs.Sums) ([]byte, error) {
		doc := w.Result.JSON(r.Field.Name, a.Name, r.Zones, j.priced(), w.Chart)
		doc.Files, doc.Notes = sums.Of(files), r.Notes
		data, err := encodeJSON(doc)
		if err != nil {
			return nil, unwritable(j.Path, "the rates worked out", err)
		}
		return data, nil
	}}
}

func (j Job) priced() *response.Prices {
	if j.Prices == nil {
		return nil
	}
	return &response.Prices{N: j.Prices.N, Grain: j.Prices.Grain}
}

// ArithmeticTable has the terms of every zone, as with a pencil on paper.
func ArithmeticTable(u unit.System, r rates.Result) page.Table {
	t := page.Table{Title: "Arithmetic", Head: []string{"zone", "term", "source", "nitrogen"}, Units: []string{"", "", "", u.NRateUnit()}, Words: 3}
	for i, z := range r.Zones {
		id := page.Cell{Text: z.ID, Key: fmt.Sprintf("zones.%d.id", i)}
		for k, term := range z.Terms {
			key := fmt.Sprintf("zones.%d.terms.%d.", i, k)
			t.Rows = append(t.Rows, []page.Cell{id, {Text: term.What}, {Text: term.Source}, {Text: u.NRateNumber(term.N), Key: key + "n_kg_ha"}})
			id = page.Cell{}
		}
		if len(z.Terms) > 1 {
			t.Rows = append(t.Rows, []page.Cell{{}, {Text: "rate"}, {}, {Text: u.NRateNumber(z.Rate), Key: fmt.Sprintf("zones.%d.n_rate_kg_ha", i)}})
		}
	}
	return t
}

// MeanTable is the mean of the curves over trials at every fourth rate of the chart: their
// yield, and the return over no nitrogen.
func MeanTable(u unit.System, m rates.MeanCurve) page.Table {
	money, name := func(r unit.Return) float64 { return r.PerAcre() }, "$/ac"
	yield, of := func(y unit.Yield) string { return fmt.Sprintf("%.1f", y.BushelsPerAcre()) }, "bu/ac"
	if u == unit.SI {
		money, name = func(r unit.Return) float64 { return r.PerHa() }, "$/ha"
		yield, of = func(y unit.Yield) string { return fmt.Sprintf("%.2f", y.KgPerHa()/1000) }, "t/ha"
	}
	t := page.Table{Title: "Mean over trials", Head: []string{"nitrogen", "mean yield", "mean return"}, Units: []string{u.NRateUnit(), of, name}}
	const every = 4
	for i := 0; i < len(m.Chart); i += every {
		p, key := m.Chart[i], fmt.Sprintf("mean_return.%d.", i)
		t.Rows = append(t.Rows, []page.Cell{
			{Text: u.NRateNumber(p.Rate), Key: key + "n_rate_kg_ha"},
			{Text: yield(p.Yield), Key: key + "yield_kg_ha"},
			{Text: fmt.Sprintf("%.2f", money(p.Return)), Key: key + "return_usd_per_ha"},
		})
	}
	return t
}

// ChangeTable says what moves the rate most.
func ChangeTable(u unit.System, r rates.Result) page.Table {
	t := page.Table{
		Title: "What would change the rate most",
		Head:  []string{"one at a time", "from", "to", "mean rate from", "to", "moves by"},
		Units: []string{"", "", "", u.NRateUnit(), u.NRateUnit(), u.NRateUnit()}, Words: 3,
	}
	for i, c := range r.Changes {
		key := fmt.Sprintf("changes.%d.", i)
		t.Rows = append(t.Rows, []page.Cell{
			{Text: c.What, Key: key + "what"},
			{Text: c.Low, Key: key + "low"},
			{Text: c.High, Key: key + "high"},
			{Text: u.NRateNumber(c.RateLow), Key: key + "low_n_rate_kg_ha"},
			{Text: u.NRateNumber(c.RateHigh), Key: key + "high_n_rate_kg_ha"},
			{Text: u.NRateNumber(c.Swing()), Key: key + "swing_n_rate_kg_ha"},
		})
	}
	return t
}
