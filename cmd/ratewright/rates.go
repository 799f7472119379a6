package main

import (
	"fmt"
	"strings"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/job"
)

var ratesCommand = command{
	name: "rates", args: "JOB.yaml [-o DIR] [--application NAME] [--png FILE] [--json]", about: "the arithmetic behind the rates that a method works out",
	help: `Reads boundary, zones and what the method of the application's rate needs. Writes the map page
rates.html and rates.json, and prints every term of every zone with its unit and source, and what
would change the rate most. prescribe makes the rate map of the same rates.

` + flagTable,
	run: (*call).rates,
}

func (c *call) rates(args []string) error {
	o, err := parse("rates", args, "o", "application", "png", "json")
	if err != nil {
		return err
	}
	j, out, err := c.openJob("rates", o)
	if err != nil {
		return err
	}
	r, err := j.RatesAs(o.application, job.How{PNG: o.png != ""})
	if err != nil {
		return err
	}
	summary, err := c.writeResults(out, r.Set, r.Inputs, o.png, r.Picture)
	if err != nil {
		return err
	}
	if c.json {
		_, err = c.stdout.Write(summary)
		return err
	}
	_, err = fmt.Fprint(c.stdout, ratesText(j, r))
	c.printFiles(out, r.Set)
	c.printPicture(o.png)
	return err
}

func ratesText(j job.Job, r job.Rated) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: rates by %s\n\n", asapplied.Shown(r.Field.Name), r.Result.Method)
	b.WriteString(textTable(job.ArithmeticTable(j.Units, r.Result)).String())
	for i, z := range r.Result.Zones {
		if i == 0 || strings.Join(z.Reasons, "\n") != strings.Join(r.Result.Zones[i-1].Reasons, "\n") {
			b.WriteString(section("Zone "+z.ID, z.Reasons))
		}
	}
	if t := job.MeanTable(j.Units, r.Mean); len(t.Rows) > 0 {
		b.WriteString("\n" + t.Title + "\n" + textTable(t).String())
	}
	if t := job.ChangeTable(j.Units, r.Result); len(t.Rows) > 0 {
		b.WriteString("\n" + t.Title + "\n" + textTable(t).String())
	}
	b.WriteString(section("Found", r.Result.Findings))
	b.WriteString(section("Notes", r.Notes))
	b.WriteString(section("Cautions", job.RateCautions()))
	return b.String()
}
