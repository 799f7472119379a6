package main

import (
	"fmt"
	"strings"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/job"
)

var planCommand = command{
	name: "plan", args: "JOB.yaml... [-o DIR] [--png FILE] [--json]", about: "strategies compared over years of weather, and the best use of what there is",
	help: `Compares the strategies of the job zone by zone: what is lost and what remains in the soil, what
it costs, yields and returns, over the years of a weather record; then chooses for each zone so
that supply and work suffice, with a proven bound. Several jobs that share strategies share one
supply. Writes plan.json, plan.csv and the map page plan.html.

Flags:
` + outFlag + strings.Replace(pngFlag, "the map", "the first field's map", 1) + jsonFlag,
	run: (*call).plan,
}

func (c *call) plan(args []string) error {
	o, err := parse("plan", args, "o", "png", "json")
	if err != nil {
		return err
	}
	if len(o.words) == 0 {
		return wrongUse("plan", "name a job file")
	}
	out := o.outDir(o.words[0])
	if err := c.recoverOutputs(out, o.words); err != nil {
		return err
	}
	var jobs []job.Job
	for _, file := range o.words {
		j, err := job.Load(file)
		if err != nil {
			return err
		}
		jobs = append(jobs, j)
	}
	return c.planJobs(jobs, out, o, false)
}

// planJobs runs the step, writes its files and, unless silent, prints it.
func (c *call) planJobs(jobs []job.Job, out string, o options, silent bool) error {
	p, err := job.Plan(jobs, job.How{PNG: o.png != ""})
	if err != nil {
		return err
	}
	summary, err := c.writeResults(out, p.Set, p.Inputs, o.png, p.Picture)
	switch {
	case err != nil || silent:
	case c.json:
		_, err = c.stdout.Write(summary)
	default:
		_, err = fmt.Fprint(c.stdout, planText(p))
		c.printFiles(out, p.Set)
		c.printPicture(o.png)
	}
	if err == nil && len(p.Beyond) > 0 {
		return &findingError{p.Beyond}
	}
	return err
}

func planText(p job.Planned) string {
	var b strings.Builder
	// Of many fields nobody reads it all at a terminal; each has its page.
	const mostInFull = 3
	if len(p.Fields) > mostInFull {
		fmt.Fprintf(&b, "%d fields, %s over %d years, by %s; each has its page\n\n", len(p.Fields), countOf(len(p.Result.Input.Strategies), "strategy", "strategies"), p.Fields[0].Years, p.Result.Input.By.Format("2006-01-02"))
		b.WriteString(textTable(p.FieldTable()).String())
	}
	for i, f := range p.Fields {
		if len(p.Fields) > mostInFull {
			break
		}
		fmt.Fprintf(&b, "%s: %s over %d years, by %s\n\n", asapplied.Shown(f.Field), countOf(len(f.Totals), "strategy", "strategies"), f.Years, p.Result.Input.By.Format("2006-01-02"))
		b.WriteString(textTable(p.StrategyTable(i)).String())
		t := p.PathwayTable(i)
		b.WriteString("\n" + t.Title + "\n" + textTable(t).String())
		b.WriteString(section("Found", f.Words))
		if t := p.ChoiceTable(i); len(t.Rows) > 0 {
			b.WriteString("\n" + t.Title + "\n" + textTable(t).String())
		}
		b.WriteString(section("What argues against (figures and sources stand in plan.json and on the page)", p.AgainstLines(f.Field, true)))
		if i < len(p.Fields)-1 {
			b.WriteString("\n")
		}
	}
	if t := p.LimitTable(); len(t.Rows) > 0 {
		b.WriteString("\n" + t.Title + "\n" + textTable(t).String())
	}
	b.WriteString(section("What the bands hold", p.BandLines()))
	b.WriteString(section("Notes", p.Notes))
	b.WriteString(section("Cautions", p.Cautions))
	return b.String()
}

func countOf(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
