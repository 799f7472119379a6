package main

import (
	"fmt"
	"strings"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/job"
	"ratewright/rx"
)

var prescribeCommand = command{
	name: "prescribe", args: "JOB.yaml [-o DIR] [--application NAME] [--png FILE] [--json]", about: "zones to a rate map that a controller accepts",
	help: `Reads boundary, zones and application of the job. Writes the map page
prescription.html, prescription.json, prescription.geojson and the rate map as a shapefile
and a zip of it, and prints the totals and what to key in at the controller.

` + flagTable,
	run: (*call).prescribe,
}

func (c *call) prescribe(args []string) error {
	o, err := parse("prescribe", args, "o", "application", "png", "json")
	if err != nil {
		return err
	}
	j, out, err := c.openJob("prescribe", o)
	if err != nil {
		return err
	}
	return c.prescribeJob(j, out, o, false)
}

// openJob reads the job file that a command names, after putting its output
// folder right.
func (c *call) openJob(command string, o options) (job.Job, string, error) {
	file, err := o.oneWord(command, "job file")
	if err != nil {
		return job.Job{}, "", err
	}
	out := o.outDir(file)
	if err := c.recoverOutputs(out, []string{file}); err != nil {
		return job.Job{}, "", err
	}
	j, err := job.Load(file)
	return j, out, err
}

// prescribeJob runs the step, writes its files and, unless silent, prints it.
func (c *call) prescribeJob(j job.Job, out string, o options, silent bool) error {
	p, err := j.PrescribeAs(o.application, job.How{PNG: o.png != ""})
	if err != nil {
		return err
	}
	summary, err := c.writeResults(out, p.Set, p.Inputs, o.png, p.Picture)
	if err != nil {
		return err
	}
	switch {
	case silent:
	case c.json:
		_, err = c.stdout.Write(summary)
	default:
		_, err = fmt.Fprint(c.stdout, prescriptionText(j, p))
		c.printFiles(out, p.Set)
		c.printPicture(o.png)
	}
	return err
}

func prescriptionText(j job.Job, p job.Prescribed) string {
	var b strings.Builder
	app := p.Prescription.Application
	fmt.Fprintf(&b, "%s: prescription for %s, %s\n\n", asapplied.Shown(p.Prescription.Field.Name), asapplied.Shown(app.Name), asapplied.Shown(app.Source.Label))
	b.WriteString(textTable(job.ZoneTable(j.Units, p)).String())
	k := p.Prescription.KeyedIn
	b.WriteString(section("Key in at the controller", append([]string{
		fmt.Sprintf("default %g %s, outside %g %s, position lost %g %s", k.Default, k.Unit, k.Outside, k.Unit, k.PositionLost, k.Unit),
	}, k.Why...)))
	if l := p.Prescription.Loads; l != nil {
		b.WriteString(section("Loads", []string{
			fmt.Sprintf("%.2f tanks: fill %d %s; one covers %s", l.Exact, l.Count, job.Times(l.Count), j.Units.Area(l.Area)),
		}))
	}
	b.WriteString(section("Found in the rate map", findingLines(p.Findings)))
	b.WriteString(section("Notes", p.Notes))
	b.WriteString(section("Cautions", p.Cautions))
	return b.String()
}

func findingLines(findings []rx.Finding) []string {
	lines := make([]string, len(findings))
	for i, f := range findings {
		lines[i] = f.Text
	}
	return lines
}
