package job

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ratewright/cmd/ratewright/page"
	"ratewright/geo/unit"
	"ratewright/rx/course"
)

// wholeField begins the title of a course of all zones.
const wholeField = "The field"

// Charts beyond these are not drawn; the tables and loss.json have them all.
const drawnZones = 12

// sheetOfLoss says what the page of losses shows: how much is still there at the end,
// where, and how it came to that.
func (j Job) sheetOfLoss(f Followed, inputs []page.Input) page.Sheet {
	u := j.Units
	s := page.Sheet{
		Kind: page.Losses, Field: f.Field.Name, Ground: u.Area(f.Field.Ground.Area()),
		Inputs: inputs, Program: "ratewright " + Version(), Map: j.sheetMap(f.Field), Cautions: f.Cautions,
	}
	s.Rest = "loss.csv and loss.json"
	var names []string
	lines := max(3, 12/len(f.JSON.Applications))
	for i := range f.JSON.Applications {
		t := LossSummaryTable(u, f.JSON, i)
		zones := f.JSON.Applications[i].Zones
		onPaper(&t, lines, ", the most nitrogen first", []int{26}, func(k int) float64 { return zones[k].AreaM2 * zones[k].NRateKgHa })
		t.Rest = "loss.csv"
		s.Tables = append(s.Tables, t)
	}
	for i, a := range f.JSON.Applications {
		names = append(names, a.Name)
		s.Lead = append(s.Lead, lossFigures(u, a, i, len(f.JSON.Applications) == 1)...)
		warnings := namedLines(a, len(f.JSON.Applications), LossWarnings(a))
		s.Notes = append(s.Notes, warnings...)
		for _, w := range warnings {
			s.Warnings = append(s.Warnings, inShort(w))
		}
		c := &f.Courses[i].Result
		if len(c.Zones) > 1 {
			s.Courses = append(s.Courses, courseChart(u, a, &c.Field, wholeField))
			s.Tables = append(s.Tables, offPaper(titled(a, f.JSON, FieldLossTable(u, f.JSON, i))))
		}
		for k := range c.Zones {
			z := &c.Zones[k]
			if z.Rate == 0 {
				continue
			}
			if k < drawnZones {
				s.Courses = append(s.Courses, courseChart(u, a, z, "Zone "+z.ID))
			} else if k == drawnZones {
				s.Notes = append(s.Notes, fmt.Sprintf("%s: the courses of the first %d zones are drawn; the tables have all", a.Name, drawnZones))
			}
			s.Tables = append(s.Tables, offPaper(titled(a, f.JSON, LossTable(u, f.JSON, i, k))))
		}
	}
	s.WarningsOnPaper = warningsOnPaper(s.Warnings)
	coursesOnPaper(s.Courses)
	s.Subject = strings.Join(names, ", ")
	if len(f.JSON.Applications) == 1 {
		a := f.JSON.Applications[0]
		s.Subject, s.Date = a.Name+", "+a.Source, a.Date
	}
	s.Notes = append(append(s.Notes, LossBands(f.JSON.Bands)...), f.Notes...)
	j.lossMap(&s.Map, f)
	return s
}

// paperCourses is how many courses a sheet of paper holds, side by side.
const paperCourses = 2

// coursesOnPaper keeps those of fields, or the first where there is none.
func coursesOnPaper(list []page.Course) {
	taken := 0
	for i := range list {
		if list[i].OffPaper = taken == paperCourses || !strings.HasPrefix(list[i].Title, wholeField); !list[i].OffPaper {
			taken++
		}
	}
	if taken == 0 && len(list) > 0 {
		list[0].OffPaper = false
	}
}

// offPaper keeps a table of days on the page.
func offPaper(t page.Table) page.Table {
	t.OffPaper = true
	return t
}

// titled puts the application before the title of a table where there are several.
func titled(a course.ApplicationJSON, doc course.JSON, t page.Table) page.Table {
	if len(doc.Applications) > 1 {
		t.Title = a.Name + ": " + t.Title
	}
	return t
}

func namedLines(a course.ApplicationJSON, of int, lines []string) []string {
	if of < 2 {
		return lines
	}
	list := make([]string, len(lines))
	for i, l := range lines {
		list[i] = a.Name + ": " + l
	}
	return list
}

// lossFigures are what is to be seen first of an application: of one that stands alone
// what is lost, too.
func lossFigures(u unit.System, a course.ApplicationJSON, i int, alone bool) []page.Figure {
	last := len(a.Days) - 1
	d := &a.Days[last]
	under, fate := "years", &d.Years.FateJSON
	if d.Actual != nil {
		under, fate = "actual", d.Actual
	}
	key := fmt.Sprintf("applications.%d.days.%d.%s.", i, last, under)
	figure := func(name, of string, v, low, high float64) page.Figure {
		return page.Figure{
			Name: name, Value: u.NRateNumber(unit.KgNPerHa(v)), Unit: u.NRateUnit(), Key: key + of + "_kg_ha",
			More: fmt.Sprintf("%s of %s; %s to %s by the losses assumed", percentOf(v, a.NRateKgHa), u.NRateNumber(unit.KgNPerHa(a.NRateKgHa)), u.NRateNumber(unit.KgNPerHa(low)), u.NRateNumber(unit.KgNPerHa(high))),
		}
	}
	name := "remaining on " + dayAndMonth(a.Until)
	if !alone {
		return []page.Figure{figure(a.Name+", "+name, "still_there", fate.StillThere, fate.StillLow, fate.StillHigh)}
	}
	return []page.Figure{
		figure(name, "still_there", fate.StillThere, fate.StillLow, fate.StillHigh),
		figure("lost by then", "lost", fate.Lost, fate.LostLow, fate.LostHigh),
		{Name: "immobilized by residue", Value: u.NRateNumber(unit.KgNPerHa(fate.Held)), Unit: u.NRateUnit(), Key: key + "held_kg_ha"},
	}
}

func percentOf(part, whole float64) string {
	if !(whole > 0) {
		return "0 %"
	}
	return strconv.FormatFloat(100*part/whole, 'f', 0, 64) + " %"
}

// lossMap colours the zones by the share that is still there of all applications, at
// the end of the course of each.
func (j Job) lossMap(m *page.Map, f Followed) {
	u := j.Units
	m.RateTitle, m.RateUnit = "Remaining", "%"
	if len(f.Courses) > 1 {
		m.RateTitle = "Remaining of all trips"
	}
	still, whole, why := map[string]float64{}, map[string]float64{}, map[string][]string{}
	for i := range f.Courses {
		for _, z := range f.Courses[i].Result.Zones {
			s := z.Years
			if z.Actual != nil {
				s = *z.Actual
			}
			if len(s.Days) == 0 {
				continue
			}
			end := s.Days[len(s.Days)-1].Still.Mid
			still[z.ID] += end
			whole[z.ID] += z.Rate.KgNPerHa()
			why[z.ID] = append(why[z.ID], fmt.Sprintf("%s: %s of %s", f.JSON.Applications[i].Name, u.NRate(unit.KgNPerHa(end)), u.NRate(z.Rate)))
		}
	}
	for _, z := range f.Courses[0].zones {
		zone := page.Zone{ID: z.ZoneID, Polygons: z.Region.Polygons(), Rate: math.NaN(), Why: why[z.ZoneID]}
		if n := whole[z.ZoneID]; n > 0 {
			zone.Rate = 100 * still[z.ZoneID] / n
			zone.Label = strconv.FormatFloat(zone.Rate, 'f', 0, 64)
		}
		m.Zones = append(m.Zones, zone)
	}
	addUnzoned(m, f.Courses[0].unzoned)
	spanRates(m)
}

// courseChart is the course on a zone under the weather of its own year where that is
// known, else the mean over the years.
func courseChart(u unit.System, a course.ApplicationJSON, z *course.ZoneCourse, where string) page.Course {
	s, weather := z.Years, "mean over "+yearCount(len(a.Years))
	if z.Actual != nil {
		s, weather = *z.Actual, "under the weather of "+seasonOf(&a)
	}
	in := func(kgHa float64) float64 { return rateIn(u, unit.KgNPerHa(kgHa)) }
	text := func(kgHa float64) string { return u.NRate(unit.KgNPerHa(kgHa)) }
	last := &s.Days[len(s.Days)-1]
	on := dayAndMonth(a.Until)
	c := page.Course{
		Title: fmt.Sprintf("%s: %s, %s", where, a.Name, weather), X: "days from " + dayAndMonth(a.Date) + ", which is 1", Y: u.NRateUnit(),
		Whole:      in(z.Rate.KgNPerHa()),
		Still:      fmt.Sprintf("remaining, on %s %s of %s", on, text(last.Still.Mid), text(z.Rate.KgNPerHa())),
		BandWords:  fmt.Sprintf("runs of low and high losses, %s to %s", text(last.Still.Low), text(last.Still.High)),
		WorstWords: fmt.Sprintf("worst fifth of %s, %s", yearCount(len(a.Years)), text(z.Years.Worst[len(s.Days)-1])),
	}
	if s.Draws > 0 {
		c.DrawWords = fmt.Sprintf("5 to 95 %% of %d draws, %s to %s", s.Draws, text(last.Still.P5), text(last.Still.P95))
	}
	ways := []struct {
		ink, name string
		of        func(*course.Day) float64
	}{
		{"injection", "lost at injection", func(d *course.Day) float64 { return d.Balance.AtInjection }},
		{"air", "lost as ammonia", func(d *course.Day) float64 { return d.Balance.Ammonia }},
		{"denitrified", "denitrified", func(d *course.Day) float64 { return d.Balance.Denitrified }},
		{"leached", "leached", func(d *course.Day) float64 { return d.Balance.Leached }},
		{"held", "immobilized by residue, not lost", func(d *course.Day) float64 { return d.Balance.Held }},
	}
	for i := range s.Days {
		d := &s.Days[i]
		c.Days = append(c.Days, page.CourseDay{
			Day: float64(i + 1), Still: in(d.Still.Mid), Low: in(d.Still.Low), High: in(d.Still.High),
			DrawLow: in(d.Still.P5), DrawUp: in(d.Still.P95), Worst: in(z.Years.Worst[i]),
		})
	}
	for _, w := range ways {
		if w.of(last) == 0 {
			continue // lost never comes back, and what was held before is told by the tables
		}
		c.Ways = append(c.Ways, page.Way{Ink: w.ink, Name: fmt.Sprintf("%s, %s", w.name, text(w.of(last)))})
		for i := range s.Days {
			c.Days[i].Parts = append(c.Days[i].Parts, in(w.of(&s.Days[i])))
		}
	}
	return c
}
