package job

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/page"
	"ratewright/geo/unit"
	"ratewright/rx"
)

// The tables of results, as the commands print them and the page shows them. Cells
// name the figure of the JSON that they are; a row without cells is a blank line, and
// blanks before a name say that it is part of the one above.

// NotKnown stands where the log or the job does not tell a figure.
const NotKnown = "-"

// ZoneTable has a row for each zone: nitrogen in the units of the job, product in
// those of the rate map.
func ZoneTable(u unit.System, p Prescribed) page.Table {
	per := p.Prescription.Application.Map.Unit
	amount := func(a rx.AmountJSON) string { return unit.Amount{Value: a.Value, Unit: per.Amount()}.Number() }
	rate := func(v float64) string { return unit.Rate{Value: v, Unit: per}.Number() }
	t := page.Table{
		Title: "Zones",
		Head:  []string{"zone", "area", "nitrogen", "product", "nitrogen", "product"},
		Units: []string{"", u.AreaUnit(), u.NRateUnit(), per.String(), u.NMassUnit(), per.Amount().String()},
	}
	add := func(cells ...page.Cell) { t.Rows = append(t.Rows, cells) }
	for i, z := range p.Prescription.Zones {
		row, key := p.JSON.Zones[i], fmt.Sprintf("zones.%d.", i)
		add(page.Cell{Text: z.ZoneID, Key: key + "id"}, page.Cell{Text: u.AreaNumber(z.Region.Area()), Key: key + "area_m2"},
			page.Cell{Text: u.NRateNumber(z.NRate), Key: key + "n_rate_kg_ha"},
			page.Cell{Text: rate(row.ProductRate.Value), Key: key + "product_rate.value"},
			page.Cell{Text: u.NMassNumber(z.Nitrogen()), Key: key + "nitrogen_kg"},
			page.Cell{Text: amount(row.Product), Key: key + "product.value"})
	}
	if area := p.Prescription.Unzoned.Area(); area > 0 {
		add(page.Cell{Text: rx.UnzonedID}, page.Cell{Text: u.AreaNumber(area), Key: "area_m2.unzoned"},
			page.Cell{Text: u.NRateNumber(0)}, page.Cell{Text: rate(0)})
	}
	add()
	f := p.Prescription.Field
	add(page.Cell{Text: "field"}, page.Cell{Text: u.AreaNumber(f.Ground.Area()), Key: "area_m2.field"}, page.Cell{}, page.Cell{},
		page.Cell{Text: u.NMassNumber(p.Prescription.Nitrogen()), Key: "nitrogen_kg"},
		page.Cell{Text: amount(p.JSON.Product), Key: "product.value"})
	add(page.Cell{Text: "off limits"}, page.Cell{Text: u.AreaNumber(f.OffLimits.Area()), Key: "area_m2.off_limits"})
	return t
}

// AreaTable lists the classes of the field's ground with their shares of it, and
// how many patches each has: those listed in the files, and smaller ones.
func AreaTable(u unit.System, r asapplied.Reconciliation) page.Table {
	t := page.Table{Title: "Ground", Head: []string{"", u.AreaUnit(), "% of field", "patches", "smaller"}}
	a, k := r.Area, r.Known
	row := func(name string, known bool, key string, m2 float64, kind ...asapplied.Kind) {
		if !known {
			t.Rows = append(t.Rows, []page.Cell{{Text: name}, {Text: NotKnown}, {Text: NotKnown}})
			return
		}
		cells := []page.Cell{
			{Text: name},
			{Text: u.AreaNumber(unit.SquareMetres(m2)), Key: "area_m2." + key},
			{Text: fmt.Sprintf("%.2f", 100*m2/a.Field)},
		}
		for _, k := range kind {
			s, found := r.PatchSums[k]
			listed, small := page.Cell{Text: strconv.Itoa(s.Listed)}, page.Cell{Text: strconv.Itoa(s.Small)}
			if found { // the JSON has only those
				listed.Key, small.Key = "patches."+k.String()+".listed", "patches."+k.String()+".small"
			}
			cells = append(cells, listed, small)
		}
		t.Rows = append(t.Rows, cells)
	}
	blank := func() { t.Rows = append(t.Rows, nil) }
	rated := k.Plan && k.Nitrogen
	row("field", true, "field", a.Field)
	blank()
	row("covered", true, "covered", a.Covered)
	row("  once", true, "once", a.Once)
	row("    lapped in a turn", true, "lapped", a.Lapped, asapplied.Lapped)
	row("  doubled", true, "doubled", a.Doubled, asapplied.Doubled)
	row("missed", true, "missed", a.Missed, asapplied.Missed)
	row("not planned", true, "not_planned", a.NotPlanned)
	blank()
	row("as prescribed", rated, "as_prescribed", a.AsPrescribed)
	row("light", rated, "light", a.Light, asapplied.Light)
	row("heavy", rated, "heavy", a.Heavy, asapplied.Heavy)
	row("unprescribed", k.Plan, "unprescribed", a.Unprescribed, asapplied.Unprescribed)
	blank()
	row("shallow", k.Shallow, "shallow", a.Shallow, asapplied.Shallow)
	row("depth unknown", k.Depth, "depth_unknown", a.DepthUnknown)
	blank()
	row("outside the boundary", true, "outside", a.Outside, asapplied.Outside)
	row("in off-limits ground", true, "off_limits", a.OffLimits, asapplied.OffLimits)
	return t
}

// NitrogenTable lists where the nitrogen went.
func NitrogenTable(u unit.System, r asapplied.Reconciliation) page.Table {
	t := page.Table{Title: "Nitrogen", Head: []string{"nitrogen", u.NMassUnit()}}
	n, k := r.Nitrogen, r.Known
	row := func(name string, known bool, key string, kg float64) {
		cell := page.Cell{Text: NotKnown}
		if known {
			cell = page.Cell{Text: u.NMassNumber(unit.Kilograms(kg)), Key: "nitrogen_kg." + key}
		}
		t.Rows = append(t.Rows, []page.Cell{{Text: name}, cell})
	}
	row("prescribed", k.Plan, "prescribed", n.Prescribed)
	row("applied", k.Nitrogen, "applied", n.Applied)
	row("  in the field", k.Nitrogen, "in_field", n.InField)
	row("  outside the boundary", k.Nitrogen, "outside", n.Outside)
	row("  in off-limits ground", k.Nitrogen, "off_limits", n.OffLimits)
	row("  while standing", k.Nitrogen, "standing", n.Standing)
	row("short of the prescription", k.Plan && k.Nitrogen, "short", n.Short)
	row("  on missed ground", k.Plan && k.Nitrogen, "short_missed", n.ShortMissed)
	row("  on light ground", k.Plan && k.Nitrogen, "short_light", n.ShortLight)
	row("  within the tolerance", k.Plan && k.Nitrogen, "short_within", n.ShortWithin)
	row("beyond the prescription", k.Plan && k.Nitrogen, "excess", n.Excess)
	row("applied shallow", k.Shallow && k.Nitrogen, "shallow", n.Shallow)
	return t
}

// ZoneSumTable has a row for each zone of a reconciliation.
func ZoneSumTable(u unit.System, r asapplied.Reconciliation) page.Table {
	t := page.Table{
		Title: "By zone",
		Head:  []string{"zone", "area", "missed", "doubled", "light", "heavy", "prescribed", "applied"},
		Units: []string{"", u.AreaUnit(), u.AreaUnit(), u.AreaUnit(), u.AreaUnit(), u.AreaUnit(), u.NMassUnit(), u.NMassUnit()},
	}
	k := r.Known
	for _, i := range shownZones(u, r) {
		z, key := r.Zones[i], fmt.Sprintf("zones.%d.", i)
		area := func(known bool, name string, m2 float64) page.Cell {
			if !known {
				return page.Cell{Text: NotKnown}
			}
			return page.Cell{Text: u.AreaNumber(unit.SquareMetres(m2)), Key: key + "area_m2." + name}
		}
		mass := func(known bool, name string, kg float64) page.Cell {
			if !known {
				return page.Cell{Text: NotKnown}
			}
			return page.Cell{Text: u.NMassNumber(unit.Kilograms(kg)), Key: key + "nitrogen_kg." + name}
		}
		a := z.Area
		rated := k.Plan && k.Nitrogen
		t.Rows = append(t.Rows, []page.Cell{
			{Text: z.ID, Key: key + "id"},
			area(true, "field", a.Field), area(true, "missed", a.Missed), area(true, "doubled", a.Doubled),
			area(rated, "light", a.Light), area(rated, "heavy", a.Heavy),
			mass(k.Plan, "prescribed", z.Nitrogen.Prescribed), mass(k.Nitrogen, "in_field", z.Nitrogen.InField),
		})
	}
	return t
}

// shownZones are the zones of a reconciliation with ground of the field; what lies
// beyond it stands in other tables.
func shownZones(u unit.System, r asapplied.Reconciliation) (list []int) {
	for i, z := range r.Zones {
		if u.AreaNumber(unit.SquareMetres(z.Area.Field)) != u.AreaNumber(0) {
			list = append(list, i)
		}
	}
	return list
}

// keyedInTable says what to set at the controller.
func keyedInTable(p Prescribed) page.Table {
	k := p.Prescription.KeyedIn
	t := page.Table{Title: "Key in at the controller", Head: []string{"where", "rate"}, Units: []string{"", rateUnit(k.Unit, k.Of)}}
	for _, row := range []struct {
		name, key string
		rate      float64
	}{
		{"where the map has no rate", "default", k.Default},
		{"outside the map", "outside", k.Outside},
		{"position lost", "position_lost", k.PositionLost},
	} {
		t.Rows = append(t.Rows, []page.Cell{{Text: row.name}, {Text: fmt.Sprintf("%g", row.rate), Key: "keyed_in." + row.key}})
	}
	return t
}

// Times is the word after so many.
func Times(n int) string {
	if n == 1 {
		return "time"
	}
	return "times"
}

// loadsTable says how often the tank is filled; it has no rows without a tank.
func loadsTable(u unit.System, p Prescribed) page.Table {
	t := page.Table{Title: "Loads", Head: []string{"", "tanks", "fill", "one covers"}, Units: []string{"", "", "times", u.AreaUnit()}}
	if l := p.Prescription.Loads; l != nil {
		t.Units[2] = Times(l.Count)
		t.Rows = append(t.Rows, []page.Cell{
			{Text: "in all"},
			{Text: fmt.Sprintf("%.2f", l.Exact), Key: "loads.exact"},
			{Text: strconv.Itoa(l.Count), Key: "loads.count"},
			{Text: u.AreaNumber(l.Area), Key: "loads.area_per_load_m2"},
		})
	}
	return t
}

// recordsTable says what became of the records of the log.
func recordsTable(r asapplied.Records) page.Table {
	t := page.Table{Title: "Records of the log", Head: []string{"", "records"}}
	add := func(name, key string, n int) {
		t.Rows = append(t.Rows, []page.Cell{{Text: name}, {Text: strconv.Itoa(n), Key: "records." + key}})
	}
	add("read", "read", r.Read)
	add("used", "used", r.Used)
	add("not working", "not_working", r.NotWorking)
	for _, reason := range slices.Sorted(maps.Keys(r.Dropped)) {
		if n := r.Dropped[reason]; n > 0 {
			add("dropped: "+strings.ReplaceAll(reason, "_", " "), "dropped."+reason, n)
		}
	}
	return t
}

// rateUnit is the unit of a rate with what it counts: "lb N/ac" for lb/ac of N.
func rateUnit(u unit.RateUnit, of unit.Of) string {
	if of == unit.Nitrogen {
		return strings.Replace(u.String(), "/", " N/", 1)
	}
	return u.String()
}

// shownTables are tables for the page: without blank lines, the parts of a name
// set in by blanks that stay, and none without rows.
func shownTables(tables ...page.Table) []page.Table {
	var list []page.Table
	for _, t := range tables {
		var rows [][]page.Cell
		for _, cells := range t.Rows {
			if len(cells) == 0 {
				continue
			}
			cells = slices.Clone(cells)
			name := strings.TrimLeft(cells[0].Text, " ")
			cells[0].Text = strings.Repeat("\u00a0\u00a0", len(cells[0].Text)-len(name)) + name
			rows = append(rows, cells)
		}
		if t.Rows = rows; len(rows) > 0 {
			list = append(list, t)
		}
	}
	return list
}
