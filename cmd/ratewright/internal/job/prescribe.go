package job

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/cmd/ratewright/page"
	"ratewright/geo/vector"
	"ratewright/rx"
)

// Prescribed is what the step prescribe gives.
type Prescribed struct {
	Prescription rx.Prescription
	JSON         rx.PrescriptionJSON
	Findings     []rx.Finding
	Notes        []string
	Cautions     []string
	Set          outputs.Set
	Inputs       []string
	Picture      func(w io.Writer) error // where it was asked for
	Card         page.Card               // the result in short
}

// Prescribe gives the zones of the job their rates and makes the rate map. Its
// files are encoded, read back and compared with the prescription before they
// are handed out; a map that a controller would refuse is an error. application
// may be empty where the job has one.
func (j Job) Prescribe(application string) (Prescribed, error) {
	return j.PrescribeAs(application, How{})
}

// PrescribeAs is Prescribe carried out in a way of the caller's.
func (j Job) PrescribeAs(application string, how How) (Prescribed, error) {
	a, err := j.application(application)
	if err != nil {
		return Prescribed{}, err
	}
	if err := j.canPrescribe(a); err != nil {
		return Prescribed{}, err
	}
	spec := *a
	spec.Logs = nil // which say nothing of what is wanted
	sums := j.sums(j.Inputs(spec), how, how.draws(!how.NoPage))
	ground, err := j.Open()
	if err != nil {
		return Prescribed{}, err
	}
	app, err := j.plan(*a)
	if err != nil {
		return Prescribed{}, err
	}
	o := &opener{notes: ground.Notes}
	if _, err := o.works(j, *a, &app, ground.Zones); err != nil {
		return Prescribed{}, err
	}
	if err := o.timing(j, *a); err != nil {
		return Prescribed{}, err
	}
	ground.Notes = o.notes
	p, err := rx.Prescribe(ground.Field, ground.Zones, app)
	if err != nil {
		return Prescribed{}, j.placed(*a, err)
	}
	starterNotes, err := j.checkStarter(*a, p)
	if err != nil {
		return Prescribed{}, err
	}
	p.Notes = append(p.Notes, starterNotes...)
	m, err := p.RateMap()
	if err != nil {
		return Prescribed{}, err
	}
	options := rx.DefaultCheckOptions()
	options.Units = j.Units
	options.BarWidth = j.machine(a.Machine).Width
	findings := rx.CheckRateMap(m, p.Field, p.Application.Limits, options)
	if err := refused(findings); err != nil {
		return Prescribed{}, err
	}
	out := Prescribed{
		Prescription: p, Findings: findings, Inputs: ground.Inputs,
		Cautions: rx.Cautions(p.Field, p.Application),
	}
	out.Notes = unique(append(append(ground.Notes, p.Notes...), m.Notes...))
	if out.JSON, err = p.JSON(m, findings); err != nil {
		return Prescribed{}, j.placed(*a, err)
	}
	maps, err := j.rateMapFiles(a, p, m)
	if err != nil {
		return Prescribed{}, err
	}
	shown := out
	drawn, err := how.draw(func() (page.Sheet, error) {
		inputs, err := sums()
		return j.sheetOfPrescription(a, shown, inputs), err
	}, j.zonesFile(), j.fileName("prescription.html", a), !how.NoPage)
	if err != nil {
		return Prescribed{}, err
	}
	out.Picture, out.Card = drawn.picture, drawn.card
	files := append(drawn.page, maps...)
	out.Set = outputs.Set{Files: files, Summary: j.prescriptionJSON(a, shown, files), Workers: how.Workers}
	return out, nil
}

// canPrescribe looks for what only prescribing needs.
func (j Job) canPrescribe(a *ApplicationSpec) error {
	switch {
	case a == nil:
		return &vector.InputError{File: j.Path, What: "the job has no application", Fix: "describe one under `applications:`"}
	case j.Zones == nil:
		return &vector.InputError{File: j.Path, What: "the job has no zones", Fix: "name their file under `zones:`"}
	case a.Rate == nil:
		return j.fault(a.line, fmt.Sprintf("application %s has no rate", a.Name), "write rate: {column: NAME, unit: lb/ac, of: nitrogen}, or give a table")
	case a.Source == "":
		return j.fault(a.line, fmt.Sprintf("application %s has no source", a.Name), "name a known source, or one defined under `sources:`")
	}
	return nil
}

func refused(findings []rx.Finding) error {
	var errs []error
	for _, f := range rx.Refused(findings) {
		errs = append(errs, errors.New("the rate map would be refused: "+f.Text))
	}
	return errors.Join(errs...)
}

// prescriptionJSON is the summary, which lists the files of the step.
func (j Job) prescriptionJSON(a *ApplicationSpec, p Prescribed, files []outputs.File) outputs.File {
	return outputs.File{Name: j.fileName("prescription.json", a), From: func(sums outputs.Sums) ([]byte, error) {
		doc := p.JSON
		doc.Files, doc.Notes = sums.Of(files), p.Notes
		data, err := encodeJSON(doc)
		if err != nil {
			return nil, unwritable(j.zonesFile(), "the prescription made of it", err)
		}
		return data, nil
	}}
}

// rateMapFiles encodes the map in its three forms and reads each of them back.
func (j Job) rateMapFiles(a *ApplicationSpec, p rx.Prescription, m rx.RateMap) ([]outputs.File, error) {
	var text bytes.Buffer
	if err := p.WriteGeoJSON(&text, m); err != nil {
		return nil, unwritable(j.zonesFile(), "the rate map made of it", err)
	}
	parts, err := m.Shapefile(tableDate(a))
	if err != nil {
		return nil, unwritable(j.zonesFile(), "the rate map made of it", err)
	}
	zip, err := parts.Zip(m.Name)
	if err != nil {
		return nil, err
	}
	geojson := j.fileName("prescription.geojson", a)
	shp, zipped := "rate-map/"+m.Name+".shp", "rate-map/"+m.Name+".zip"
	files := append([]outputs.File{{Name: geojson, Data: text.Bytes()}}, partFiles(shp, func() (vector.Parts, error) { return parts, nil })...)
	files = append(files, outputs.File{Name: zipped, Data: zip})
	return files, readBack(m, files, geojson, shp, zipped)
}

// readBack writes the files into a temporary folder and compares what the
// readers make of them with the map.
func readBack(m rx.RateMap, files []outputs.File, names ...string) (err error) {
	dir, err := os.MkdirTemp("", "ratewright-")
	if err != nil {
		return noRoomToReadBack(err)
	}
	defer func() {
		if removeErr := os.RemoveAll(dir); err == nil {
			err = removeErr
		}
	}()
	for _, f := range files {
		path := filepath.Join(dir, filepath.FromSlash(f.Name))
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			return noRoomToReadBack(err)
		}
		var b bytes.Buffer
		if err := f.Put(&b); err != nil {
			return err
		}
		if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
			return noRoomToReadBack(err)
		}
	}
	for _, name := range names {
		layer, err := vector.Read(filepath.Join(dir, filepath.FromSlash(name)), vector.Options{})
		if err != nil {
			return fmt.Errorf("the rate map does not read back: %w", err)
		}
		layer.Path = name
		if err := m.Compare(layer); err != nil {
			return err
		}
	}
	return nil
}

// noRoomToReadBack words an error of the operating system about the folder of
// temporary files.
func noRoomToReadBack(err error) error {
	return fmt.Errorf("%s: the rate map cannot be written there to be read back: %s; make room there and see to it that you may write there, or name another folder for temporary files (TMPDIR, on Windows TMP)",
		os.TempDir(), cause(err))
}
