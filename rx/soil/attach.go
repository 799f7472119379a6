package soil

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ratewright/geo/vector"
)

// The columns that Attach adds.
const (
	ColumnOM, ColumnOMLow, ColumnOMHigh = "OM_PCT", "OM_LOW", "OM_HIGH"
	ColumnPH, ColumnCEC                 = "PH", "CEC"
	ColumnTexture, ColumnGroup          = "TEXTURE", "TEXT_GRP"
	ColumnDrainage, ColumnHydrologic    = "DRAINAGE", "HYDGRP"
	ColumnClay, ColumnSand              = "CLAY_PCT", "SAND_PCT"
)

// NotePrefix begins each note of Attach; the symbol of the unit follows.
const NotePrefix = "map unit "

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
				notes = append(notes, fmt.Sprintf("%s%s: %s", NotePrefix, u.Symbol, n))
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
