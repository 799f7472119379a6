package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"sync"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/job"
	"ratewright/geo/vector"
)

// command is one of the commands; each has a file of its own.
type command struct {
	name  string
	args  string // as the help shows them
	about string // one line
	help  string // the rest of its help
	run   func(*call, []string) error
}

func commands() []command {
	return []command{demoCommand, inspectCommand, ratesCommand, lossCommand, planCommand, prescribeCommand, reconcileCommand, seasonCommand, versionCommand}
}

// call is one run of one command.
type call struct {
	ctx    context.Context
	stdin  io.Reader
	stdout io.Writer
	stderr io.Writer
	json   bool

	writing sync.RWMutex // read-locked while outputs are replaced: sets in different folders do not wait for each other
}

// run runs the command that args name and returns its exit code. Results go to
// stdout, all else to stderr.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	c := &call{ctx: ctx, stdin: stdin, stdout: stdout, stderr: stderr, json: asksForJSON(args)}
	return c.wait(func() error { return c.dispatch(args) })
}

// wait does the work, reports its error and returns the exit code. An interrupt
// does not wait for a computation, but for a set of files that is being replaced.
func (c *call) wait(work func() error) int {
	done := make(chan error, 1)
	go func() { done <- guard(work) }()
	var err error
	select {
	case err = <-done:
	case <-c.ctx.Done():
		c.writing.Lock() // no other set is begun
		select {
		case err = <-done: // it came to its end meanwhile
		default:
			err = errInterrupted
		}
	}
	if err != nil {
		c.report(err)
	}
	return exitCode(err)
}

// guard turns a panic into an error.
func guard(work func() error) (err error) {
	defer func() {
		if value := recover(); value != nil {
			err = &faultError{value, faultPlace()}
		}
	}()
	return work()
}

// faultPlace names the function of ours in which a panic began.
func faultPlace() string {
	pcs := make([]uintptr, 32)
	frames := runtime.CallersFrames(pcs[:runtime.Callers(3, pcs)])
	for {
		frame, more := frames.Next()
		if strings.HasPrefix(frame.Function, "ratewright/") || strings.HasPrefix(frame.Function, "main.") {
			return fmt.Sprintf("%s, line %d", frame.Function, frame.Line)
		}
		if !more {
			return "place unknown"
		}
	}
}

func (c *call) dispatch(args []string) error {
	if len(args) == 0 {
		return wrongUse("", "a command is missing")
	}
	name := args[0]
	switch name {
	case "help", "-h", "-help", "--help":
		return c.help(args[1:])
	case "-version", "--version":
		name = versionCommand.name
	}
	for _, cmd := range commands() {
		if cmd.name == name {
			if wantsHelp(args[1:]) {
				return c.help([]string{name})
			}
			return cmd.run(c, args[1:])
		}
	}
	return wrongUse("", "unknown command %q", name)
}

// report writes an error to stderr: as JSON where the caller asked for JSON.
func (c *call) report(err error) {
	if c.json {
		c.reportJSON(err)
		return
	}
	for _, line := range errorLines(err) {
		c.tell("%s", line)
	}
	var usage *usageError
	if errors.As(err, &usage) {
		fmt.Fprintln(c.stderr)
		fmt.Fprint(c.stderr, usageText(usage.command))
	}
}

// tell writes one line to stderr. What names and values hold can neither end it
// nor do anything to a terminal.
func (c *call) tell(format string, args ...any) {
	fmt.Fprintln(c.stderr, "ratewright: "+asapplied.Shown(fmt.Sprintf(format, args...)))
}

// errorLines are the lines of an error as they are told.
func errorLines(err error) []string {
	switch e := err.(type) {
	case *linesError:
		return e.lines
	case *faultError: // it may hold a trace
		return strings.Split(strings.ReplaceAll(e.Error(), "\t", "    "), "\n")
	}
	return job.Lines(err)
}

// errorJSON is the form of an error on stderr.
type errorJSON struct {
	Schema string      `json:"schema"`
	Exit   int         `json:"exit"`
	Error  string      `json:"error"`
	Inputs []inputJSON `json:"inputs,omitempty"` // where an input is at fault
}

type inputJSON struct {
	File  string `json:"file"`
	Place string `json:"place"`
	What  string `json:"what"`
	Fix   string `json:"fix"`
}

func (c *call) reportJSON(err error) {
	out := errorJSON{Schema: "ratewright/error/1", Exit: exitCode(err), Error: err.Error()}
	for _, e := range inputErrors(err) {
		out.Inputs = append(out.Inputs, inputJSON{e.File, e.Place, e.What, e.Fix})
	}
	enc := json.NewEncoder(c.stderr)
	enc.SetEscapeHTML(false)
	_ = enc.Encode(out) // nothing is left to tell it to
}

// inputErrors lists every error of an input in a tree of errors.
func inputErrors(err error) []*vector.InputError {
	var list []*vector.InputError
	switch e := err.(type) {
	case *vector.InputError:
		return []*vector.InputError{e}
	case *linesError:
		return e.inputs
	case interface{ Unwrap() []error }:
		for _, inner := range e.Unwrap() {
			list = append(list, inputErrors(inner)...)
		}
	case interface{ Unwrap() error }:
		if inner := e.Unwrap(); inner != nil {
			list = inputErrors(inner)
		}
	}
	return list
}
