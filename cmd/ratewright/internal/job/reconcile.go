package job

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"strings"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/cmd/ratewright/page"
	"ratewright/geo/vector"
	"ratewright/rx"
)

// Reconciled is what the step reconcile gives.
type Reconciled struct {
	Field          rx.Field
	Application    string
	Reconciliation asapplied.Reconciliation
	Notes          []string
	LogNotes       []string // how the files of the log were read
	Cautions       []string
	Beyond         []string // findings beyond what the job accepts
	Set            outputs.Set
	Inputs         []string
	Picture        func(w io.Writer) error // where it was asked for
	Card           page.Card               // the result in short
}

// Reconcile lines the logs of an application up with the field and what was
// prescribed. application may be empty where the job has one.
func (j Job) Reconcile(application string) (Reconciled, error) {
	return j.ReconcileAs(application, How{})
}

// ReconcileAs is Reconcile carried out in a way of the caller's.
func (j Job) ReconcileAs(application string, how How) (Reconciled, error) {
	a, err := j.application(application)
	if err != nil {
		return Reconciled{}, err
	}
	if a == nil {
		return Reconciled{}, &vector.InputError{File: j.Path, What: "the job has no application", Fix: "describe one with its logs under `applications:`"}
	}
	sums := j.sums(j.Inputs(*a), how, how.draws(j.wantsPage(how)))
	ground, err := j.Open()
	if err != nil {
		return Reconciled{}, err
	}
	app, err := j.plan(*a)
	if err != nil {
		return Reconciled{}, err
	}
	o := &opener{notes: append([]string{}, ground.Notes...)}
	o.notes = append(o.notes, ground.Field.Notes...)
	o.notes = append(o.notes, app.Source.Notes...) // whose density a log or a map of volumes goes by
	in := asapplied.Input{
		Field: ground.Field, Zones: ground.Zones,
		Tolerance: j.Comparison.Tolerance, MinPatch: j.Comparison.MinPatch, NoPatches: j.Comparison.NoPatches,
		Workers: how.Workers, Simplify: how.Simplify,
	}
	var tracks *page.Tracks
	if j.wantsPage(how) {
		tracks = &page.Tracks{}
		drawn := drawnIn(j.Units)
		in.Trace = func(machine string, s asapplied.Stride) { tracks.Add(cmp.Or(machine, "the machine"), drawn(s)) }
	}
	if in.Plan, err = o.prescribed(j, ground, *a, app); err != nil {
		return Reconciled{}, err
	}
	if in.Drives, err = o.drives(j, *a, app.Source, ground, how); err != nil {
		return Reconciled{}, err
	}
	o.noteDate(*a, in.Drives)
	in.Shallow, in.HasShallow = o.shallowLimit(app.ShallowLimit)
	all := in
	in.Drives = nil // what is drawn needs no log, so that a long one can be let go of
	r, err := asapplied.Reconcile(all)
	if err != nil {
		var input *vector.InputError
		if errors.As(err, &input) { // it names its file
			return Reconciled{}, err
		}
		return Reconciled{}, fmt.Errorf("%s: %w", logNames(*a), err)
	}
	out := Reconciled{
		Field: ground.Field, Application: a.Name, Reconciliation: r,
		Cautions: rx.Cautions(ground.Field, app), Inputs: ground.Inputs,
	}
	var unknown []string
	out.Beyond, unknown = j.beyond(r)
	out.Notes = unique(append(append(o.notes, r.Notes...), unknown...))
	out.LogNotes = unique(o.logNotes)
	shown := out
	drawn, err := how.draw(func() (page.Sheet, error) {
		inputs, err := sums()
		return j.sheetOfReconciliation(a, app, in, shown, tracks, inputs), err
	}, logNames(*a), j.fileName("reconcile.html", a), j.wantsPage(how))
	if err != nil {
		return Reconciled{}, err
	}
	out.Picture, out.Card = drawn.picture, drawn.card
	files := append(drawn.page, j.patchFiles(a, r)...)
	out.Set = outputs.Set{Files: files, Summary: j.reconcileJSON(a, shown, files), Workers: how.Workers}
	return out, nil
}

// prescribed is the prescription to hold the log against: the map that the job
// names, our own where the job has zones and a rate, or none.
func (o *opener) prescribed(j Job, g Ground, a ApplicationSpec, app rx.Application) ([]rx.RateZone, error) {
	if p := a.Prescription; p != nil {
		layer, err := o.read(p.File, p.CRS)
		if err != nil {
			return nil, err
		}
		zones, notes, err := rx.ReadRateMap(layer, g.Field, rx.RateMapSpec{
			Column: p.Column, Unit: p.Unit, Of: p.Of, Source: app.Source, ID: p.ID, Units: j.Units,
		})
		for _, note := range notes {
			o.note(p.File, note)
		}
		return zones, err
	}
	if a.Rate == nil || g.Zones == nil {
		return nil, nil
	}
	if _, err := o.works(j, a, &app, g.Zones); err != nil {
		return nil, err
	}
	p, err := rx.Prescribe(g.Field, g.Zones, app)
	if err != nil {
		return nil, j.placed(a, err)
	}
	o.notes = append(o.notes, p.Notes...)
	return p.Zones, nil
}

// wantsPage tells whether a page belongs to the results: not where the job asks for
// the sums alone.
func (j Job) wantsPage(how How) bool { return !how.NoPage && !j.Comparison.NoPatches }

// patchFiles are the files of the patches.
func (j Job) patchFiles(a *ApplicationSpec, r asapplied.Reconciliation) []outputs.File {
	if j.Comparison.NoPatches {
		return nil
	}
	writable := func(err error) error {
		if err != nil {
			return unwritable(logNames(*a), "the patches found in it", err)
		}
		return nil
	}
	text := outputs.File{Name: j.fileName("patches.geojson", a), Write: func(w io.Writer) error { return writable(r.WritePatches(w)) }}
	return append([]outputs.File{text}, partFiles(j.fileName("patches.shp", a), func() (vector.Parts, error) {
		parts, err := r.EncodePatches(tableDate(a))
		return parts, writable(err)
	})...)
}

// reconcileJSON is the summary, which lists the files of the step.
func (j Job) reconcileJSON(a *ApplicationSpec, r Reconciled, files []outputs.File) outputs.File {
	return outputs.File{Name: j.fileName("reconcile.json", a), From: func(sums outputs.Sums) ([]byte, error) {
		doc := r.Reconciliation.JSON()
		doc.Field, doc.Files, doc.Notes = r.Field.Name, sums.Of(files), r.Notes
		data, err := encodeJSON(doc)
		if err != nil {
			return nil, unwritable(logNames(*a), "the sums over it", err)
		}
		return data, nil
	}}
}

// logNames names the files of an application's logs for an error.
func logNames(a ApplicationSpec) string {
	var names []string
	for _, l := range a.Logs {
		names = append(names, l.Files...)
	}
	if len(names) > 3 {
		names = append(names[:3:3], fmt.Sprintf("and %d more", len(names)-3))
	}
	return strings.Join(names, ", ")
}
