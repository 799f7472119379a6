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
	name: "reconcile", args: "JOB.yaml [-o DIR] [--application NAME] [--simplify LENGTH] [--json]", about: "machine log to missed, doubled and shallow areas",
	help: `Reads what prescribe reads and the machine logs of the application. Writes reconcile.json
and the patches as GeoJSON and as a shapefile, and prints the areas and the nitrogen.

` + flagTable + `  --simplify LENGTH   let outlines of patches lie so far from where they are, such as "0.5 m",
                      to keep files small; sums stay exact
`,
	run: (*call).reconcile,
}

func (c *call) reconcile(args []string) error {
	o, err := parse("reconcile", args, "o", "application", "simplify", "json")
	if err != nil {
		return err
	}
	j, out, err := c.openJob("reconcile", o)
	if err != nil {
		return err
	}
	return c.reconcileJob(j, out, o.application, job.How{Simplify: o.simplify})
}

// reconcileJob runs the step, writes its files and prints it.
func (c *call) reconcileJob(j job.Job, out, application string, how job.How) error {
	r, err := j.ReconcileAs(application, how)
	if err != nil {
		return err
	}
	if err := c.write(out, r.Set, r.Inputs); err != nil {
		return err
	}
	if c.json {
		if _, err = c.stdout.Write(r.Set.Summary.Data); err == nil {
			c.tellReading(r.LogNotes)
		}
	} else {
		_, err = fmt.Fprint(c.stdout, reconciliationText(j, r))
		c.printFiles(out, r.Set)
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
	fmt.Fprintf(&b, "%s: what the machine did, %s\n\n", r.Field.Name, r.Application)
	b.WriteString(areaTable(j.Units, r.Reconciliation).String())
	b.WriteString("\n")
	b.WriteString(nitrogenTable(j.Units, r.Reconciliation).String())
	if t := zoneSumTable(j.Units, r.Reconciliation); len(t.rows) > 0 {
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
const notKnown = "-"

// areaTable lists the classes of the field's ground with their shares of it, and
// how many patches each has: those listed in the files, and smaller ones.
func areaTable(u unit.System, r asapplied.Reconciliation) *table {
	t := &table{left: 1, head: [][]string{{"", u.AreaUnit(), "% of field", "patches", "smaller"}}}
	a, k := r.Area, r.Known
	row := func(name string, known bool, m2 float64, kind ...asapplied.Kind) {
		if !known {
			t.add(name, notKnown, notKnown)
			return
		}
		cells := []string{name, u.AreaNumber(unit.SquareMetres(m2)), fmt.Sprintf("%.2f", 100*m2/a.Field)}
		for _, k := range kind {
			s := r.PatchSums[k]
			cells = append(cells, fmt.Sprint(s.Listed), fmt.Sprint(s.Small))
		}
		t.add(cells...)
	}
	row("field", true, a.Field)
	t.add()
	row("covered", true, a.Covered)
	row("  once", true, a.Once)
	row("    lapped in a turn", true, a.Lapped, asapplied.Lapped)
	row("  doubled", true, a.Doubled, asapplied.Doubled)
	row("missed", true, a.Missed, asapplied.Missed)
	row("not planned", true, a.NotPlanned)
	t.add()
	row("as prescribed", k.Plan && k.Nitrogen, a.AsPrescribed)
	row("light", k.Plan && k.Nitrogen, a.Light, asapplied.Light)
	row("heavy", k.Plan && k.Nitrogen, a.Heavy, asapplied.Heavy)
	row("unprescribed", k.Plan, a.Unprescribed, asapplied.Unprescribed)
	t.add()
	row("shallow", k.Shallow, a.Shallow, asapplied.Shallow)
	row("depth unknown", k.Depth, a.DepthUnknown)
	t.add()
	row("outside the boundary", true, a.Outside, asapplied.Outside)
	row("in off-limits ground", true, a.OffLimits, asapplied.OffLimits)
	return t
}

func nitrogenTable(u unit.System, r asapplied.Reconciliation) *table {
	t := &table{left: 1, head: [][]string{{"nitrogen", u.NMassUnit()}}}
	n, k := r.Nitrogen, r.Known
	row := func(name string, known bool, kg float64) {
		if known {
			t.add(name, u.NMassNumber(unit.Kilograms(kg)))
		} else {
			t.add(name, notKnown)
		}
	}
	row("prescribed", k.Plan, n.Prescribed)
	row("put down", k.Nitrogen, n.Applied)
	row("  in the field", k.Nitrogen, n.InField)
	row("  outside the boundary", k.Nitrogen, n.Outside)
	row("  in off-limits ground", k.Nitrogen, n.OffLimits)
	row("  while standing", k.Nitrogen, n.Standing)
	row("short of the prescription", k.Plan && k.Nitrogen, n.Short)
	row("beyond the prescription", k.Plan && k.Nitrogen, n.Excess)
	row("put down shallow", k.Shallow && k.Nitrogen, n.Shallow)
	return t
}

func zoneSumTable(u unit.System, r asapplied.Reconciliation) *table {
	t := &table{left: 1, head: [][]string{
		{"zone", "area", "missed", "doubled", "light", "heavy", "prescribed", "put down"},
		{"", u.AreaUnit(), u.AreaUnit(), u.AreaUnit(), u.AreaUnit(), u.AreaUnit(), u.NMassUnit(), u.NMassUnit()},
	}}
	k := r.Known
	area := func(known bool, m2 float64) string {
		if !known {
			return notKnown
		}
		return u.AreaNumber(unit.SquareMetres(m2))
	}
	mass := func(known bool, kg float64) string {
		if !known {
			return notKnown
		}
		return u.NMassNumber(unit.Kilograms(kg))
	}
	for _, z := range r.Zones {
		a := z.Area
		if zero := u.AreaNumber(0); u.AreaNumber(unit.SquareMetres(a.Field)) == zero {
			continue // what lies beyond the field stands in the tables above
		}
		t.add(z.ID, area(true, a.Field), area(true, a.Missed), area(true, a.Doubled),
			area(k.Plan && k.Nitrogen, a.Light), area(k.Plan && k.Nitrogen, a.Heavy),
			mass(k.Plan, z.Nitrogen.Prescribed), mass(k.Nitrogen, z.Nitrogen.InField))
	}
	return t
}

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
		{"kind", "zone", "area", "put down", "short", "longitude", "latitude"},
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
		at := p.Polygons.Bound().Center()
		t.add(strings.ReplaceAll(p.Kind.String(), "_", " "), p.ZoneID, u.AreaNumber(p.Area), mass(p.HasN, p.N), mass(p.HasShort, p.Short),
			fmt.Sprintf("%.5f", at.Lon()), fmt.Sprintf("%.5f", at.Lat()))
	}
	return t
}
