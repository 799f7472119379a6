package job

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"ratewright/cmd/ratewright/page"
	"ratewright/geo/unit"
	"ratewright/rx/course"
)

// shownDays are the days of a course that a table has, and the last.
var shownDays = []int{1, 2, 3, 5, 7, 10, 14, 21, 28, 42, 60, 90, 120, 180, 270, 365}

// LossTable is the course of an application on a zone in short: under the weather of its
// own year where that is known, beside the mean over the years of the record.
func LossTable(u unit.System, doc course.JSON, application, zone int) page.Table {
	a := &doc.Applications[application]
	z := &a.Zones[zone]
	return lossTable(u, fmt.Sprintf("Zone %s at %s", z.ID, u.NRate(unit.KgNPerHa(z.NRateKgHa))), fmt.Sprintf("applications.%d.zones.%d.", application, zone), a, z.Days)
}

// FieldLossTable is the same as the mean over the zones by area.
func FieldLossTable(u unit.System, doc course.JSON, application int) page.Table {
	a := &doc.Applications[application]
	return lossTable(u, "The field at "+u.NRate(unit.KgNPerHa(a.NRateKgHa))+" on average", fmt.Sprintf("applications.%d.", application), a, a.Days)
}

func lossTable(u unit.System, title, key string, a *course.ApplicationJSON, days []course.DayJSON) page.Table {
	t := page.Table{Title: title, Head: []string{"day", "date", "remaining", "low", "high"}, Words: 2}
	if len(days) == 0 {
		t.Title += ", nothing is applied"
		return t
	}
	draws, actual := days[0].Years.StillP5 != nil, days[0].Actual != nil
	if actual {
		t.Title += ", weather of " + seasonOf(a)
	} else {
		t.Title += ", mean over " + yearCount(len(a.Years))
	}
	if draws {
		t.Head = append(t.Head, "5 %", "95 %")
	}
	if actual {
		t.Head = append(t.Head, yearCount(len(a.Years)))
	}
	t.Head = append(t.Head, "worst fifth", "as ammonia")
	injected := days[len(days)-1].Years.AtInjection > 0
	if injected {
		t.Head = append(t.Head, "at injection")
	}
	t.Head = append(t.Head, "denitrified", "leached", "immobilized")
	t.Title += ", all figures in " + u.NRateUnit()
	for i := range days {
		if i+1 != len(days) && !slices.Contains(shownDays, i+1) {
			continue
		}
		d := &days[i]
		at := fmt.Sprintf("%sdays.%d.", key, i)
		row := []page.Cell{{Text: strconv.Itoa(d.Day), Key: at + "day"}, {Text: d.Date, Key: at + "date"}}
		under, fate := "years.", &d.Years.FateJSON
		if actual {
			under, fate = "actual.", d.Actual
		}
		put := func(under, name string, v float64) {
			row = append(row, page.Cell{Text: u.NRateNumber(unit.KgNPerHa(v)), Key: at + under + name + "_kg_ha"})
		}
		put(under, "still_there", fate.StillThere)
		put(under, "still_there_low", fate.StillLow)
		put(under, "still_there_high", fate.StillHigh)
		if draws {
			put(under, "still_there_p5", *fate.StillP5)
			put(under, "still_there_p95", *fate.StillP95)
		}
		if actual {
			put("years.", "still_there", d.Years.StillThere)
		}
		put("years.", "still_there_worst_fifth", d.Years.WorstFifth)
		put(under, "ammonia", fate.Ammonia)
		if injected {
			put(under, "at_injection", fate.AtInjection)
		}
		put(under, "denitrified", fate.Denitrified)
		put(under, "leached", fate.Leached)
		put(under, "held", fate.Held)
		t.Rows = append(t.Rows, row)
	}
	return t
}

// LossSummaryTable says where the nitrogen of an application is on the last day, zone by
// zone; its last row is the field's where there are several.
func LossSummaryTable(u unit.System, doc course.JSON, application int) page.Table {
	a := &doc.Applications[application]
	last := len(a.Days) - 1
	t := page.Table{
		Title: fmt.Sprintf("%s on %s, all figures in %s", a.Name, dayAndMonth(a.Until), u.NRateUnit()),
		Head:  []string{"zone", "applied", "remaining", "low", "high", "worst fifth", "as ammonia", "at injection", "denitrified", "leached", "immobilized"},
	}
	add := func(name, key string, rate float64, days []course.DayJSON) {
		number := func(v float64) string { return u.NRateNumber(unit.KgNPerHa(v)) }
		row := []page.Cell{{Text: name}, {Text: number(rate), Key: key + "n_rate_kg_ha"}}
		if len(days) == 0 { // nothing was put down
			t.Rows = append(t.Rows, row)
			return
		}
		d := &days[last]
		key += fmt.Sprintf("days.%d.", last)
		under, fate := "years.", &d.Years.FateJSON
		if d.Actual != nil {
			under, fate = "actual.", d.Actual
		}
		for _, c := range []struct {
			key string
			v   float64
		}{
			{under + "still_there", fate.StillThere},
			{under + "still_there_low", fate.StillLow},
			{under + "still_there_high", fate.StillHigh},
			{"years.still_there_worst_fifth", d.Years.WorstFifth},
			{under + "ammonia", fate.Ammonia},
			{under + "at_injection", fate.AtInjection},
			{under + "denitrified", fate.Denitrified},
			{under + "leached", fate.Leached},
			{under + "held", fate.Held},
		} {
			row = append(row, page.Cell{Text: number(c.v), Key: key + c.key + "_kg_ha"})
		}
		t.Rows = append(t.Rows, row)
	}
	for k := range a.Zones {
		z := &a.Zones[k]
		add(z.ID, fmt.Sprintf("applications.%d.zones.%d.", application, k), z.NRateKgHa, z.Days)
	}
	if t.Last = min(1, len(a.Zones)-1); t.Last > 0 {
		add("field", fmt.Sprintf("applications.%d.", application), a.NRateKgHa, a.Days)
	}
	return t
}

// seasonOf is the year, or the two, of an application's course.
func seasonOf(a *course.ApplicationJSON) string {
	from, _, _ := strings.Cut(a.Date, "-")
	to, _, _ := strings.Cut(a.Until, "-")
	if from != to {
		return from + " to " + to
	}
	return to
}

func yearCount(n int) string {
	if n == 1 {
		return "1 year"
	}
	return fmt.Sprintf("%d years", n)
}

// LossWarnings are the warnings about an application in lines. Zones are named where a
// warning does not concern all, and what is published is said once for zones whose
// figures alone differ.
func LossWarnings(a course.ApplicationJSON) []string {
	some := 0
	for _, z := range a.Zones {
		if z.NRateKgHa > 0 {
			some++
		}
	}
	var list []string
	for i := 0; i < len(a.Warnings); {
		w := &a.Warnings[i]
		text := w.Level + ":"
		rest := ""
		for ; i < len(a.Warnings) && sameRest(w, &a.Warnings[i]); i++ {
			var what string
			what, rest = parted(&a.Warnings[i])
			if zones := a.Warnings[i].Zones; len(zones) < some {
				text += " Zone " + strings.Join(zones, ", ") + ":"
			}
			text += " " + what
		}
		list = append(list, text+rest)
	}
	return list
}

// sameRest tells whether two warnings differ in their figures alone.
func sameRest(a, b *course.WarningJSON) bool {
	_, restA := parted(a)
	_, restB := parted(b)
	return a.Key == b.Key && a.Level == b.Level && restA == restB
}

// parted is what a warning says, and what is published of it.
func parted(w *course.WarningJSON) (what, rest string) {
	for _, begin := range []string{" Published: " + w.Published, " Practice: " + w.Practice, " Source: " + w.Source} {
		if at := strings.Index(w.Text, begin); at > 0 && !strings.HasSuffix(begin, ": ") {
			return w.Text[:at], w.Text[at:]
		}
	}
	return w.Text, ""
}

// LossBands says what the bands hold.
func LossBands(b course.BandsJSON) []string {
	list := []string{"low and high: " + b.LowHigh, "worst fifth: " + b.WorstFifth}
	if b.Draws > 0 {
		list = append(list, fmt.Sprintf("5 and 95 %%: %s (%d draws, seed %d)", b.P5P95, b.Draws, b.Seed))
	}
	return list
}

// LossTitle names the course of an application.
func LossTitle(u unit.System, a course.ApplicationJSON) string {
	text := a.Name
	if a.Source != "" {
		text += ", " + a.Source
	}
	text += ", " + a.Placement
	if a.Inhibitor != "none" {
		text += ", with inhibitor: " + a.Inhibitor
	}
	if a.Tilled != nil {
		text += ", worked in to " + u.Depth(unit.Metres(a.Tilled.DepthM)) + " on " + a.Tilled.Date
	}
	return fmt.Sprintf("%s, %s to %s", text, a.Date, a.Until)
}

// dayAndMonth is a date in short.
func dayAndMonth(text string) string {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return text
	}
	return t.Format("2 January")
}
