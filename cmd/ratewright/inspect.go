package main

import (
	"errors"
	"fmt"

	"ratewright/cmd/ratewright/internal/job"
)

var inspectCommand = command{
	name: "inspect", args: "FILE... [--json]", about: "what is in a file: columns, units, counts, faults",
	help: `Shows for each file what is in it: its kind and coordinate system, its columns with the roles
and units guessed, counts, the interval of a log, and faults. Ends with a job skeleton that
names the files. Writes nothing.

Flags:
  --json  print exactly the summary JSON; an error is JSON on stderr`,
	run: (*call).inspect,
}

func (c *call) inspect(args []string) error {
	o, err := parse("inspect", args, "json")
	if err != nil {
		return err
	}
	if len(o.words) == 0 {
		return wrongUse("inspect", "a file is missing")
	}
	report := job.Inspect(o.words)
	if c.json {
		data, err := report.JSON()
		if err != nil {
			return err
		}
		_, err = c.stdout.Write(data)
		return errors.Join(err, report.Err())
	}
	for i, f := range report.Files {
		if i > 0 {
			fmt.Fprintln(c.stdout)
		}
		fmt.Fprint(c.stdout, inspectionText(f))
	}
	if skeleton := report.Skeleton(); skeleton != "" {
		fmt.Fprintf(c.stdout, "\nA job to start from:\n\n%s", skeleton)
	}
	return report.Err()
}
