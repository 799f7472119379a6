package season

import (
	"encoding/json"
	"strings"

	"ratewright/cmd/ratewright/internal/job"
	"ratewright/cmd/ratewright/page"
	"ratewright/rx"
)

// State says what became of an application of a job.
type State string

const (
	// Done: computed and written in this run.
	Done State = "done"
	// Failed: nothing was written; Error says why.
	Failed State = "failed"
	// Unchanged: inputs, job and program are those of the results that are there.
	Unchanged State = "unchanged"
)

// Row is one line of the table: an application of a field's job.
type Row struct {
	Number      int      `json:"number"` // of the job in the order of all jobs, from 1
	Field       string   `json:"field"`
	Application string   `json:"application"`
	Job         string   `json:"job"`   // its path from the folder of the season
	Units       string   `json:"units"` // that its job speaks in: us, si; "" where it could not be read
	State       State    `json:"state"`
	Steps       []string `json:"steps"` // what the application asks for
	// AreaM2 and NitrogenKg have the keys of reconcile.json, null where a figure is
	// not known.
	AreaM2     map[string]*float64 `json:"area_m2"`
	NitrogenKg map[string]*float64 `json:"nitrogen_kg"`
	Product    *rx.AmountJSON      `json:"product"` // prescribed; null without that step
	Records    *Records            `json:"records"` // null without logs
	Findings   []string            `json:"findings"`
	Notes      int                 `json:"notes"`
	Seconds    float64             `json:"seconds"` // of this run
	Error      string              `json:"error"`

	dir  string    // of the results; "" where not known
	card page.Card // the results in short
	err  error     // of a failure of this run
}

// Records says what became of the records of the logs. Those of other fields are
// among the dropped.
type Records struct {
	Read       int `json:"read"`
	Used       int `json:"used"`
	NotWorking int `json:"not_working"`
	Dropped    int `json:"dropped"`
	OtherField int `json:"other_field"`
}

// The columns of areas and masses, in the order of reconcile.json.
var (
	areaKeys = []string{
		"field", "covered", "once", "doubled", "lapped", "missed", "not_planned", "outside", "off_limits",
		"as_prescribed", "light", "heavy", "unprescribed", "shallow", "depth_unknown",
	}
	nitrogenKeys = []string{"prescribed", "applied", "in_field", "outside", "off_limits", "standing", "short", "short_missed", "short_light", "short_within", "excess", "shallow"}
)

func newRow(number int, f Found) Row {
	return Row{
		Number: number, Job: f.Rel, Steps: []string{}, Findings: []string{},
		AreaM2: unknown(areaKeys), NitrogenKg: unknown(nitrogenKeys),
	}
}

func unknown(keys []string) map[string]*float64 {
	m := make(map[string]*float64, len(keys))
	for _, k := range keys {
		m[k] = nil
	}
	return m
}

// fail makes the row one of a failure. The figures go: they may be of one step
// and not of the other.
func (r *Row) fail(err error) {
	failed := newRow(r.Number, Found{Rel: r.Job})
	failed.Field, failed.Application, failed.Steps, failed.Seconds = r.Field, r.Application, r.Steps, r.Seconds
	failed.dir, failed.err = r.dir, err
	failed.State, failed.Error = Failed, oneLine(err)
	*r = failed
}

// oneLine puts the lines of an error behind one another; the trace of a fault of
// ours is left out.
func oneLine(err error) string {
	lines := job.Lines(err)
	for i, line := range lines {
		lines[i], _, _ = strings.Cut(line, "\ngoroutine ")
	}
	return strings.Join(lines, "; ")
}

// prescribed puts the figures of a prescription into the row.
func (r *Row) prescribed(p job.Prescribed) {
	area, n, product := p.JSON.AreaM2.Field, p.JSON.NitrogenKg, p.JSON.Product
	r.AreaM2["field"], r.NitrogenKg["prescribed"], r.Product = &area, &n, &product
}

// reconciled puts the figures of a reconciliation into the row.
func (r *Row) reconciled(rec job.Reconciled) error {
	doc := rec.Reconciliation.JSON()
	if err := figures(doc.AreaM2, r.AreaM2); err != nil {
		return err
	}
	if err := figures(doc.NitrogenKg, r.NitrogenKg); err != nil {
		return err
	}
	r.Records = &Records{Read: doc.Records.Read, Used: doc.Records.Used, NotWorking: doc.Records.NotWorking}
	for reason, n := range doc.Records.Dropped {
		r.Records.Dropped += n
		if reason == "other_field" {
			r.Records.OtherField = n
		}
	}
	r.Findings = append(r.Findings, rec.Beyond...)
	return nil
}

// figures takes the figures of a JSON document by their keys.
func figures(doc any, into map[string]*float64) error {
	data, err := json.Marshal(doc)
	if err != nil {
		return err
	}
	return json.Unmarshal(data, &into)
}
