package unit

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

var leadingNumber = regexp.MustCompile(`^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?`)

// ParseLength reads a length such as "60 ft", "7in" or "3 m". It may be
// negative (an offset).
func ParseLength(s string) (Length, error) {
	v, err := parse(lengths, s, signed)
	return Length(v), err
}

// ParseArea reads an area such as "0.01 ac" or "2 ha"; it may not be negative.
func ParseArea(s string) (Area, error) {
	v, err := parse(areas, s, unsigned)
	return Area(v), err
}

// ParseMass reads a mass such as "2000 lb", "1 t" or "1 ton"; a ton is the US
// short ton of 2000 lb. It may not be negative.
func ParseMass(s string) (Mass, error) {
	v, err := parse(masses, s, unsigned)
	return Mass(v), err
}

// ParseVolume reads a volume such as "1600 gal" (US) or "6000 L"; it may not be
// negative.
func ParseVolume(s string) (Volume, error) {
	v, err := parse(volumes, s, unsigned)
	return Volume(v), err
}

// ParseDensity reads a density such as "11.06 lb/gal" or "1.325 kg/L"; it must
// be above zero.
func ParseDensity(s string) (Density, error) {
	v, err := parse(densities, s, unsigned)
	if err == nil && v == 0 {
		return 0, fmt.Errorf("%s: a density must be above zero", quote(s))
	}
	return Density(v), err
}

// ParseSpeed reads a speed such as "6 mph" or "10 km/h"; it may not be negative.
func ParseSpeed(s string) (Speed, error) {
	v, err := parse(speeds, s, unsigned)
	return Speed(v), err
}

// ParseDuration reads a duration such as "5 s"; it may be negative (a lag).
func ParseDuration(s string) (Duration, error) {
	v, err := parse(durations, s, signed)
	return Duration(v), err
}

// ParseFraction reads a share such as "10 %" and returns 0.10; it may not be
// negative but may exceed 100 %.
func ParseFraction(s string) (float64, error) {
	return parse(fractions, s, unsigned)
}

type sign bool

const (
	unsigned sign = false
	signed   sign = true
)

// parse reads a number with a unit of the kind and returns it in SI.
func parse(k *kind, s string, negative sign) (float64, error) {
	v, unit, err := split(s, k.noun, k.example, k.names())
	if err != nil {
		return 0, err
	}
	if v < 0 && negative == unsigned {
		return 0, fmt.Errorf("%s: %s cannot be negative", quote(s), k.noun)
	}
	e, ok := k.find(unit)
	if !ok {
		return 0, fmt.Errorf("%s: %w", quote(s), unfit(unit, k))
	}
	if v = v * e.factor; !finite(v) {
		return 0, fmt.Errorf("%s: the number is too large", quote(s))
	}
	return v, nil
}

// split parts a text into its number and its unit, neither of which may lack.
func split(s, noun, example, names string) (v float64, unit string, err error) {
	text := strings.TrimSpace(s)
	if text == "" {
		return 0, "", fmt.Errorf("%s is missing; write a number and a unit, such as %q", noun, example)
	}
	num := leadingNumber.FindString(text)
	if num == "" {
		return 0, "", fmt.Errorf("%s does not begin with a number; write %s such as %q", quote(s), noun, example)
	}
	unit = strings.TrimSpace(text[len(num):])
	if unit == "" {
		return 0, "", fmt.Errorf("%s is a bare number; add a unit to make it %s: %s", quote(s), noun, names)
	}
	if err := inNumber(unit); err != nil {
		return 0, "", fmt.Errorf("%s: %w", quote(s), err)
	}
	v, err = strconv.ParseFloat(num, 64)
	if err != nil {
		return 0, "", fmt.Errorf("%s: the number is too large", quote(s))
	}
	return v, unit, nil
}

// inNumber looks for a number that goes on where a unit should begin.
func inNumber(rest string) error {
	switch c := rest[0]; {
	case c == ',':
		return fmt.Errorf("a comma stands in the number; write a point for decimals (1.5) and no thousands separators (1600)")
	case c == '/' && len(rest) > 1 && isDigit(rest[1]):
		return fmt.Errorf("a fraction stands in the number; write it as a decimal (0.5)")
	case isDigit(c), c == '.', c == '_', c == '\'' && len(rest) > 1 && isDigit(rest[1]):
		return fmt.Errorf("the number is broken; write it without separators, with a point for decimals (1600.5)")
	}
	return nil
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// unfit says why a unit is not of the kind: of another kind, ambiguous, or unknown.
func unfit(unit string, wanted ...*kind) error {
	var names []string
	for _, k := range wanted {
		names = append(names, k.names())
	}
	fit := "; write " + strings.Join(names, ", ")
	if mass, _, _ := cutPer(unit); strings.TrimSpace(mass) == "T" {
		return fmt.Errorf("unit %s could mean short ton or tonne%s", quote(unit), fit)
	}
	for _, k := range kinds {
		if _, ok := k.find(unit); ok && k.noun != wanted[0].noun {
			return fmt.Errorf("unit %s makes it %s, not %s%s", quote(unit), k.noun, wanted[0].noun, fit)
		}
	}
	return fmt.Errorf("unit %s is unknown for %s%s", quote(unit), wanted[0].noun, fit)
}

// quote shows input in a message, cut short where it is long.
func quote(s string) string {
	const most = 40
	if len(s) > most {
		s = strings.ToValidUTF8(s[:most], "") + "…"
	}
	return strconv.Quote(s)
}
