package job

import (
	"cmp"
	"errors"
	"fmt"
	"sort"
	"strings"

	"ratewright/geo/vector"
)

// Faults are the errors of one job file, in the order of its lines.
type Faults []*vector.InputError

// Error puts each fault on a line of its own.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, e := range f {
		lines[i] = e.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives the faults to errors.As.
func (f Faults) Unwrap() []error {
	errs := make([]error, len(f))
	for i, e := range f {
		errs[i] = e
	}
	return errs
}

// Lines are the lines of an error: one for each of those joined in it. Line ends
// within one come from a name or a value, and are left to the caller.
func Lines(err error) []string {
	text := err.Error()
	switch e := err.(type) {
	case interface{ Unwrap() []error }:
		var texts, lines []string
		for _, inner := range e.Unwrap() {
			texts, lines = append(texts, inner.Error()), append(lines, Lines(inner)...)
		}
		if strings.Join(texts, "\n") == text {
			return lines
		}
	case interface{ Unwrap() error }:
		if inner := e.Unwrap(); inner != nil {
			if before, ok := strings.CutSuffix(text, inner.Error()); ok {
				lines := Lines(inner)
				lines[0] = before + lines[0]
				return lines
			}
		}
	}
	return []string{text}
}

// placed gives an error about an application the job file and its line, unless it
// names an input already.
func (j Job) placed(a ApplicationSpec, err error) error {
	var input *vector.InputError
	if err == nil || errors.As(err, &input) {
		return err
	}
	return j.fault(a.line, err.Error(), "")
}

// unwritable says which input the results come from that a format cannot hold.
func unwritable(file, what string, err error) error {
	return &vector.InputError{
		File: file, What: what + " cannot be written: " + err.Error(),
		Fix: "look in the file, and in the job, for a value that is far too large or too small",
	}
}

// faults collects errors with their line while the file is decoded.
type faults struct {
	file string
	list []lineFault
	keys []keyTable // of every mapping read so far
}

type lineFault struct {
	line  int
	err   *vector.InputError
	stray stray
}

func (f *faults) add(line int, fix, format string, args ...any) {
	place := ""
	if line > 0 {
		place = fmt.Sprintf("line %d", line)
	}
	f.list = append(f.list, lineFault{line: line, err: &vector.InputError{
		File: f.file, Place: place, What: fmt.Sprintf(format, args...), Fix: fix,
	}})
}

func (f *faults) err() error {
	if len(f.list) == 0 {
		return nil
	}
	sort.SliceStable(f.list, func(i, j int) bool { return f.list[i].line < f.list[j].line })
	all := make(Faults, len(f.list))
	for i, lf := range f.list {
		lf.err.Fix = cmp.Or(f.place(lf.stray), lf.err.Fix)
		all[i] = lf.err
	}
	return all
}
