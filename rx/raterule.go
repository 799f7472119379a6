package rx

import (
	"errors"
	"fmt"
	"strings"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// RateRule says where the rate of a zone comes from: a column of the zones, a
// table by zone id, or a method that worked it out. Exactly one of Column, Table and
// Worked is set.
type RateRule struct {
	Column string
	Table  map[string]float64
	Worked map[string]Worked // by zone id, of every zone
	Unit   unit.RateUnit     // of the column, the table or what was worked out
	Of     unit.Of           // what it counts
}

// Worked is a rate that a method worked out, with its arithmetic.
type Worked struct {
	Value   float64 // in the unit of the rule
	Reasons []Reason
}

// Reason says in plain words where a rate came from or why it was changed.
type Reason string

// check demands one origin of rates.
func (r RateRule) check() error {
	given := 0
	for _, is := range []bool{r.Column != "", r.Table != nil, r.Worked != nil} {
		if is {
			given++
		}
	}
	if given != 1 {
		return errors.New("rate: give either a zone column or a table of rates by zone id, or a method that works the rates out")
	}
	return nil
}

// zoneRates returns the rate of each zone, in the order of zones, and notes.
func (r RateRule) zoneRates(zones []Zone) ([]counted, []string, error) {
	switch {
	case r.Table != nil:
		return r.fromTable(zones)
	case r.Worked != nil:
		return r.fromMethod(zones)
	}
	out := make([]counted, len(zones))
	for i, z := range zones {
		v, err := z.number(r.Column, "the rate", "; zero is a rate")
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

// fromMethod returns what a method worked out, which must be a rate for every zone.
func (r RateRule) fromMethod(zones []Zone) ([]counted, []string, error) {
	out := make([]counted, len(zones))
	for i, z := range zones {
		w, ok := r.Worked[z.ID]
		if !ok {
			return nil, nil, z.fault("no rate was worked out for it", "give the method what it needs for this zone")
		}
		if err := checkValue(w.Value); err != nil {
			return nil, nil, z.fault(fmt.Sprintf("the rate that was worked out cannot be: %v", err), "check what the method was given for this zone")
		}
		out[i] = counted{unit.Rate{Value: w.Value, Unit: r.Unit}, r.Of}
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
	values, notes, err := tableValues("rate", r.Table, zones, "; zero is a rate")
	if err != nil {
		return nil, nil, err
	}
	out := make([]counted, len(zones))
	for i, v := range values {
		if err := checkValue(v); err != nil {
			return nil, nil, fmt.Errorf("rate table: zone %s: %w; write a rate of zero or more", zones[i].ID, err)
		}
		out[i] = counted{unit.Rate{Value: v, Unit: r.Unit}, r.Of}
	}
	return out, notes, nil
}

// origin are the first reasons of a rate.
func (r RateRule) origin(z Zone, c counted) []Reason {
	switch {
	case r.Table != nil:
		return []Reason{Reason(fmt.Sprintf("%s from the rate table, zone %s", c, z.ID))}
	case r.Worked != nil:
		return r.Worked[z.ID].Reasons
	}
	return []Reason{Reason(fmt.Sprintf("%s from zone column %s", c, r.Column))}
}

// fault is an error about one zone, with the file and record it came from.
func (z Zone) fault(what, fix string) error {
	place := "zone " + vector.Short(z.ID)
	if z.At.Record > 0 {
		place = fmt.Sprintf("record %d (zone %s)", z.At.Record, vector.Short(z.ID))
	}
	return &vector.InputError{File: z.At.File, Place: place, What: what, Fix: fix}
}

// noColumn is the error of a column that the zone has not.
func (z Zone) noColumn(column string) error {
	if _, known := z.from[strings.ToLower(column)]; known {
		return z.in(column).fault(fmt.Sprintf("has no column %s here, as it has in other zones", column), "give this zone that column")
	}
	return z.fault(fmt.Sprintf("has no column %s; its columns are %s", column, columnNames(z.Attributes)), "name one of these")
}

// number returns the zone's number in a column. A missing or empty value, text,
// and parts of one zone that differ are errors.
func (z Zone) number(column, what, hint string) (float64, error) {
	fix := "write " + what + " for this zone" + hint
	if err := z.Differs(column); err != nil {
		return 0, err
	}
	v, ok := vector.Feature{Attributes: z.Attributes}.Get(column)
	if !ok {
		return 0, z.noColumn(column)
	}
	if v.IsNull() {
		return 0, z.in(column).fault(fmt.Sprintf("has no %s: column %s is empty", strings.TrimPrefix(what, "the "), column), fix)
	}
	f, ok := v.Number()
	if !ok {
		return 0, z.in(column).fault(fmt.Sprintf("column %s holds %q, which is not a number", column, v.String()), fix)
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
