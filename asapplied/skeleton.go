package asapplied

import (
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Skeleton writes a job file (YAML) for inspected files: what they show is
// filled in; what decides the result and only the user knows is left open and
// marked "say", so that no made-up value can run. Every file has its line, unread
// ones too. Paths stand as they were given; a job's paths are relative to the job.
func Skeleton(files []Inspection, unread ...string) string {
	var k skeleton
	k.b.WriteString("# A job file made from the files inspected. Check each line; those marked\n# \"say\" are for you to fill in: no file can tell.\n")
	if slices.ContainsFunc(files, func(in Inspection) bool { return !filepath.IsAbs(in.Path) }) {
		k.b.WriteString("# Save it in the folder where inspect was run: a job's paths are relative to the\n# job file, and those below are as they were given. Elsewhere, correct them.\n")
	}
	k.b.WriteString("units: us                     # or si: how results are printed\n")
	p := placeFiles(files)
	k.field(&p)
	if p.zones != nil {
		k.zones(p.zones)
	}
	k.machine(p.logs)
	k.application(&p)
	k.b.WriteString("reconcile:\n  tolerance: 10 %\n  min_patch: 0.01 ac\n")
	k.unplaced(p.others, unread)
	return k.b.String()
}

type skeleton struct{ b strings.Builder }

func (k *skeleton) line(indent int, text, remark string) {
	text = strings.Repeat(" ", indent) + text
	if remark != "" {
		text = fmt.Sprintf("%-28s  # %s", text, remark)
	}
	k.b.WriteString(text + "\n")
}

func (k *skeleton) field(p *placed) {
	k.line(0, "field:", "")
	k.line(2, "name: My field", "say")
	if p.boundary != nil {
		k.line(2, "boundary: "+yamlText(p.boundary.Path), p.boundaryRemark())
	} else {
		k.line(2, "boundary:", "say: no file of one polygon was given")
	}
	k.exclude(p)
	if len(p.places) > 0 {
		k.line(2, "setbacks:", "")
	}
	for _, f := range p.places {
		k.line(4, fmt.Sprintf("- {around: %s, distance: }", yamlText(f.Path)), "say, such as 50 ft")
	}
}

func (k *skeleton) zones(z *Inspection) {
	k.line(0, "zones:", "")
	k.line(2, "file: "+yamlText(z.Path), "")
	id, remark := "", "say: no column looks like an id"
	if c := idColumn(z); c != nil {
		id, remark = c.Name, "values such as "+strings.Join(allShown(c.Samples), ", ")
	}
	k.line(2, strings.TrimSuffix("id: "+yamlText(id), `""`), remark)
	var others []string
	for _, c := range z.Columns {
		if c.Name != id {
			others = append(others, c.Name)
		}
	}
	if len(others) > 0 {
		k.line(2, "# other columns, for columns: {role: column}: "+strings.Join(allShown(others), ", "), "")
	}
}

// idColumn is the column whose name says id or zone, else the first that tells
// the polygons apart without being a measure.
func idColumn(z *Inspection) *ColumnReport {
	for i, c := range z.Columns {
		for _, w := range nameWords(c.Name) {
			if (w == "zone" || w == "zoneid" || w == "id") && c.Filled > 0 {
				return &z.Columns[i]
			}
		}
	}
	for i, c := range z.Columns {
		if c.values > 1 && c.Numbers < c.Filled {
			return &z.Columns[i]
		}
	}
	return nil
}

func (k *skeleton) machine(logs []*Inspection) {
	k.line(0, "machines:", "")
	k.line(2, "bar:", "")
	k.line(4, "width:", "say, such as 60 ft")
	for _, l := range logs {
		if l.Sections > 0 {
			k.line(4, fmt.Sprintf("sections: %d", l.Sections), "equal widths; or list them, left to right")
			break
		}
	}
	k.line(4, "# bar: {behind: 8 ft, right: 0 ft}", "where the bar is, seen from the logged position")
}

func (k *skeleton) application(p *placed) {
	k.line(0, "applications:", "")
	k.line(2, "- name: sidedress", "say")
	k.line(4, "source:", "say, such as uan-32")
	k.line(4, "date:", "say, such as 2026-06-05")
	k.line(4, "machine: bar", "")
	if p.zones != nil {
		k.rate(p.zones)
	}
	k.maps(p)
	if len(p.logs) == 0 {
		return
	}
	k.line(4, "logs:", "")
	for _, l := range p.logs {
		k.log(l)
	}
}

// rate proposes the rate column of the zones, or a table of their ids.
func (k *skeleton) rate(z *Inspection) {
	if c := rateColumn(z); c != nil {
		u, of := c.counts()
		remark := ""
		if u == "" || of == "" {
			remark = "say the unit, such as lb/ac, and of: nitrogen or product"
		}
		k.line(4, fmt.Sprintf("rate: {column: %s, unit: %s, of: %s}", yamlText(c.Name), u, of), remark)
		return
	}
	var ids []string
	if c := idColumn(z); c != nil {
		for _, s := range c.Samples {
			ids = append(ids, yamlText(s)+": ")
		}
	}
	k.line(4, fmt.Sprintf("rate: {table: {%s}, unit: lb/ac, of: nitrogen}", strings.Join(ids, ", ")), "say a rate for every zone id")
}

// log writes out the columns as they were guessed, so that a better guess never
// changes a job. A role that decides nothing is left out while its unit is not
// known.
func (k *skeleton) log(l *Inspection) {
	k.line(6, "- files: ["+yamlText(l.Path)+"]", "")
	k.line(8, "columns:", "")
	var units []ColumnReport
	for _, r := range roles {
		found := l.columnsOf(r.name)
		if len(found) == 0 {
			continue
		}
		first := found[0]
		if first.Unit == "" && first.Missing != "" && !r.deciding {
			k.line(10, fmt.Sprintf("# %s: %s", r.name, yamlText(first.Name)), "needs its unit below")
			continue
		}
		text := yamlText(first.Name)
		if len(found) > 1 {
			var names []string
			for _, c := range found {
				names = append(names, yamlText(c.Name))
			}
			text = "[" + strings.Join(names, ", ") + "]"
		}
		k.line(10, r.name+": "+text, "")
		if r.quantity != plain && r.quantity != angle {
			units = append(units, first)
		}
	}
	k.working(l)
	k.units(units)
	for _, n := range l.Notes {
		if strings.Contains(n, "name no zone") {
			k.line(8, "zone:", "say, such as America/Chicago: the times name none")
		}
	}
}

// columnsOf returns the columns of a role, left to right.
func (in *Inspection) columnsOf(role string) []ColumnReport {
	var found []ColumnReport
	for _, c := range in.Columns {
		if c.Role == role {
			found = append(found, c)
		}
	}
	slices.SortFunc(found, func(a, b ColumnReport) int { return a.lane - b.lane })
	return found
}

func (k *skeleton) units(units []ColumnReport) {
	if len(units) > 0 {
		k.line(8, "units:", "")
	}
	counts, of := false, ""
	for _, c := range units {
		r, _ := roleNamed(c.Role)
		switch r.quantity {
		case nRate, flow, amount:
			counts = true
			if c.Of != "" {
				of = c.Of
			}
		}
		remark := ""
		if c.Unit == "" {
			remark = "say, such as " + unitExample(r.quantity)
		}
		k.line(10, strings.TrimSpace(c.Role+": "+c.Unit), remark)
	}
	switch {
	case of != "":
		k.line(8, "of: "+of, "what rate, target and flow count")
	case counts:
		k.line(8, "of:", "say: nitrogen or product, whichever rate, target and flow count")
	}
}

var plainYAML = regexp.MustCompile(`^[A-Za-z_./][A-Za-z0-9_./ -]*$`)

// yamlText writes a text so that YAML reads it as that text.
func yamlText(s string) string {
	switch strings.ToLower(s) {
	case "y", "n", "yes", "no", "on", "off", "true", "false", "null", "":
		return strconv.Quote(s)
	}
	if plainYAML.MatchString(s) && strings.TrimSpace(s) == s {
		return s
	}
	return strconv.Quote(s)
}
