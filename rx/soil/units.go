package soil

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// Value is a property over the depth asked for. Known is false where the survey has
// none; low and high are NaN where it has none of those.
type Value struct {
	Low, Mid, High float64
	Known          bool
}

// Unit is a map unit of the survey.
type Unit struct {
	Key, Symbol, Name string
	OM                Value // organic matter, percent
	PH                Value // in water, 1:1
	CEC               Value // at pH 7, meq/100 g
	Sand, Silt, Clay  Value // percent
	Texture, Group    string
	Drainage          string // class of the main component
	Hydrologic        string // its hydrologic group
	Component         string // the main component
	ComponentPct      float64
	WithPct           float64 // percent of the unit whose components have horizons
	Notes             []string
}

// property is a column of the horizons with what it can be.
type property struct {
	column string
	most   float64
	of     func(*Unit) *Value
}

var properties = []property{
	{"om", 100, func(u *Unit) *Value { return &u.OM }},
	{"ph1to1h2o", 14, func(u *Unit) *Value { return &u.PH }},
	{"cec7", 400, func(u *Unit) *Value { return &u.CEC }},
	{"sandtotal", 100, func(u *Unit) *Value { return &u.Sand }},
	{"silttotal", 100, func(u *Unit) *Value { return &u.Silt }},
	{"claytotal", 100, func(u *Unit) *Value { return &u.Clay }},
}

// component is a part of a map unit; sums are of thickness times value and of thickness.
type component struct {
	name, drainage, hydrologic string
	pct                        float64
	hasHorizon                 bool
	sum, thick                 [][3]float64 // by property: low, mid, high
	spans                      [][2]float64
}

// Read reads the tables of a folder and returns the map units whose keys are wanted,
// all where want is nil, over the depth from top to bottom.
//
// Errors name file and line: a table or a column that is missing, a number that cannot be,
// a horizon that ends above its top, percents of a map unit above 100.
func Read(dir string, top, bottom unit.Length, want map[string]bool) (map[string]Unit, error) {
	if !(top >= 0 && bottom > top) {
		return nil, fmt.Errorf("a depth from %s to %s is none; write where it begins and ends below the surface", top, bottom)
	}
	tables, err := find(dir)
	if err != nil {
		return nil, err
	}
	units, err := readUnits(tables["mapunit"], want)
	if err != nil {
		return nil, err
	}
	parts, owner, err := readComponents(tables["component"], units)
	if err != nil {
		return nil, err
	}
	if err := readHorizons(tables["chorizon"], owner, 100*top.Metres(), 100*bottom.Metres()); err != nil {
		return nil, err
	}
	for key, u := range units {
		if err := u.merge(parts[key], 100*(bottom-top).Metres(), tables["component"].path); err != nil {
			return nil, err
		}
	}
	out := make(map[string]Unit, len(units))
	for key, u := range units {
		out[key] = *u
	}
	return out, nil
}

func readUnits(t table, want map[string]bool) (map[string]*Unit, error) {
	units := map[string]*Unit{}
	err := rows(t, func(line int, row []string) error {
		key := t.text(row, "mukey")
		if key == "" {
			return &vector.InputError{File: t.path, Place: fmt.Sprintf("line %d", line), What: "has no mukey", Fix: "download the survey area again"}
		}
		if want == nil || want[key] {
			units[key] = &Unit{Key: key, Symbol: t.text(row, "musym"), Name: t.text(row, "muname")}
		}
		return nil
	})
	return units, err
}

func readComponents(t table, units map[string]*Unit) (map[string][]*component, map[string]*component, error) {
	parts, owner := map[string][]*component{}, map[string]*component{}
	err := rows(t, func(line int, row []string) error {
		key := t.text(row, "mukey")
		if units[key] == nil {
			return nil
		}
		pct, ok, err := t.number(line, row, "comppct_r", 0, 100)
		if err != nil {
			return err
		}
		if !ok {
			units[key].Notes = append(units[key].Notes, fmt.Sprintf("component %s has no percent and is left out", t.text(row, "compname")))
			return nil
		}
		c := &component{
			name: t.text(row, "compname"), drainage: t.text(row, "drainagecl"), hydrologic: t.text(row, "hydgrp"), pct: pct,
			sum: make([][3]float64, len(properties)), thick: make([][3]float64, len(properties)),
		}
		parts[key] = append(parts[key], c)
		owner[t.text(row, "cokey")] = c
		return nil
	})
	return parts, owner, err
}

func readHorizons(t table, owner map[string]*component, top, bottom float64) error {
	const deepest = 1000 // cm
	return rows(t, func(line int, row []string) error {
		c := owner[t.text(row, "cokey")]
		if c == nil {
			return nil
		}
		from, okFrom, err := t.number(line, row, "hzdept_r", 0, deepest)
		if err != nil {
			return err
		}
		to, okTo, err := t.number(line, row, "hzdepb_r", 0, deepest)
		if err != nil {
			return err
		}
		if !okFrom || !okTo {
			return nil // a horizon without depths is nowhere
		}
		if to < from {
			return &vector.InputError{File: t.path, Place: fmt.Sprintf("line %d", line), What: fmt.Sprintf("a horizon of %s ends at %g cm, above its top at %g cm", c.name, to, from), Fix: "correct the depths"}
		}
		thick := min(to, bottom) - max(from, top)
		if thick <= 0 {
			return nil
		}
		for _, s := range c.spans {
			if min(to, s[1])-max(from, s[0]) > 1e-9 {
				return &vector.InputError{File: t.path, Place: fmt.Sprintf("line %d", line), What: fmt.Sprintf("two horizons of %s overlap between %g and %g cm", c.name, max(from, s[0]), min(to, s[1])), Fix: "correct the depths"}
			}
		}
		c.spans = append(c.spans, [2]float64{from, to})
		c.hasHorizon = true
		for i, p := range properties {
			for k, end := range []string{"_l", "_r", "_h"} {
				v, ok, err := t.number(line, row, p.column+end, 0, p.most)
				if err != nil {
					return err
				}
				if ok {
					c.sum[i][k] += thick * v
					c.thick[i][k] += thick
				}
			}
		}
		return nil
	})
}

// merge makes the unit's values of its components.
func (u *Unit) merge(parts []*component, depth float64, file string) error {
	if len(parts) == 0 {
		u.Notes = append(u.Notes, "no component of it is in the survey, so nothing is known of its soil")
		return nil
	}
	sort.SliceStable(parts, func(i, j int) bool { return parts[i].pct > parts[j].pct })
	var all float64
	var without []string
	for _, c := range parts {
		all += c.pct
		if c.hasHorizon {
			u.WithPct += c.pct
		} else {
			without = append(without, fmt.Sprintf("%s (%g %%)", c.name, c.pct))
		}
	}
	if all > 100+1e-6 {
		return &vector.InputError{File: file, Place: "map unit " + u.Symbol, What: fmt.Sprintf("its components add up to %g %%", all), Fix: "correct the percents"}
	}
	if len(without) > 0 {
		u.Notes = append(u.Notes, "components without horizons in this depth count for nothing: "+strings.Join(without, ", "))
	}
	main := parts[0]
	u.Component, u.ComponentPct, u.Drainage, u.Hydrologic = main.name, main.pct, main.drainage, main.hydrologic
	for i, p := range properties {
		*p.of(u) = mean(parts, i)
	}
	if u.Sand.Known && u.Silt.Known && u.Clay.Known {
		class, err := Texture(u.Sand.Mid, u.Silt.Mid, u.Clay.Mid)
		if err != nil {
			u.Notes = append(u.Notes, "no texture: "+err.Error())
		}
		u.Texture, u.Group = class, Group(class)
	}
	if known := coveredDepth(main); main.hasHorizon && known < depth-1e-6 {
		u.Notes = append(u.Notes, fmt.Sprintf("the horizons of %s fill %.0f of %.0f cm; its values are of what they fill", main.name, known, depth))
	}
	return nil
}

// coveredDepth is how much of the depth asked for has organic matter or clay.
func coveredDepth(c *component) float64 {
	most := 0.0
	for _, t := range c.thick {
		most = max(most, t[1])
	}
	return most
}

// mean weighs components by their percent.
func mean(parts []*component, i int) Value {
	var v [3]float64
	for k := range v {
		var sum, pct float64
		for _, c := range parts {
			if c.thick[i][k] > 0 {
				sum += c.pct * c.sum[i][k] / c.thick[i][k]
				pct += c.pct
			}
		}
		v[k] = math.NaN()
		if pct > 0 {
			v[k] = sum / pct
		}
	}
	return Value{Low: v[0], Mid: v[1], High: v[2], Known: !math.IsNaN(v[1])}
}

// The columns that Attach adds.
const (
	ColumnOM, ColumnOMLow, ColumnOMHigh = "OM_PCT", "OM_LOW", "OM_HIGH"
	ColumnPH, ColumnCEC                 = "PH", "CEC"
	ColumnTexture, ColumnGroup          = "TEXTURE", "TEXT_GRP"
	ColumnDrainage, ColumnHydrologic    = "DRAINAGE", "HYDGRP"
	ColumnClay, ColumnSand              = "CLAY_PCT", "SAND_PCT"
)

// Attach adds what the survey knows to the features of its map, by the column of their
// map unit keys. Notes name units with something to be said, each once. A feature without
// a key, or whose unit the tables do not have, is an error that names it.
func Attach(features []vector.Feature, column string, units map[string]Unit) ([]vector.Feature, []string, error) {
	out := make([]vector.Feature, len(features))
	said := map[string]bool{}
	var notes []string
	for i, f := range features {
		v, ok := f.Get(column)
		key := strings.TrimSpace(v.String())
		if !ok || key == "" {
			return nil, nil, &vector.InputError{File: f.At.File, Place: fmt.Sprintf("record %d", f.At.Record), What: "has no map unit key in column " + column, Fix: "use the polygons of the survey as they come"}
		}
		u, ok := units[key]
		if !ok {
			return nil, nil, &vector.InputError{File: f.At.File, Place: fmt.Sprintf("record %d", f.At.Record), What: fmt.Sprintf("its map unit %s is not in the survey's tables", key), Fix: "use polygons and tables of the same survey area and date"}
		}
		out[i] = f
		out[i].Attributes = append(slices.Clone(f.Attributes), u.attributes()...)
		if !said[key] {
			said[key] = true
			for _, n := range u.Notes {
				notes = append(notes, fmt.Sprintf("map unit %s: %s", u.Symbol, n))
			}
		}
	}
	slices.Sort(notes)
	return out, notes, nil
}

func (u Unit) attributes() []vector.Attribute {
	number := func(v float64) vector.Value {
		if math.IsNaN(v) {
			return vector.Value{}
		}
		return vector.NewNumber(v)
	}
	mid := func(v Value) vector.Value {
		if !v.Known {
			return vector.Value{}
		}
		return number(v.Mid)
	}
	text := func(s string) vector.Value {
		if s == "" {
			return vector.Value{}
		}
		return vector.NewText(s)
	}
	end := func(known bool, v float64) vector.Value {
		if !known {
			return vector.Value{}
		}
		return number(v)
	}
	return []vector.Attribute{
		{Name: ColumnOM, Value: mid(u.OM)},
		{Name: ColumnOMLow, Value: end(u.OM.Known, u.OM.Low)},
		{Name: ColumnOMHigh, Value: end(u.OM.Known, u.OM.High)},
		{Name: ColumnPH, Value: mid(u.PH)},
		{Name: ColumnCEC, Value: mid(u.CEC)},
		{Name: ColumnTexture, Value: text(u.Texture)},
		{Name: ColumnGroup, Value: text(u.Group)},
		{Name: ColumnDrainage, Value: text(u.Drainage)},
		{Name: ColumnHydrologic, Value: text(u.Hydrologic)},
		{Name: ColumnClay, Value: mid(u.Clay)},
		{Name: ColumnSand, Value: mid(u.Sand)},
	}
}

// Keys are the map unit keys of features, for Read.
func Keys(features []vector.Feature, column string) map[string]bool {
	keys := map[string]bool{}
	for _, f := range features {
		if v, ok := f.Get(column); ok {
			keys[strings.TrimSpace(v.String())] = true
		}
	}
	delete(keys, "")
	return keys
}

// Columns are the names of what Attach adds.
func Columns() []string {
	var names []string
	for _, a := range (Unit{}).attributes() {
		names = append(names, a.Name)
	}
	return names
}
