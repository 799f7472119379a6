package job

import (
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"

	"ratewright/rx"
)

// ValueSpec is a quantity of the zones: one for all, a column, or a table by zone id.
type ValueSpec struct {
	Rule   rx.ValueRule
	Factor float64  // of the numbers of a column or table to the unit of the method
	Years  []string // columns of past yields, in place of the rule
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
	vm, ok := d.mapping(n, m.name+": "+key, valueKeys(key)...)
	if !ok {
		return v
	}
	vm.require("name the unit of its numbers", "unit")
	v.Factor = parsedOr(vm, "unit", func(s string) (float64, error) { return parse("1 " + s) }, 1)
	v.Rule.Column, _ = vm.text("column")
	if t, ok := vm.node("table"); ok {
		v.Rule.Table = d.table(vm.name, t)
	}
	v.Years = d.years(vm)
	given := 0
	for _, k := range []string{"column", "table", "years"} {
		if vm.has(k) {
			given++
		}
	}
	if given != 1 {
		d.add(vm.line, "give one of them", "%s needs either %s", vm.name, strings.Join(valueKeys(key)[1:], ", "))
	}
	return v
}

// years reads columns of past yields: two or more, each once.
func (d decoder) years(m mapping) []string {
	list := m.texts("years")
	for i, name := range list {
		if containsFold(list[:i], name) {
			d.add(m.lineOf("years"), "name each year once", "%s: years names the column %s twice", m.name, name)
		}
	}
	if len(list) == 1 {
		d.add(m.lineOf("years"), "name the columns of two years or more, five are usual; for one column that is the expected yield itself write column", "%s: years has one column, and the mean of one year is no expected yield", m.name)
	}
	return list
}

// valueKeys are the keys of a quantity; yields may be those of past years.
func valueKeys(key string) []string {
	keys := []string{"unit", "column", "table"}
	if key == "yield" {
		keys = append(keys, "years")
	}
	return keys
}

// words reads what a soil is called: a word for all, or a column of words.
func (d decoder) words(m mapping, key string) *WordSpec {
	n, ok := m.node(key)
	if !ok {
		return nil
	}
	if n.Kind == yaml.ScalarNode {
		return &WordSpec{All: m.choice(key, "medium", "sandy")}
	}
	w := &WordSpec{}
	if c, ok := d.mapping(n, m.name+": "+key, "column"); ok {
		c.require("name the column with coarse, medium or fine, such as TEXT_GRP", "column")
		w.Column, _ = c.text("column")
	}
	return w
}

// WordSpec is how coarse the soil of the zones is: a word for all, or a column.
type WordSpec struct{ All, Column string }

// sandy tells of each zone whether its soil is sandy.
func (w *WordSpec) sandy(zones []rx.Zone) ([]bool, error) {
	out := make([]bool, len(zones))
	for i, z := range zones {
		text := w.All
		if w.Column != "" {
			var err error
			if text, err = z.Text(w.Column); err != nil {
				return nil, err
			}
		}
		switch strings.ToLower(text) {
		case "sandy", "coarse":
			out[i] = true
		case "medium", "fine":
		default:
			return nil, fmt.Errorf("zone %s: column %s has the soil %q; write coarse or sandy, medium or fine", z.ID, w.Column, text)
		}
	}
	return out, nil
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
