package job

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/cmd/ratewright/page"
	"ratewright/geo"
	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/course"
	"ratewright/rx/nitrogen/guard"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/nitrogen/water"
)

// Followed is what the step loss gives.
type Followed struct {
	Field    rx.Field
	Courses  []FollowedApplication
	JSON     course.JSON
	Notes    []string
	Cautions []string
	Set      outputs.Set
	Inputs   []string
	Picture  func(w io.Writer) error // where it was asked for
}

// Beyond lists the warnings that a job refuses, about what it puts down.
func (f Followed) Beyond(j Job) []string {
	over, _ := f.judged(j)
	return over
}

// judged are the warnings that a job refuses, and of those for which it does not tell
// enough a note each.
func (f Followed) judged(j Job) (over, unknown []string) {
	for _, a := range f.JSON.Applications {
		for _, w := range a.Warnings {
			switch of := a.Name + ", " + zonesNamed(w.Zones); {
			case !slices.Contains(j.AcceptNot, w.Key):
			case w.Unchecked:
				unknown = append(unknown, unjudged(w.Key, of))
			default:
				over = append(over, w.Key+": "+of)
			}
		}
	}
	return over, unknown
}

// unjudged tells that a warning which a job refuses cannot be judged.
func unjudged(key, of string) string {
	return fmt.Sprintf("accept: %s cannot be judged for %s: the job does not tell what it needs", key, of)
}

// lossCaution is said of all losses.
const lossCaution = "Losses are a ranking and no forecast: they put averages of published measurements together, under the weather of the record and no other. " + rulesDecide

// FollowedApplication is an application with its course; its JSON is that of the same
// place in Followed.
type FollowedApplication struct {
	Application rx.Application
	Result      course.Result
	zones       []rx.RateZone
	unzoned     geo.Region
}

// Loss follows the nitrogen of an application by day, of all where application is empty.
func (j Job) Loss(application string) (Followed, error) { return j.LossAs(application, How{}) }

// LossAs is Loss, carried out as how says.
func (j Job) LossAs(application string, how How) (Followed, error) {
	list, one, err := j.toFollow(application)
	if err != nil {
		return Followed{}, err
	}
	sums := j.sums(j.named(list), how, true)
	ground, err := j.Open()
	if err != nil {
		return Followed{}, err
	}
	o := &opener{notes: append([]string{loss.Ranking}, ground.Notes...)}
	out := Followed{Field: ground.Field, Inputs: ground.Inputs}
	out.JSON = course.JSON{Schema: course.Schema, Field: ground.Field.Name, Bands: course.Bands(j.Losses.Draws, j.Losses.Seed)}
	f, err := j.newFollow(o, ground)
	if err != nil {
		return Followed{}, err
	}
	for i := range list {
		a, doc, err := f.application(&list[i])
		if err != nil {
			return Followed{}, err
		}
		out.Courses = append(out.Courses, a)
		out.JSON.Applications = append(out.JSON.Applications, doc)
		out.Cautions = append(out.Cautions, rx.Cautions(ground.Field, a.Application)...)
	}
	out.Notes, out.Cautions = unique(append(o.notes, ground.Field.Notes...)), unique(append([]string{lossCaution}, out.Cautions...))
	_, unknown := out.judged(j)
	out.Notes = append(out.Notes, unknown...)
	return out, j.drawLoss(&out, one, how, sums)
}

// toFollow are the applications that a command is about, without their logs, which say
// nothing of what is planned, and the one that was chosen, nil for all.
func (j Job) toFollow(application string) ([]ApplicationSpec, *ApplicationSpec, error) {
	list, one := j.Applications, (*ApplicationSpec)(nil)
	if application != "" {
		var err error
		if one, err = j.application(application); err != nil {
			return nil, nil, err
		}
		list = []ApplicationSpec{*one}
	}
	if len(list) == 0 {
		return nil, nil, j.canPrescribe(nil)
	}
	out := make([]ApplicationSpec, len(list))
	for i, a := range list {
		if err := j.canFollow(&a); err != nil {
			return nil, nil, err
		}
		a.Logs = nil
		out[i] = a
	}
	return out, one, nil
}

// canFollow looks for what only losses need; prescribing takes any words for a
// placement.
func (j Job) canFollow(a *ApplicationSpec) error {
	if err := j.canPrescribe(a); err != nil {
		return err
	}
	_, known := placed(a.Placement)
	lack := func(what, fix string) error {
		return j.fault(a.line, fmt.Sprintf("application %s %s, so that its losses cannot be followed", a.Name, what), fix)
	}
	switch {
	case a.Placement == "":
		return lack("has no placement", "write broadcast, dribbled, incorporated or injected (coulter, knife)")
	case !known:
		return lack(fmt.Sprintf("has the placement %q, which is not one that losses are known for", a.Placement), "write broadcast, dribbled, incorporated or injected (coulter, knife)")
	case a.Date == "":
		return lack("has no date", "write the day, such as date: 2026-06-05")
	case j.Weather == nil:
		return &vector.InputError{File: j.Path, What: "the job has no weather, without which no losses can be followed", Fix: "name a record of daily weather of several years under `weather:`"}
	}
	return nil
}

// follow is what the applications of a job share.
type follow struct {
	j       Job
	o       *opener
	ground  Ground
	grounds map[string]zoneGround
	record  record
}

// zoneGround is what is known of a zone; texture and cover are what the zone tells
// itself, empty and nil where something stands in.
type zoneGround struct {
	course.Zone
	texture string
	cover   *float64
}

func (j Job) newFollow(o *opener, ground Ground) (*follow, error) {
	f := &follow{j: j, o: o, ground: ground, grounds: map[string]zoneGround{}}
	g, err := j.groundsOf(ground.Zones)
	if err != nil {
		return nil, err
	}
	o.notes = append(o.notes, g.notes...)
	for i := range ground.Zones {
		z := &ground.Zones[i]
		f.grounds[z.ID] = zoneGround{Zone: course.Zone{ID: z.ID, Soil: g.soils[i], Site: g.sites[i]}, texture: g.texture[i], cover: g.cover[i]}
	}
	f.record, err = j.readRecord(o)
	return f, err
}

// application follows one.
func (f *follow) application(a *ApplicationSpec) (FollowedApplication, course.ApplicationJSON, error) {
	fail := func(err error) (FollowedApplication, course.ApplicationJSON, error) {
		return FollowedApplication{}, course.ApplicationJSON{}, f.j.followFault(*a, err)
	}
	p, err := f.prescribed(*a)
	if err != nil {
		return fail(err)
	}
	in := course.Input{Latitude: f.ground.Field.Plane.Origin().Lat(), Draws: f.j.Losses.Draws, Seed: f.j.Losses.Seed}
	trip := TripSpec{
		Name: a.Name, Source: a.Source, Placement: a.Placement, Depth: a.Depth, Date: a.Date,
		Inhibitor: a.Inhibitor, Incorporate: a.Incorporate, Care: a.Care, line: a.line,
	}
	if in.Application, err = f.j.follows(trip); err != nil {
		return fail(err)
	}
	if err := f.j.inSeason(trip, in.Application); err != nil {
		return fail(err)
	}
	if in.Until, err = f.j.lossUntil(*a, in.Application.Date); err != nil {
		return fail(err)
	}
	if in.Runs, err = f.j.lossRuns(f.o); err != nil {
		return fail(err)
	}
	var grounds []zoneGround
	for _, z := range p.Zones {
		g := f.grounds[z.ZoneID]
		g.Area, g.Rate = z.Region.Area(), z.NRate
		in.Zones = append(in.Zones, g.Zone)
		grounds = append(grounds, g)
	}
	w, err := f.record.season(f.o, f.j, in.Application.Date, in.Until)
	if err != nil {
		return fail(err)
	}
	in.Years, in.Actual = w.years, w.actual
	r, err := course.Follow(in)
	if err != nil {
		return fail(err)
	}
	f.o.notes = append(f.o.notes, r.Notes...)
	if r.Field.Rate == 0 {
		return fail(fmt.Errorf("no zone has a rate above zero, so that there is nothing to follow"))
	}
	doc := r.JSON(in.Application)
	doc.Name = a.Name
	warnings, err := f.warnings(*a, in, w, grounds)
	if err != nil {
		return fail(err)
	}
	doc.Warnings = course.WarningsJSON(warnings.ids, warnings.list)
	return FollowedApplication{Application: p.Application, Result: r, zones: p.Zones, unzoned: p.Unzoned}, doc, nil
}

// followFault gives an error the line of the application, unless it names an input
// already.
func (j Job) followFault(a ApplicationSpec, err error) error {
	var input *vector.InputError
	if errors.As(err, &input) {
		return err
	}
	return j.fault(a.line, fmt.Sprintf("application %s: %s", a.Name, err), "")
}

// prescribed is the application with the rates of its zones, as prescribe works them
// out.
func (f *follow) prescribed(a ApplicationSpec) (rx.Prescription, error) {
	app, err := f.j.plan(a)
	if err != nil {
		return rx.Prescription{}, err
	}
	if _, err := f.o.works(f.j, a, &app, f.ground.Zones); err != nil {
		return rx.Prescription{}, err
	}
	if err := f.o.timing(f.j, a); err != nil {
		return rx.Prescription{}, err
	}
	return rx.Prescribe(f.ground.Field, f.ground.Zones, app)
}

// afterDays is how long a course is where the job does not say.
const afterDays = 60

// lossUntil is the last day of the course of an application.
func (j Job) lossUntil(a ApplicationSpec, on time.Time) (time.Time, error) {
	text, line, of := j.Losses.Until, j.Losses.line, "loss: until"
	if text == "" && j.Plan != nil {
		text, line, of = j.Plan.By, j.Plan.line, "plan: until"
	}
	until, err := time.Parse(time.DateOnly, text)
	if err != nil { // nothing, or a stage
		return on.AddDate(0, 0, afterDays), nil
	}
	if until.Before(on) {
		return until, j.fault(line, fmt.Sprintf("application %s is applied on %s, after the last day that is looked at, %s %s", a.Name, a.Date, of, text), "write a later day under loss: until, or choose another application with --application")
	}
	if last := on.AddDate(mostCourseYears, 0, -runUp); until.After(last) {
		return until, j.fault(line, fmt.Sprintf("application %s is applied on %s, and %s %s is too long after it", a.Name, a.Date, of, text), "end the course within a season of it")
	}
	return until, nil
}

// mostCourseYears is how long a course may be, with the days before it in which the water
// in the soil is followed.
const mostCourseYears = 2

// lossRuns are the coefficients, with those that the job sets.
func (j Job) lossRuns(o *opener) (course.Runs, error) {
	planted := time.Time{}
	if j.Crop != nil {
		var err error
		if planted, err = time.Parse(time.DateOnly, j.Crop.Planted); err != nil {
			return course.Runs{}, err
		}
	}
	r := course.DefaultRuns(planted)
	if j.Plan == nil || len(j.Plan.Coefficients) == 0 {
		return r, nil
	}
	set := func(c *loss.Coefficients) error {
		for _, name := range sortedKeys(j.Plan.Coefficients) {
			if err := c.Set(name, j.Plan.Coefficients[name]); err != nil {
				return j.fault(j.Plan.line, "plan: coefficients: "+err.Error(), "")
			}
		}
		return nil
	}
	for _, c := range []*loss.Coefficients{&r.Low, &r.Mid, &r.High} {
		if err := set(c); err != nil {
			return r, err
		}
	}
	o.notes = append(o.notes, r.Mid.Changed())
	draw := r.Draw
	r.Draw = func(seed uint64) (loss.Coefficients, water.Coefficients) {
		l, w := draw(seed)
		_ = set(&l) // which was good for the runs
		return l, w
	}
	return r, nil
}

// drawLoss makes the files of the step.
func (j Job) drawLoss(out *Followed, one *ApplicationSpec, how How, sums func() ([]page.Input, error)) error {
	name := func(base string) string {
		if one == nil {
			return base
		}
		return j.fileName(base, one)
	}
	shown := *out
	drawn, err := how.draw(func() (page.Sheet, error) {
		inputs, err := sums()
		return j.sheetOfLoss(shown, inputs), err
	}, j.Path, name("loss.html"), true)
	if err != nil {
		return err
	}
	out.Picture = drawn.picture
	var table bytes.Buffer
	if err := shown.JSON.WriteCSV(&table); err != nil {
		return err
	}
	files := append(drawn.page, outputs.File{Name: name("loss.csv"), Data: table.Bytes()})
	out.Set = outputs.Set{Files: files, Summary: outputs.File{Name: name("loss.json"), From: func(sums outputs.Sums) ([]byte, error) {
		doc := shown.JSON
		doc.Files, doc.Notes = sums.Of(files), shown.Notes
		data, err := encodeJSON(doc)
		if err != nil {
			return nil, unwritable(j.Path, "the losses", err)
		}
		return data, nil
	}}}
	return nil
}

// zoneWarnings are the warnings about zones.
type zoneWarnings struct {
	ids  []string
	list [][]guard.Warning
}
