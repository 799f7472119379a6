package rx

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// countOf returns "1 hole", "3 holes".
func countOf(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// number prints v with at most four decimals and no trailing zeros, and with an
// exponent where it is beyond what has a meaning.
func number(v float64) string {
	if math.Abs(v) >= 1e15 {
		return strconv.FormatFloat(v, 'g', 6, 64)
	}
	s := strconv.FormatFloat(v, 'f', 4, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// areaText prints a small area in m2 and a large one in hectares.
func areaText(a unit.Area) string {
	if a.Hectares() < 1 {
		return number(roundTo(a.SquareMetres(), 1)) + " m2"
	}
	return number(roundTo(a.Hectares(), 3)) + " ha"
}

// AreaText prints an area in the units of a job: square feet and acres, or m2 and
// hectares.
func AreaText(u unit.System, a unit.Area) string {
	if u == unit.SI {
		return areaText(a)
	}
	const squareFeet = 0.3048 * 0.3048 // m2
	if a.Acres() < 0.1 {
		return number(roundTo(a.SquareMetres()/squareFeet, 0)) + " sq ft"
	}
	return number(roundTo(a.Acres(), 3)) + " ac"
}

// listOf joins names and cuts a long list short.
func listOf(names []string) string {
	const most = 8
	shown := make([]string, len(names))
	for i, n := range names {
		shown[i] = vector.Short(n)
	}
	names = shown
	if len(names) > most {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
	}
	return strings.Join(names, ", ")
}
