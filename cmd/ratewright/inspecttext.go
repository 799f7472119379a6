package main

import (
	"fmt"
	"sort"
	"strings"

	"ratewright/cmd/ratewright/internal/job"
)

// inspectionText is one file's part of the output of inspect.
func inspectionText(f job.Inspection) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n", f.File, f.Kind)
	if l := f.Layer; l != nil {
		fmt.Fprintf(&b, "  %s, %s", l.Format, l.CRS)
		if l.Datum != "" {
			fmt.Fprintf(&b, ", datum %s", l.Datum)
		}
		fmt.Fprintf(&b, "\n  %d features%s, longitude %.6f to %.6f, latitude %.6f to %.6f\n", l.Features, countsText(l.Skipped, "left out"), l.Lon[0], l.Lon[1], l.Lat[0], l.Lat[1])
		if l.AreaM2 != nil {
			fmt.Fprintf(&b, "  area %.1f m2 (%.2f ha)\n", *l.AreaM2, *l.AreaM2/1e4)
		}
		if f.Log == nil && len(l.Columns) > 0 {
			b.WriteString("\n" + columnTable(l.Columns).String())
		}
	}
	if f.Log != nil {
		b.WriteString(logText(f.Log))
	}
	b.WriteString(section("Faults", f.Faults))
	b.WriteString(section("Notes", f.Notes))
	return b.String()
}

func logText(l *job.LogReport) string {
	var b strings.Builder
	fmt.Fprintf(&b, "  %d rows, %d records%s\n", l.Rows, l.Records, countsText(l.Dropped, "dropped"))
	if l.Start != "" {
		fmt.Fprintf(&b, "  %s to %s", l.Start, l.End)
		if l.MedianInterval != nil {
			fmt.Fprintf(&b, ", median interval %.3g s", *l.MedianInterval)
		}
		b.WriteString("\n")
	} else {
		b.WriteString("  no time: records are taken in the order of the file\n")
	}
	if l.Sections > 0 {
		fmt.Fprintf(&b, "  %d sections\n", l.Sections)
	}
	t := &table{left: 5, head: [][]string{{"role", "column", "unit", "of", "why"}}}
	for _, c := range l.Columns {
		t.add(c.Role, strings.Join(c.Columns, ", "), c.Unit, c.Of, c.Why)
	}
	b.WriteString("\n" + t.String())
	return b.String()
}

func columnTable(columns []job.ColumnReport) *table {
	t := &table{left: 4, head: [][]string{{"column", "holds", "values", "such as"}}}
	for _, c := range columns {
		holds := "text"
		if c.Numeric {
			holds = "numbers"
		}
		t.add(c.Name, holds, fmt.Sprint(c.Values), strings.Join(c.Samples, ", "))
	}
	return t
}

func countsText(counts map[string]int, verb string) string {
	reasons := make([]string, 0, len(counts))
	for r := range counts {
		reasons = append(reasons, r)
	}
	sort.Strings(reasons)
	text := ""
	for _, r := range reasons {
		if counts[r] > 0 {
			text += fmt.Sprintf(", %d %s (%s)", counts[r], verb, strings.ReplaceAll(r, "_", " "))
		}
	}
	return text
}
