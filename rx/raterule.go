package rx

import (
	"fmt"
	"sort"
	"strings"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// RateRule says where the rate of a zone comes from: a column of the zones, or
// a table by zone id. Exactly one of Column and Table is set.
type RateRule struct {
	Column string
	Table  map[string]float64
	Unit   unit.RateUnit // of the column or the table
	Of     unit.Of       // what it counts
}

// Reason says in plain words where a rate came from or why it was changed.
type Reason string

// zoneRates returns the rate of each zone, in the order of zones, and notes.
func (r RateRule) zoneRates(zones []Zone) ([]counted, []string, error) {
	if r.Table != nil {
		return r.fromTable(zones)
	}
	out := make([]counted, len(zones))
	for i, z := range zones {
		v, err := z.number(r.Column)
		if err == nil {
			err = r.checkColumn(z, v)
		}
		if err != nil {
			return nil, nil, err
		}
		out[i] = counted{unit.Rate{Value: v, Unit: r.Unit}, r.Of}
	}
	return out, nil, nil
}

func (r RateRule) checkColumn(z Zone, v float64) error {
	if err := checkValue(v); err != nil {
		return z.fault(fmt.Sprintf("column %s: %v", r.Column, err), "write the rate for this zone; zero is a rate")
	}
	return nil
}

func (r RateRule) fromTable(zones []Zone) ([]counted, []string, error) {
	ids := make([]string, 0, len(r.Table))
	for id := range r.Table {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	zoneIDs := make([]string, len(zones))
	for i, z := range zones {
		zoneIDs[i] = z.ID
	}
	match, err := NewIDMatch(zoneIDs, ids)
	if err != nil {
		return nil, nil, fmt.Errorf("rate table: %w", err)
	}
	out := make([]counted, len(zones))
	used := make([]bool, len(ids))
	for i, z := range zones {
		at, ok := match.Find(z.ID)
		if !ok {
			return nil, nil, z.fault("has no rate: the rate table names "+listOf(ids), fmt.Sprintf("add %q to the rate table; zero is a rate", z.ID))
		}
		used[at] = true
		v := r.Table[ids[at]]
		if err := checkValue(v); err != nil {
			return nil, nil, fmt.Errorf("rate table: zone %s: %w; write a rate of zero or more", ids[at], err)
		}
		out[i] = counted{unit.Rate{Value: v, Unit: r.Unit}, r.Of}
	}
	return out, tableNotes(match, ids, used), nil
}

func tableNotes(match IDMatch, ids []string, used []bool) []string {
	var notes, idle []string
	if match.Note() != "" {
		notes = append(notes, match.Note())
	}
	for i, id := range ids {
		if !used[i] {
			idle = append(idle, id)
		}
	}
	if len(idle) > 0 {
		notes = append(notes, "the rate table names zones that the field does not have: "+listOf(idle))
	}
	return notes
}

// origin is the first reason of every rate.
func (r RateRule) origin(z Zone, c counted) Reason {
	if r.Table != nil {
		return Reason(fmt.Sprintf("%s from the rate table, zone %s", c, z.ID))
	}
	return Reason(fmt.Sprintf("%s from zone column %s", c, r.Column))
}

// fault is an error about one zone, with the file and record it came from.
func (z Zone) fault(what, fix string) error {
	place := fmt.Sprintf("zone %s", z.ID)
	if z.At.Record > 0 {
		place = fmt.Sprintf("record %d (zone %s)", z.At.Record, z.ID)
	}
	return &vector.InputError{File: z.At.File, Place: place, What: what, Fix: fix}
}

// number returns the zone's number in a column. A missing or empty value, text,
// and parts of one zone that differ are errors.
func (z Zone) number(column string) (float64, error) {
	const fix = "write the rate for this zone; zero is a rate"
	if why, differ := z.differs[strings.ToLower(column)]; differ {
		return 0, z.fault(fmt.Sprintf("the parts of this zone differ in column %s: %s", column, why), "give the parts one value, or ids of their own")
	}
	v, ok := vector.Feature{Attributes: z.Attributes}.Get(column)
	if !ok {
		return 0, z.fault(fmt.Sprintf("has no column %s; its columns are %s", column, columnNames(z.Attributes)), "name one of these")
	}
	if v.IsNull() {
		return 0, z.fault(fmt.Sprintf("has no rate: column %s is empty", column), fix)
	}
	f, ok := v.Number()
	if !ok {
		return 0, z.fault(fmt.Sprintf("column %s holds %q, which is not a number", column, v.String()), fix)
	}
	return f, nil
}

func columnNames(as []vector.Attribute) string {
	if len(as) == 0 {
		return "none"
	}
	names := make([]string, len(as))
	for i, a := range as {
		names[i] = a.Name
	}
	return listOf(names)
}
