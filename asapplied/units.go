package asapplied

import (
	"fmt"
	"math"
	"strings"
	"unicode"

	"ratewright/geo/unit"
)

// scale turns the numbers of a column into SI; its zero value means that the
// unit is not known.
type scale struct {
	factor float64
	unit   string // as the trade writes it, or ""
	volume bool   // litres, not yet kilograms
}

// parseUnit reads a unit that fits a quantity.
func parseUnit(q quantity, s string) (scale, error) {
	switch q {
	case angle:
		switch strings.ToLower(strings.TrimSpace(s)) {
		case "deg", "degree", "degrees", "°":
			return scale{1, "deg", false}, nil
		case "rad", "radian", "radians":
			return scale{180 / math.Pi, "rad", false}, nil
		}
		return scale{}, fmt.Errorf("unit %q is not one of an angle; write deg or rad", s)
	case length:
		f, err := unit.ParseLengthUnit(s)
		return scale{f, s, false}, err
	case speed:
		f, err := unit.ParseSpeedUnit(s)
		return scale{f, s, false}, err
	case duration:
		f, err := unit.ParseDurationUnit(s)
		return scale{f, s, false}, err
	case nRate:
		u, err := unit.ParseRateUnit(s)
		return scale{u.PerHa(), u.String(), u.IsVolume()}, err
	case flow:
		u, err := unit.ParseFlowUnit(s)
		return scale{u.PerSecond, s, u.IsVolume}, err
	case amount:
		u, err := unit.ParseAmountUnit(s)
		return scale{u.Factor(), u.String(), u.IsVolume()}, err
	}
	return scale{factor: 1}, nil
}

// unitExample shows units that fit a quantity, for messages.
func unitExample(q quantity) string {
	return [...]string{"", "deg", "m or ft", "m/s or mph", "s", "lb/ac, kg/ha or gal/ac", "kg/s, lb/min or gal/min", "kg, lb or gal"}[q]
}

// nameWords splits the name of a column into lower-case words: at marks, at
// changes between letters and digits, and where a capital follows a small
// letter. "SpeedKmh", "speed_km_h" and "Speed (km/h)" all begin with speed.
func nameWords(name string) []string {
	var words []string
	var word []rune
	flush := func() {
		if len(word) > 0 {
			words = append(words, strings.ToLower(string(word)))
			word = word[:0]
		}
	}
	var last rune
	for _, c := range name {
		switch {
		case !unicode.IsLetter(c) && !unicode.IsDigit(c):
			flush()
		case unicode.IsDigit(c) != unicode.IsDigit(last) && last != 0,
			unicode.IsUpper(c) && unicode.IsLower(last):
			flush()
			word = append(word, c)
		default:
			word = append(word, c)
		}
		last = c
	}
	flush()
	return words
}

// header is what the name of a column says.
type header struct {
	base  string // the words without unit and of, joined with spaces
	unit  string // a unit that fits the quantity, or ""
	of    unit.Of
	words []string
}

// runTogether are units that names write without a mark between their parts.
var runTogether = map[quantity]map[string]string{
	speed: {"mps": "m/s", "ms": "m/s", "kmhr": "km/h", "kmph": "km/h", "fps": "ft/s"},
	nRate: {
		"lbac": "lb/ac", "lbsac": "lb/ac", "kgha": "kg/ha", "galac": "gal/ac", "lha": "L/ha",
		"lbnac": "lb N/ac", "kgnha": "kg N/ha",
	},
	flow: {"kgs": "kg/s", "lbs": "lb/s", "lbmin": "lb/min", "lpm": "L/min", "kgh": "kg/h"},
}

// readHeader reads the name of a column for a role of quantity q.
func readHeader(name string, q quantity) header {
	all := nameWords(name)
	h := header{words: all}
	words := make([]string, 0, len(all))
	for _, w := range all {
		counts := q == nRate || q == flow || q == amount
		switch {
		case counts && (w == "n" || w == "nitrogen"):
			h.of = unit.Nitrogen
		case counts && q != amount && (w == "product" || w == "prod"):
			h.of = unit.Product
		default:
			words = append(words, w)
		}
	}
	if q == angle || q == plain {
		words = withoutDegrees(words)
	}
	words, u := cutUnit(words, q)
	if above, below, ok := strings.Cut(u, " N/"); ok {
		u, h.of = above+"/"+below, unit.Nitrogen
	}
	h.unit = u
	h.base = strings.Join(words, " ")
	return h
}

// withoutDegrees drops a closing "deg" from the name of a position or heading.
func withoutDegrees(words []string) []string {
	if n := len(words); n > 1 {
		switch words[n-1] {
		case "deg", "degree", "degrees", "dd":
			return words[:n-1]
		}
	}
	return words
}

// cutUnit finds the unit in the words of a name, the last first: "lb ac",
// "lb per ac", "m s" or one word. One word must come last, for "in" and "s" are
// words too.
func cutUnit(words []string, q quantity) (rest []string, found string) {
	if q == plain || q == angle {
		return words, ""
	}
	for end := len(words); end > 0; end-- {
		for n := min(3, end); n > 0; n-- {
			part := words[end-n : end]
			if n == 1 && end < len(words) && q != nRate {
				continue
			}
			if u, ok := unitOfWords(part, q); ok {
				rest = append(append(rest, words[:end-n]...), words[end:]...)
				return rest, u
			}
		}
	}
	return words, ""
}

func unitOfWords(part []string, q quantity) (string, bool) {
	var try string
	switch {
	case len(part) == 3 && part[1] == "per":
		try = part[0] + "/" + part[2]
	case len(part) == 2:
		try = part[0] + "/" + part[1]
	case len(part) == 1:
		if u, ok := runTogether[q][part[0]]; ok {
			return u, true
		}
		try = part[0]
	default:
		return "", false
	}
	if _, err := parseUnit(q, try); err != nil {
		return "", false
	}
	return tidyUnit(try), true
}

// tidyUnit writes litres with a capital, as the trade does.
func tidyUnit(u string) string {
	if strings.HasPrefix(u, "l/") || u == "l" {
		return "L" + u[1:]
	}
	return u
}
