package main

import (
	"encoding/json"
	"fmt"
	"sort"
	"strings"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/job"
	"ratewright/geo/unit"
)

var reconcileCommand = command{
	name: "reconcile", args: "JOB.yaml [-o DIR] [--application NAME] [--simplify LENGTH] [--png FILE] [--json]", about: "machine log to missed, doubled and shallow areas",
	help: `Reads what prescribe reads and the machine logs of the application. Writes the map
page reconcile.html, reconcile.json and the patches as GeoJSON and as a shapefile, and prints
the areas and the nitrogen.

` + flagTable + `  --simplify LENGTH   let outlines of patches lie so far from where they are, such as "0.5 m",
                      to keep files small; sums stay exact
`,
	run: (*call).reconcile,
}

func (c *call) reconcile(args []string) error {
	o, err := parse("reconcile", args, "o", "application", "simplify", "png", "json")
	if err != nil {
		return err
	}
	j, out, err := c.openJob("reconcile", o)
	if err != nil {
		return err
	}
	return c.reconcileJob(j, out, o)
}

// reconcileJob runs the step, writes its files and prints it.
func (c *call) reconcileJob(j job.Job, out string, o options) error {
	r, err := j.ReconcileAs(o.application, job.How{Simplify: o.simplify, PNG: o.png != ""})
	if err != nil {
		return err
	}
	summary, err := c.writeResults(out, r.Set, r.Inputs, o.png, r.Picture)
	if err != nil {
		return err
	}
	if c.json {
		if _, err = c.stdout.Write(summary); err == nil {
			c.tellReading(r.LogNotes)
		}
	} else {
		_, err = fmt.Fprint(c.stdout, reconciliationText(j, r))
		c.printFiles(out, r.Set)
		c.printPicture(o.png)
	}
	if err == nil && len(r.Beyond) > 0 {
		err = &findingError{r.Beyond}
	}
	return err
}

// readingJSON tells on standard error, as JSON like all there, how a log was read.
type readingJSON struct {
	Schema string   `json:"schema"`
	Notes  []string `json:"notes"`
}

func (c *call) tellReading(notes []string) {
	if len(notes) == 0 {
		return
	}
	line, err := json.Marshal(readingJSON{"ratewright/reading/1", notes})
	if err == nil {
		fmt.Fprintf(c.stderr, "%s\n", line)
	}
}

func reconciliationText(j job.Job, r job.Reconciled) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: what the machine did, %s\n\n", asapplied.Shown(r.Field.Name), asapplied.Shown(r.Application))
	b.WriteString(textTable(job.AreaTable(j.Units, r.Reconciliation)).String())
	b.WriteString("\n")
	b.WriteString(textTable(job.NitrogenTable(j.Units, r.Reconciliation)).String())
	if t := textTable(job.ZoneSumTable(j.Units, r.Reconciliation)); len(t.rows) > 0 {
		b.WriteString("\n" + t.String())
	}
	if t := patchTable(j.Units, r.Reconciliation.Patches); len(t.rows) > 0 {
		b.WriteString("\nLargest patches\n" + t.String())
	}
	b.WriteString(section("Records of the log", []string{recordsText(r.Reconciliation.Records)}))
	b.WriteString(section("How the log was read", r.LogNotes))
	b.WriteString(section("Notes", r.Notes))
	b.WriteString(section("Cautions", r.Cautions))
	return b.String()
}

// notKnown stands where the log or the job does not tell a figure.
const notKnown = job.NotKnown

func recordsText(r asapplied.Records) string {
	text := fmt.Sprintf("%d read, %d used, %d not working", r.Read, r.Used, r.NotWorking)
	reasons := make([]string, 0, len(r.Dropped))
	for reason := range r.Dropped {
		reasons = append(reasons, reason)
	}
	sort.Strings(reasons)
	for _, reason := range reasons {
		if r.Dropped[reason] > 0 {
			text += fmt.Sprintf(", %d dropped (%s)", r.Dropped[reason], strings.ReplaceAll(reason, "_", " "))
		}
	}
	return text
}

// patchTable lists the largest patches, where they are and what they lack.
func patchTable(u unit.System, patches []asapplied.Patch) *table {
	const show = 10
	t := &table{left: 2, head: [][]string{
		{"kind", "zone", "area", "applied", "short", "longitude", "latitude"},
		{"", "", u.AreaUnit(), u.NMassUnit(), u.NMassUnit(), "", ""},
	}}
	largest := append([]asapplied.Patch{}, patches...)
	sort.SliceStable(largest, func(i, j int) bool { return largest[i].Area > largest[j].Area })
	mass := func(known bool, m unit.Mass) string {
		if !known {
			return notKnown
		}
		return u.NMassNumber(m)
	}
	for _, p := range largest[:min(show, len(largest))] {
		at := p.Place()
		t.add(strings.ReplaceAll(p.Kind.String(), "_", " "), p.ZoneID, u.AreaNumber(p.Area), mass(p.HasN, p.N), mass(p.HasShort, p.Short),
			fmt.Sprintf("%.5f", at.Lon()), fmt.Sprintf("%.5f", at.Lat()))
	}
	return t
}
