package job

import (
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"ratewright/asapplied"
)

func timeText(ns int64) string { return time.Unix(0, ns).UTC().Format(time.RFC3339Nano) }

// Skeleton is a job file that names the inspected files; empty where none of
// them is an area or a log. What only the user knows stands there as a remark.
func (r Report) Skeleton() string {
	var boundary, zones, log *Inspection
	for i := range r.Files {
		f := &r.Files[i]
		switch {
		case f.Kind == "log" && log == nil:
			log = f
		case f.Kind == "areas" && f.Layer.Features > 1 && zones == nil:
			zones = f
		case f.Kind == "areas" && boundary == nil:
			boundary = f
		}
	}
	if boundary == nil && zones == nil && log == nil {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "units: us\nfield:\n  name: My field\n  boundary: %s\n", nameOr(boundary, "boundary.geojson   # yet to be named"))
	if zones != nil {
		fmt.Fprintf(&b, "zones:\n  file: %s\n  id: %s\n", nameOr(zones, ""), zones.idColumn())
	}
	b.WriteString("machines:\n  bar:\n    width: 60 ft   # the working width\n")
	if log != nil && log.Log.Sections > 1 {
		fmt.Fprintf(&b, "    sections: %d\n", log.Log.Sections)
	}
	b.WriteString("applications:\n  - name: sidedress\n    source: uan-32   # what was put down\n    machine: bar\n")
	if zones != nil {
		fmt.Fprintf(&b, "    rate: {column: %s, unit: lb/ac, of: nitrogen}\n", zones.rateColumn())
	}
	if log != nil {
		b.WriteString(log.logSkeleton())
	}
	return b.String()
}

func nameOr(f *Inspection, other string) string {
	if f == nil {
		return other
	}
	return quoted(filepath.ToSlash(f.File))
}

// quoted puts a word in quotes where YAML would read it otherwise.
func quoted(s string) string {
	if plainName.MatchString(strings.NewReplacer(".", "a", "/", "a", " ", "a").Replace(s)) && strings.TrimSpace(s) == s {
		return s
	}
	return fmt.Sprintf("%q", s)
}

// idColumn is the first column with as many values as there can be zones.
func (in *Inspection) idColumn() string {
	for _, c := range in.Layer.Columns {
		if c.Values > 1 && c.Values <= in.Layer.Features {
			return quoted(c.Name)
		}
	}
	return "ZONE   # the column of the zone ids"
}

func (in *Inspection) rateColumn() string {
	for _, c := range in.Layer.Columns {
		name := strings.ToLower(c.Name)
		if c.Numeric && (strings.Contains(name, "rate") || strings.Contains(name, "lb") || strings.Contains(name, "kg")) {
			return quoted(c.Name)
		}
	}
	return "RATE"
}

// logSkeleton writes out the columns as they were guessed, so that a change of
// the guess never changes the job.
func (in *Inspection) logSkeleton() string {
	var columns, units []string
	of := ""
	for _, u := range in.spec {
		columns = append(columns, u.Role+": "+columnText(u))
		if _, ok := unitRoles[u.Role]; ok && u.Unit != "" && unitRoles[u.Role](u.Unit) == nil {
			units = append(units, u.Role+": "+quoted(u.Unit))
		}
		if u.Of != "" {
			of = u.Of
		}
	}
	text := fmt.Sprintf("    logs:\n      - files: [%s]\n        columns: {%s}\n", quoted(filepath.ToSlash(in.File)), strings.Join(columns, ", "))
	if len(units) > 0 {
		text += fmt.Sprintf("        units: {%s}\n", strings.Join(units, ", "))
	}
	if of != "" {
		text += fmt.Sprintf("        of: %s   # what rate, target and flow count\n", of)
	}
	return text
}

func columnText(u asapplied.ColumnUse) string {
	if len(u.Columns) == 1 {
		return quoted(u.Columns[0])
	}
	list := make([]string, len(u.Columns))
	for i, c := range u.Columns {
		list[i] = quoted(c)
	}
	return "[" + strings.Join(list, ", ") + "]"
}
