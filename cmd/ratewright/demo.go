package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/demo"
	"ratewright/cmd/ratewright/internal/job"
	"ratewright/cmd/ratewright/internal/outputs"
)

var demoCommand = command{
	name: "demo", args: "DIR [--json]", about: "makes up a field in DIR and runs the whole job on it",
	help: `Writes a made-up field (boundary, waterway, well, zones, job file, a machine log with known
faults, 20 years of weather) into DIR, then runs prescribe, reconcile and plan there. The outputs
go to DIR/out. Files of other content in DIR are never overwritten.

Flags:
  --json  print exactly the summary JSON of reconcile; an error is JSON on stderr`,
	run: (*call).demo,
}

func (c *call) demo(args []string) error {
	o, err := parse("demo", args, "json")
	if err != nil {
		return err
	}
	dir, err := o.oneWord("demo", "folder")
	if err != nil {
		return err
	}
	files, err := demo.Files()
	if err != nil {
		return err
	}
	if err := c.writeDemo(dir, files); err != nil {
		return err
	}
	file := filepath.Join(dir, demo.JobFile)
	j, err := job.Load(file)
	if err != nil {
		return err
	}
	out := o.outDir(file)
	if !c.json {
		c.printDemo(dir)
	}
	if err := c.prescribeJob(j, out, options{}, c.json); err != nil {
		return err
	}
	if !c.json {
		fmt.Fprintln(c.stdout)
	}
	if c.json {
		if err := c.planJobs([]job.Job{j}, out, options{}, true); err != nil {
			return err
		}
		return c.reconcileJob(j, out, options{})
	}
	if err := c.reconcileJob(j, out, options{}); err != nil {
		return err
	}
	fmt.Fprintln(c.stdout)
	return c.planJobs([]job.Job{j}, out, options{}, false)
}

// writeDemo writes the inputs, the job file last. A file that is there with the
// same bytes stays; one with others belongs to somebody.
func (c *call) writeDemo(dir string, files map[string][]byte) error {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return fmt.Errorf("%s: is a file; name a folder for the demo", dir)
	}
	set := outputs.Set{}
	for _, name := range sortedNames(files) {
		path := filepath.Join(dir, name)
		have, err := os.ReadFile(path)
		if err == nil && !bytes.Equal(have, files[name]) {
			return fmt.Errorf("%s: is not the demo's file, and the demo overwrites nothing; name an empty folder", path)
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		if name != demo.JobFile {
			set.Files = append(set.Files, outputs.File{Name: name, Data: files[name]})
		}
	}
	set.Summary = outputs.File{Name: demo.JobFile, Data: files[demo.JobFile]}
	_, err := c.write(dir, set, nil)
	return err
}

func (c *call) printDemo(dir string) {
	fmt.Fprintf(c.stdout, "A made-up field is in %s. Its log has these faults on purpose:\n", asapplied.Shown(dir))
	for _, f := range demo.Faults() {
		fmt.Fprint(c.stdout, wrap("  - ", f.What+": "+f.Where))
	}
	fmt.Fprintln(c.stdout)
}
