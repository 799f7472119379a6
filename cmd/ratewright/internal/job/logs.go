package job

import (
	"fmt"
	"strings"
	"time"

	"ratewright/asapplied"
	"ratewright/geo/unit"
	"ratewright/rx/nitrogen"
)

// drives reads the logs of an application.
func (o *opener) drives(j Job, a ApplicationSpec, source nitrogen.Source, boundaryDatum string) ([]asapplied.Drive, error) {
	if len(a.Logs) == 0 {
		return nil, j.fault(a.line, fmt.Sprintf("application %s has no logs", a.Name), "list the files under `logs:`")
	}
	var list []asapplied.Drive
	for _, spec := range a.Logs {
		drive, err := o.drive(j, spec, source)
		if err != nil {
			return nil, err
		}
		if d := drive.Log.Datum; d != "" && boundaryDatum != "" && d != boundaryDatum {
			o.note(spec.Files[0], fmt.Sprintf("its datum is %s, the boundary's %s: the two may lie a metre or two apart", d, boundaryDatum))
		}
		list = append(list, drive)
	}
	return list, nil
}

func (o *opener) drive(j Job, spec LogSpec, source nitrogen.Source) (asapplied.Drive, error) {
	ask := asapplied.LogSpec{Files: spec.Files, Columns: spec.Columns, Units: spec.Units, Source: source, CRS: spec.CRS}
	if spec.Of != nil {
		ask.Of, ask.HasOf = *spec.Of, true
	}
	if spec.Zone != "" {
		zone, err := time.LoadLocation(spec.Zone)
		if err != nil {
			return asapplied.Drive{}, j.fault(spec.line, err.Error(), "name it as America/Chicago or UTC")
		}
		ask.Zone = zone
	}
	log, err := asapplied.ReadLog(ask)
	if err != nil {
		return asapplied.Drive{}, err
	}
	for _, file := range spec.Files {
		o.inputs = append(o.inputs, withSiblings(file)...)
	}
	o.notes = append(o.notes, log.Notes...)
	o.guesses(spec.Files[0], log.Mapping)
	drive := asapplied.Drive{Log: log, Machine: j.machine(spec.Machine)}
	if spec.MaxGap != nil {
		drive.MaxGap = *spec.MaxGap
	}
	return drive, nil
}

// guesses notes what the job did not say about a log's columns.
func (o *opener) guesses(file string, uses []asapplied.ColumnUse) {
	for _, use := range uses {
		if use.Guessed {
			o.note(file, "guessed: "+useText(use))
		}
	}
}

// useText words what a column was taken for.
func useText(use asapplied.ColumnUse) string {
	text := fmt.Sprintf("%s is column %s", use.Role, strings.Join(use.Columns, ", "))
	if use.Unit != "" {
		text += " in " + use.Unit
	}
	if use.Of != "" {
		text += " of " + use.Of
	}
	if use.Why != "" {
		text += " (" + use.Why + ")"
	}
	return text
}

func (j Job) machine(name string) asapplied.Machine {
	for _, m := range j.Machines {
		if m.Name == name {
			return asapplied.Machine{
				Name: m.Name, Width: m.Width, SectionCount: m.SectionCount, SectionWidths: m.SectionWidths,
				Behind: m.Behind, Right: m.Right, Lag: m.Lag,
			}
		}
	}
	return asapplied.Machine{}
}

// shallowLimit is the depth limit of the application, and a note where it was
// assumed.
func (o *opener) shallowLimit(limit func() (unit.Length, string, bool)) (unit.Length, bool) {
	depth, note, ok := limit()
	if note != "" {
		o.notes = append(o.notes, note)
	}
	return depth, ok
}
