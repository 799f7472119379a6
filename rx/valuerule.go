package rx

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ratewright/geo/vector"
)

// ValueRule says where a quantity of the zones comes from that is no rate, such as
// the expected yield: one for all, a column of the zones, or a table by zone id.
// Exactly one of All, Column and Table is set. In which unit the numbers are is for
// the caller to know.
type ValueRule struct {
	What   string // names it in errors: "expected yield"
	All    *float64
	Column string
	Table  map[string]float64
}

// Values returns the quantity of each zone in the order of the zones, and notes. A
// zone without one, a number that is not finite, and parts of a zone that differ are
// errors that name the zone.
func (r ValueRule) Values(zones []Zone) (values []float64, notes []string, err error) {
	switch {
	case r.All != nil:
		values = slices.Repeat([]float64{*r.All}, len(zones))
	case r.Table != nil:
		if values, notes, err = tableValues(r.What, r.Table, zones, ""); err != nil {
			return nil, nil, err
		}
	default:
		values = make([]float64, len(zones))
		for i, z := range zones {
			if err := r.uncovered(z, zones); err != nil {
				return nil, nil, err
			}
			if values[i], err = z.number(r.Column, "the "+r.What, ""); err != nil {
				return nil, nil, err
			}
		}
	}
	for i, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, nil, zones[i].fault(fmt.Sprintf("its %s is %v, which is no number", r.What, v), "write a number")
		}
	}
	return values, notes, nil
}

// uncovered tells of a zone that lacks a column which others have: it lies beyond the
// layer that gives it to them.
func (r ValueRule) uncovered(z Zone, zones []Zone) error {
	has := func(z Zone) bool {
		_, ok := vector.Feature{Attributes: z.Attributes}.Get(r.Column)
		return ok
	}
	if has(z) || !slices.ContainsFunc(zones, has) {
		return nil
	}
	return z.in(r.Column).fault(fmt.Sprintf("has no %s: the layer with column %s does not cover it, as it covers other zones", r.What, r.Column), "give that layer a part there, or take the ground out of the field")
}

// Text returns what a zone has in a column of words, such as a class of texture. A
// missing or empty value, and parts of one zone that differ, are errors.
func (z Zone) Text(column string) (string, error) {
	if err := z.Differs(column); err != nil {
		return "", err
	}
	v, ok := vector.Feature{Attributes: z.Attributes}.Get(column)
	if !ok {
		return "", z.noColumn(column)
	}
	text := strings.TrimSpace(v.String())
	if v.IsNull() || text == "" {
		return "", z.in(column).fault(fmt.Sprintf("column %s is empty", column), "fill it for this zone")
	}
	return text, nil
}

// tableValues looks up each zone in a table of what by zone id. hint goes behind the
// advice to add a zone.
func tableValues(what string, table map[string]float64, zones []Zone, hint string) ([]float64, []string, error) {
	ids := make([]string, 0, len(table))
	for id := range table {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	zoneIDs := make([]string, len(zones))
	for i, z := range zones {
		zoneIDs[i] = z.ID
	}
	match, err := NewIDMatch(zoneIDs, ids)
	if err != nil {
		return nil, nil, fmt.Errorf("%s table: %w", what, err)
	}
	values := make([]float64, len(zones))
	used := make([]bool, len(ids))
	for i, z := range zones {
		at, ok := match.Find(z.ID)
		if !ok {
			return nil, nil, z.fault(fmt.Sprintf("has no %s: the %s table names %s", what, what, listOf(ids)), fmt.Sprintf("add %q to the %s table%s", z.ID, what, hint))
		}
		used[at] = true
		values[i] = table[ids[at]]
	}
	return values, tableNotes(what, match, ids, used), nil
}

func tableNotes(what string, match IDMatch, ids []string, used []bool) []string {
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
		notes = append(notes, fmt.Sprintf("the %s table names zones that the field does not have: %s", what, listOf(idle)))
	}
	return notes
}
