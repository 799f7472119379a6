package job

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"ratewright/asapplied"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx/nitrogen"
)

// drives reads the logs of an application.
func (o *opener) drives(j Job, a ApplicationSpec, source nitrogen.Source, g Ground, how How) ([]asapplied.Drive, error) {
	if len(a.Logs) == 0 {
		return nil, j.fault(a.line, fmt.Sprintf("application %s has no logs", a.Name), "list the files under `logs:`")
	}
	var list []asapplied.Drive
	once := contents{}
	for _, spec := range a.Logs {
		files, err := o.distinct(j, once, spec.Files)
		if err != nil {
			return nil, err
		}
		if len(files) == 0 {
			continue
		}
		spec.Files = files
		drive, err := o.drive(j, spec, source, g, how)
		if err != nil {
			return nil, err
		}
		if d := drive.Log.Datum; d != "" && g.Datum != "" && d != g.Datum {
			o.notes = append(o.notes, fmt.Sprintf("The datum of the log is %s, the boundary's %s: the two may lie a metre or two apart.", d, g.Datum))
		}
		list = append(list, drive)
	}
	return list, nil
}

// contents knows the files of a log by their size, which tells most apart
// without reading them, and by their sums where sizes agree.
type contents map[int64][]*logFile

// logFile is a file that was named, with its sum once it was needed.
type logFile struct {
	path   string
	summed bool
	sum    [sha256.Size]byte
}

// distinct leaves out files that have the content of one already named, for a
// log given twice is still one log.
func (o *opener) distinct(j Job, once contents, files []string) ([]string, error) {
	var list []string
	for _, file := range files {
		first, err := once.find(file)
		if err != nil {
			return nil, &vector.InputError{File: file, What: "cannot be read: " + plainError(err), Fix: vector.Remedy(err, "check the name under `files:`; it is relative to the job file")}
		}
		if first != "" {
			o.logNotes = append(o.logNotes, j.readOnce(file, first))
			continue
		}
		list = append(list, file)
	}
	return list, nil
}

// readOnce notes a file with the content of one already named.
func (j Job) readOnce(file, first string) string {
	name, other := filepath.Base(file), filepath.Base(first)
	switch {
	case filepath.Clean(file) == filepath.Clean(first):
		return name + " is named twice and was read once"
	case name == other: // in two folders
		name, other = j.FromFolder(file), j.FromFolder(first)
	}
	return fmt.Sprintf("%s has the same content as %s and was read once", name, other)
}

// find returns the file with the same content that was named before, or
// remembers this one.
func (c contents) find(file string) (string, error) {
	info, err := os.Stat(file)
	if err != nil {
		return "", err
	}
	this := &logFile{path: file}
	for _, other := range c[info.Size()] {
		for _, f := range []*logFile{this, other} {
			if f.summed {
				continue
			}
			if f.sum, err = sumOf(f.path); err != nil {
				return "", err
			}
			f.summed = true
		}
		if this.sum == other.sum {
			return other.path, nil
		}
	}
	c[info.Size()] = append(c[info.Size()], this)
	return "", nil
}

func sumOf(file string) (sum [sha256.Size]byte, err error) {
	f, err := os.Open(file)
	if err != nil {
		return sum, err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return sum, err
	}
	return [sha256.Size]byte(h.Sum(nil)), nil
}

// plainError is the reason of a failed file operation without the path.
func plainError(err error) string {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}

// logSpec says how the log of an entry is read.
func (j Job) logSpec(spec LogSpec, source nitrogen.Source) (asapplied.LogSpec, error) {
	ask := asapplied.LogSpec{Files: spec.Files, Columns: spec.Columns, Units: spec.Units, Source: source, CRS: spec.CRS}
	if spec.Of != nil {
		ask.Of, ask.HasOf = *spec.Of, true
	}
	if spec.Zone != "" {
		zone, err := time.LoadLocation(spec.Zone)
		if err != nil {
			return ask, j.fault(spec.line, err.Error(), "name it as America/Chicago or UTC")
		}
		ask.Zone = zone
	}
	return ask, nil
}

func (o *opener) drive(j Job, spec LogSpec, source nitrogen.Source, g Ground, how How) (asapplied.Drive, error) {
	ask, err := j.logSpec(spec, source)
	if err != nil {
		return asapplied.Drive{}, err
	}
	ask.Workers = how.Workers
	log, err := how.readLog(ask, g.Field)
	if err != nil {
		return asapplied.Drive{}, err
	}
	notes := log.Notes
	if log.DatumNote != "" {
		notes = append(notes, log.DatumNote)
	}
	for _, note := range notes {
		o.logNotes = append(o.logNotes, strings.ReplaceAll(note, filepath.Dir(spec.Files[0])+string(filepath.Separator), ""))
	}
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
			o.logNotes = append(o.logNotes, filepath.Base(file)+": guessed: "+useText(use))
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
