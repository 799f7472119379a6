package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"ratewright/cmd/ratewright/internal/job"
	"ratewright/geo/vector"
)

// The exit codes of every command.
const (
	exitDone        = 0
	exitFailed      = 1
	exitUsage       = 2
	exitFinding     = 3
	exitInterrupted = 130
)

const exitTable = `Exit codes:
  0    done
  1    failed: an input, a file, a computation, or a fault of ratewright itself
  2    wrong use of the command
  3    done, but a finding passes what the job accepts
  130  interrupted
`

// usageError is wrong use of the command line. command is empty where none was
// recognised.
type usageError struct {
	command string
	text    string
}

func (e *usageError) Error() string { return e.text }

func wrongUse(command, format string, args ...any) error {
	return &usageError{command, fmt.Sprintf(format, args...)}
}

// linesError is an error of several lines, none of which holds an error that
// somebody asks for. inputs are those at fault.
type linesError struct {
	lines  []string
	inputs []*vector.InputError
}

func (e *linesError) Error() string { return strings.Join(e.lines, "\n") }

// findingError says that the work is done and that something passes `accept:`.
type findingError struct{ findings []string }

func (e *findingError) Error() string {
	return "beyond what the job accepts: " + strings.Join(e.findings, "; ")
}

// errInterrupted says what an interrupt leaves behind.
var errInterrupted = fmt.Errorf("interrupted; each set of output files is the old one or the new one (%w)", context.Canceled)

// faultError is a panic of ours that was caught.
type faultError struct {
	value any
	where string
}

func (e *faultError) Error() string {
	return fmt.Sprintf("this is a fault of ratewright itself, not of your files: %v (%s). Nothing was half written. Please report it with the command you ran and, if you can, its job file", e.value, e.where)
}

// exitCode is the only place that turns an error into an exit code.
func exitCode(err error) int {
	var usage *usageError
	var choice *job.ChoiceError
	var finding *findingError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, context.Canceled):
		return exitInterrupted
	case errors.As(err, &usage), errors.As(err, &choice):
		return exitUsage
	case errors.As(err, &finding):
		return exitFinding
	default:
		return exitFailed
	}
}
