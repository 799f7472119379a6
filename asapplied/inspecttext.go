package asapplied

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"text/tabwriter"

	"ratewright/geo/unit"
)

// String is the inspection as a text for people.
func (in Inspection) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s, %s\n", Shown(in.Path), in.kindText(), in.Format)
	line := func(name, format string, args ...any) {
		fmt.Fprintf(&b, "  %-12s %s\n", name, fmt.Sprintf(format, args...))
	}
	line("coordinates", "%s", in.systemText())
	if in.Image != nil {
		line("pixels", "%s", in.Image.text())
	} else {
		line("records", "%d read, %d with what they need%s", in.Read, in.Records, droppedText(in.Dropped))
	}
	if p := in.Bounds; p != nil {
		line("bounds", "lon %.7f to %.7f, lat %.7f to %.7f", p.West, p.East, p.South, p.North)
	}
	if in.AreaM2 != nil {
		area := unit.SquareMetres(*in.AreaM2)
		line("area", "%.4f ha (%.2f ac), polygons added up", area.Hectares(), area.Acres())
	}
	if t := in.Time; t != nil {
		line("time", "%s to %s", t.First, t.Last)
		line("intervals", "median %g s; gaps above %g s: %d, the longest %g s", t.MedianIntervalS, t.GapS, t.Gaps, t.LongestGapS)
		line("order", "%d backward, %d at the time of the record before, %d of them at its position too", t.Backward, t.SameTime, t.Duplicates)
	}
	if in.Sections > 0 {
		line("sections", "%d", in.Sections)
	}
	if in.SamePlace > 0 {
		line("standing", "%d records at the position of the one before", in.SamePlace)
	}
	in.columnTable(&b)
	list(&b, "fault", in.Faults)
	list(&b, "note", in.Notes)
	return b.String()
}

func (in Inspection) kindText() string {
	switch in.Kind {
	case KindLog:
		return "a machine log"
	case KindBoundary:
		return "one polygon, such as a boundary"
	case KindZones:
		return "polygons, such as zones"
	case KindImage:
		return "an image"
	case KindPlaces:
		return "points or lines, such as wells and streams"
	}
	return "a table without positions"
}

func (in Inspection) systemText() string {
	switch {
	case in.CRS == "" && in.Datum == "":
		return "the file names none"
	case in.Datum == "" || strings.Contains(in.CRS, in.Datum):
		return in.CRS
	}
	return in.CRS + ", datum " + in.Datum
}

func droppedText(dropped map[string]int) string {
	if len(dropped) == 0 {
		return ""
	}
	var parts []string
	for _, k := range slices.Sorted(maps.Keys(dropped)) {
		parts = append(parts, fmt.Sprintf("%d %s", dropped[k], strings.ReplaceAll(k, "_", " ")))
	}
	return "; dropped: " + strings.Join(parts, ", ")
}

// columnTable writes one line a column.
func (in Inspection) columnTable(b *strings.Builder) {
	if len(in.Columns) == 0 {
		return
	}
	w := tabwriter.NewWriter(b, 0, 4, 2, ' ', 0)
	fmt.Fprintln(w, "  COLUMN\tROLE\tUNIT\tVALUES\tEMPTY\tSUCH AS")
	for _, c := range in.Columns {
		role, of := orDash(c.Role), ""
		if c.Of != "" {
			of = " " + c.Of
		}
		fmt.Fprintf(w, "  %s\t%s\t%s%s\t%d\t%d\t%s\n", Shown(c.Name), role, c.unitText(), of, c.Filled, c.Empty, c.sampleText())
	}
	w.Flush() // writes to memory cannot fail
	for _, c := range in.Columns {
		if c.Missing != "" {
			fmt.Fprintf(b, "  to say: %s: %s\n", Shown(c.Name), c.Missing)
		}
	}
}

func (c ColumnReport) unitText() string {
	if c.Unit == "" && c.Missing != "" && c.Role != "" {
		return "?"
	}
	return orDash(c.Unit)
}

func (c ColumnReport) sampleText() string {
	text := strings.Join(allShown(c.Samples), "  ")
	if r := []rune(text); len(r) > 48 {
		text = string(r[:47]) + "…"
	}
	if c.Min != nil && c.Numbers == c.Filled && c.values > len(c.Samples) {
		text = shortNumber(*c.Min) + " to " + shortNumber(*c.Max)
	}
	return text
}

func orDash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}

func list(b *strings.Builder, name string, lines []string) {
	for _, l := range lines {
		fmt.Fprintf(b, "  %s: %s\n", name, l)
	}
}
