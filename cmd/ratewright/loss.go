package main

import (
	"fmt"
	"strings"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/job"
)

var lossCommand = command{
	name: "loss", args: "JOB.yaml [-o DIR] [--application NAME] [--png FILE] [--json]", about: "what becomes of the nitrogen of each application, day by day",
	help: `Reads boundary, zones, rates and daily weather, and follows the nitrogen of every application of
the job, or of the one that --application names, on every zone: what remains in the soil, what
residue immobilizes, and what is lost as ammonia, at injection, by denitrification and by leaching.
Writes the page loss.html, loss.csv and loss.json, and prints the course in short, warnings before
harm, and what the bands hold. A ranking with bands, not a forecast.

Flags:
` + outFlag + anyFlag + pngFlag + jsonFlag,
	run: (*call).loss,
}

func (c *call) loss(args []string) error {
	o, err := parse("loss", args, "o", "application", "png", "json")
	if err != nil {
		return err
	}
	j, out, err := c.openJob("loss", o)
	if err != nil {
		return err
	}
	f, err := j.LossAs(o.application, job.How{PNG: o.png != ""})
	if err != nil {
		return err
	}
	summary, err := c.writeResults(out, f.Set, f.Inputs, o.png, f.Picture)
	if err != nil {
		return err
	}
	if c.json {
		_, err = c.stdout.Write(summary)
	} else {
		_, err = fmt.Fprint(c.stdout, lossText(j, f))
		c.printFiles(out, f.Set)
		c.printPicture(o.png)
	}
	if over := f.Beyond(j); err == nil && len(over) > 0 {
		return &findingError{over}
	}
	return err
}

func lossText(j job.Job, f job.Followed) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: what becomes of the nitrogen\n", asapplied.Shown(f.Field.Name))
	for i, a := range f.JSON.Applications {
		fmt.Fprintf(&b, "\n%s\n", asapplied.Shown(job.LossTitle(j.Units, a)))
		for k := range a.Zones {
			t := job.LossTable(j.Units, f.JSON, i, k)
			fmt.Fprintf(&b, "\n%s\n", asapplied.Shown(t.Title))
			if len(t.Rows) > 0 {
				b.WriteString(textTable(t).String())
			}
		}
		b.WriteString(section("Before the trip", job.LossWarnings(a)))
	}
	b.WriteString(section("What the bands hold", job.LossBands(f.JSON.Bands)))
	b.WriteString(section("Notes", f.Notes))
	b.WriteString(section("Cautions", f.Cautions))
	return b.String()
}
