package job

import (
	"fmt"

	"go.yaml.in/yaml/v3"

	"ratewright/rx"
)

// ValueSpec is a quantity of the zones: one for all, a column, or a table by zone id.
type ValueSpec struct {
	Rule   rx.ValueRule
	Factor float64 // of the numbers of a column or table to the unit of the method
	line   int
}

// of returns the quantity of each zone, in the unit of the method.
func (v *ValueSpec) of(o *opener, zones []rx.Zone) ([]float64, error) {
	values, notes, err := v.Rule.Values(zones)
	if err != nil {
		return nil, err
	}
	o.notes = append(o.notes, notes...)
	for i := range values {
		values[i] *= v.Factor
	}
	return values, nil
}

// value reads a quantity of the zones: "200 bu/ac", {column: NAME, unit: bu/ac} or
// {table: {A: 200}, unit: bu/ac}. parse reads a number with its unit. nil where the key
// is not given.
func (d decoder) value(m mapping, key, what string, parse func(string) (float64, error)) *ValueSpec {
	n, ok := m.node(key)
	if !ok {
		return nil
	}
	v := &ValueSpec{Rule: rx.ValueRule{What: what}, Factor: 1, line: n.Line}
	if n.Kind == yaml.ScalarNode {
		all := parsedOr(m, key, parse, 0)
		v.Rule.All = &all
		return v
	}
	vm, ok := d.mapping(n, m.name+": "+key, "column", "table", "unit")
	if !ok {
		return v
	}
	vm.require("name the unit of its numbers", "unit")
	v.Factor = parsedOr(vm, "unit", func(s string) (float64, error) { return parse("1 " + s) }, 1)
	v.Rule.Column, _ = vm.text("column")
	if t, ok := vm.node("table"); ok {
		v.Rule.Table = d.table(vm.name, t)
	}
	if vm.has("column") == vm.has("table") {
		d.add(vm.line, "give one of them", "%s needs either a column or a table", vm.name)
	}
	return v
}

// asFloat turns a parser of a quantity into one of its number in SI.
func asFloat[T ~float64](parse func(string) (T, error)) func(string) (float64, error) {
	return func(s string) (float64, error) {
		v, err := parse(s)
		return float64(v), err
	}
}

// needs reports values that a method cannot do without.
func (d decoder) needs(m mapping, values map[string]*ValueSpec) {
	for _, key := range sortedKeys(values) {
		if values[key] == nil {
			d.add(m.line, fmt.Sprintf("write %s: with a value and its unit, or a column of the zones", key), "%s: the method needs %s", m.name, key)
		}
	}
}
