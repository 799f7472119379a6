package main

import (
	"fmt"
	"strings"

	"ratewright/cmd/ratewright/internal/job"
	"ratewright/geo/unit"
	"ratewright/rx"
)

var prescribeCommand = command{
	name: "prescribe", args: "JOB.yaml [-o DIR] [--application NAME] [--json]", about: "zones to a rate map that a controller accepts",
	help: `Reads boundary, zones and application of the job. Writes prescription.json,
prescription.geojson and the rate map as a shapefile and a zip of it, and prints the totals
and what to key in at the controller.

` + flagTable,
	run: (*call).prescribe,
}

func (c *call) prescribe(args []string) error {
	o, err := parse("prescribe", args, "o", "application", "json")
	if err != nil {
		return err
	}
	j, out, err := c.openJob("prescribe", o)
	if err != nil {
		return err
	}
	return c.prescribeJob(j, out, o.application, false)
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
func (c *call) prescribeJob(j job.Job, out, application string, silent bool) error {
	p, err := j.Prescribe(application)
	if err != nil {
		return err
	}
	if err := c.write(out, p.Set, p.Inputs); err != nil {
		return err
	}
	switch {
	case silent:
	case c.json:
		_, err = c.stdout.Write(p.Set.Summary.Data)
	default:
		_, err = fmt.Fprint(c.stdout, prescriptionText(j, p))
		c.printFiles(out, p.Set)
	}
	return err
}

func prescriptionText(j job.Job, p job.Prescribed) string {
	var b strings.Builder
	app := p.Prescription.Application
	fmt.Fprintf(&b, "%s: prescription for %s, %s\n\n", p.Prescription.Field.Name, app.Name, app.Source.Label)
	b.WriteString(zoneTable(j.Units, p).String())
	k := p.Prescription.KeyedIn
	b.WriteString(section("Key in at the controller", append([]string{
		fmt.Sprintf("default %g %s, outside %g %s, position lost %g %s", k.Default, k.Unit, k.Outside, k.Unit, k.PositionLost, k.Unit),
	}, k.Why...)))
	if l := p.Prescription.Loads; l != nil {
		b.WriteString(section("Loads", []string{
			fmt.Sprintf("%.2f tanks: fill %d times; one covers %s", l.Exact, l.Count, j.Units.Area(l.Area)),
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

// zoneTable has a row for each zone: nitrogen in the units of the job, product
// in those of the rate map.
func zoneTable(u unit.System, p job.Prescribed) *table {
	t := &table{left: 1}
	per := p.Prescription.Application.Map.Unit
	amount := func(a rx.AmountJSON) string { return unit.Amount{Value: a.Value, Unit: per.Amount()}.Number() }
	rate := func(v float64) string { return unit.Rate{Value: v, Unit: per}.Number() }
	t.head = [][]string{
		{"zone", "area", "nitrogen", "product", "nitrogen", "product"},
		{"", u.AreaUnit(), u.NRateUnit(), per.String(), u.NMassUnit(), per.Amount().String()},
	}
	for i, z := range p.Prescription.Zones {
		row := p.JSON.Zones[i]
		t.add(z.ZoneID, u.AreaNumber(z.Region.Area()), u.NRateNumber(z.NRate), rate(row.ProductRate.Value), u.NMassNumber(z.Nitrogen()), amount(row.Product))
	}
	if p.Prescription.Unzoned.Area() > 0 {
		t.add(rx.UnzonedID, u.AreaNumber(p.Prescription.Unzoned.Area()), u.NRateNumber(0), rate(0))
	}
	t.add()
	f := p.Prescription.Field
	t.add("field", u.AreaNumber(f.Ground.Area()), "", "", u.NMassNumber(p.Prescription.Nitrogen()), amount(p.JSON.Product))
	t.add("off limits", u.AreaNumber(f.OffLimits.Area()))
	return t
}
