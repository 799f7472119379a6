package main

import (
	"errors"
	"fmt"

	"ratewright/cmd/ratewright/internal/job"
)

var inspectCommand = command{
	name: "inspect", args: "FILE... [--job] [--json]", about: "what is in a file: columns, units, counts, faults",
	help: `Shows for each file what is in it: its kind and coordinate system, its columns with the roles
and units guessed, counts, the interval of a log, and faults. Writes nothing.

Flags:
  --job   print only a job file that starts from these files; save it in the folder where
          inspect was run, or give the files by absolute paths: a job's paths are relative to it
  --json  print exactly the summary JSON; an error is JSON on stderr`,
	run: (*call).inspect,
}

func (c *call) inspect(args []string) error {
	o, err := parse("inspect", args, "job", "json")
	if err != nil {
		return err
	}
	if len(o.words) == 0 {
		return wrongUse("inspect", "a file is missing")
	}
	if o.skeleton && c.json {
		return wrongUse("inspect", "--job and --json exclude each other")
	}
	report := job.Inspect(o.words)
	return errors.Join(c.printReport(report, o.skeleton), report.Err())
}

func (c *call) printReport(r job.Report, skeleton bool) error {
	switch {
	case c.json:
		data, err := r.JSON()
		if err != nil {
			return err
		}
		_, err = c.stdout.Write(data)
		return err
	case skeleton:
		_, err := fmt.Fprint(c.stdout, r.Skeleton())
		return err
	}
	for i, f := range r.Files {
		if i > 0 {
			fmt.Fprintln(c.stdout)
		}
		if _, err := fmt.Fprint(c.stdout, f.String()); err != nil {
			return err
		}
	}
	return nil
}
