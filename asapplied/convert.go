package asapplied

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"ratewright/geo/unit"
)

// unknownError says that a column lacks something that has to be known. A guess
// that is not deciding is then left out.
type unknownError struct{ what, fix string }

func (e *unknownError) Error() string { return e.what + "; " + e.fix }

// conversion is how the columns of one role become SI.
type conversion struct {
	scale
	of   string // "nitrogen", "product" or ""
	note string
}

// convert works out unit and meaning of the columns of a role.
func (m *mapping) convert(a assignment, spec LogSpec) (conversion, error) {
	if a.role.quantity == plain {
		return conversion{scale: scale{factor: 1}}, nil
	}
	s, of, err := m.unitOf(a, spec)
	if err != nil {
		return conversion{}, err
	}
	c := conversion{scale: s, note: m.otherUnit(a, spec, s)}
	switch a.role.quantity {
	case nRate, flow, amount:
		return m.toNitrogen(c, of, a, spec)
	}
	return c, nil
}

// unitOf takes the unit from the job, else from the names of the columns. A
// heading without unit is in degrees, as the contract of log roles has it.
func (m *mapping) unitOf(a assignment, spec LogSpec) (scale, unit.Of, error) {
	names := m.names(a)
	first := readHeader(names[0], a.role.quantity)
	for _, n := range names[1:] {
		if h := readHeader(n, a.role.quantity); h.unit != first.unit || h.of != first.of {
			return scale{}, 0, fmt.Errorf("columns %s say different units; a list needs one unit", joinQuoted(names))
		}
	}
	text := first.unit
	if said, ok := spec.Units[a.role.name]; ok {
		text = said
	}
	switch {
	case text != "":
		s, err := parseUnit(a.role.quantity, text)
		if err != nil {
			return scale{}, 0, fmt.Errorf("role %s (column %s): %w", a.role.name, joinQuoted(names), err)
		}
		return s, first.of, nil
	case a.role.quantity == angle:
		return scale{1, "deg", false}, 0, nil
	}
	return scale{}, 0, &unknownError{
		fmt.Sprintf("the unit of column %s (role %s) is not known", joinQuoted(names), a.role.name),
		fmt.Sprintf("write units: {%s: UNIT}, such as %s", a.role.name, unitExample(a.role.quantity)),
	}
}

// otherUnit tells where the job's unit is taken and the column has another in its name;
// empty where they agree.
func (m *mapping) otherUnit(a assignment, spec LogSpec, taken scale) string {
	if _, ok := spec.Units[a.role.name]; !ok {
		return ""
	}
	h := readHeader(m.names(a)[0], a.role.quantity)
	if h.unit == "" {
		return ""
	}
	named, err := parseUnit(a.role.quantity, h.unit)
	if err != nil || named.volume == taken.volume && math.Abs(named.factor/taken.factor-1) < 1e-9 {
		return ""
	}
	return fmt.Sprintf("column %s (role %s) has %s in its name, and the job %s, which is taken: see that it is right", joinQuoted(m.names(a)), a.role.name, named.unit, taken.unit)
}

// toNitrogen scales a rate, flow or amount to kilograms of nitrogen.
func (m *mapping) toNitrogen(c conversion, of unit.Of, a assignment, spec LogSpec) (conversion, error) {
	column := joinQuoted(m.names(a))
	if spec.HasOf {
		of = spec.Of
	}
	if c.volume && of != unit.Product {
		// A volume can only be of product. A rate is what the job's word is about
		// first of all, so there a contradiction is a mistake.
		if of == unit.Nitrogen && a.role.quantity == nRate {
			return c, fmt.Errorf("role %s (column %s): %s is a volume of product and cannot count nitrogen; write of: product, or a unit of mass",
				a.role.name, column, c.unit)
		}
		if of == unit.Nitrogen {
			c.note = strings.TrimPrefix(c.note+"; "+fmt.Sprintf("column %s is in %s, a volume, and is taken as product", column, c.unit), "; ")
		}
		of = unit.Product
	}
	switch of {
	case unit.Nitrogen:
		c.of = of.String()
		return c, nil
	case unit.Product:
		c.of = of.String()
		k, err := perProduct(spec, c.volume)
		if err != nil {
			return c, fmt.Errorf("role %s (column %s): %w", a.role.name, column, err)
		}
		c.factor *= k
		return c, nil
	}
	return c, &unknownError{
		fmt.Sprintf("it is not known whether column %s (role %s) counts nitrogen or product", column, a.role.name),
		"write of: nitrogen or of: product",
	}
}

// perProduct is the nitrogen, kg, in 1 kg of the source, or in 1 L of it.
func perProduct(spec LogSpec, volume bool) (float64, error) {
	if !(spec.Source.PercentN > 0) {
		return 0, errors.New("it counts product, and the source is not known; name the application's source")
	}
	u := unit.KgPerHectare
	if volume {
		u = unit.LitresPerHectare
	}
	n, err := spec.Source.NRateFrom(unit.Rate{Value: 1, Unit: u}, unit.Product)
	return n.KgNPerHa(), err
}
