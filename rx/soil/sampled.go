package soil

import (
	"fmt"
	"strings"
	"unicode"
)

// Property is what a sample of soil can be found to have.
type Property struct {
	Name, Unit string  // Name as a sentence has it: a pH
	Low, High  float64 // of any sample, in Unit
	Fix        string  // what to write where a value lies outside
}

// Check returns what is wrong with a value, in Unit; "" where it can be.
func (p Property) Check(v float64) string {
	if v >= p.Low && v <= p.High {
		return ""
	}
	unit := p.Unit
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Sprintf("%s of %g%s cannot be: soils have %g to %g%s", p.Name, v, unit, p.Low, p.High, unit)
}

// What samples of soil can be.
const (
	// leastOM is below the organic matter of any soil that grows corn: what is less was
	// given as a fraction.
	//
	// Source: common practice; the least that a rule for corn counts is 0.5 % (Univ. of Nebraska EC117).
	// Range: 0.05 to 0.5.
	// Unit: percent.
	leastOM = 0.1

	// mostMineralOM is above the organic matter of a mineral soil, for which rules are made.
	//
	// Source: USDA soil taxonomy: mineral soils have less than some 20 % of organic matter.
	// Range: 15 to 25.
	// Unit: percent.
	mostMineralOM = 20

	// mostOM is that of peat.
	//
	// Source: common practice: peat keeps some percent of ash.
	// Range: 90 to 100.
	// Unit: percent.
	mostOM = 98

	// leastPH is below that of any field.
	//
	// Source: USDA Soil Survey Manual, chapter 3: the lowest class is that below 3.5.
	// Range: 2 to 3.5.
	// Unit: pH.
	leastPH = 2

	// mostPH is above that of any field.
	//
	// Source: USDA Soil Survey Manual, chapter 3: the highest class is that above 9.0.
	// Range: 9 to 12.
	// Unit: pH.
	mostPH = 12

	// mostNitrate is above any sample but one of a band of fertiliser.
	//
	// Source: common practice; above 100 ppm a sample took up a band of fertiliser.
	// Range: 100 to 300.
	// Unit: ppm of nitrate-N.
	mostNitrate = 300

	// leastCEC is that of a clean sand.
	//
	// Source: common practice, from memory.
	// Range: 0.5 to 2.
	// Unit: meq/100 g.
	leastCEC = 0.5

	// mostCEC is that of peat.
	//
	// Source: common practice, from memory.
	// Range: 100 to 250.
	// Unit: meq/100 g.
	mostCEC = 250

	// leastDensity is that of peat.
	//
	// Source: common practice, from memory; a mineral soil has 1.0 to 1.8.
	// Range: 0.1 to 0.3.
	// Unit: g/cm3.
	leastDensity = 0.1

	// mostDensity is that of a packed till.
	//
	// Source: common practice, from memory; a mineral soil has 1.0 to 1.8.
	// Range: 1.9 to 2.2.
	// Unit: g/cm3.
	mostDensity = 2.2
)

// OrganicMatter is that of a sample from which a rate of nitrogen follows.
func OrganicMatter() Property {
	return Property{"organic matter", "%", leastOM, mostMineralOM, "write it in percent of a mineral soil, such as 3.5 and not 0.035, or leave the cell empty"}
}

// Nitrate is that of a sample from which a rate of nitrogen follows.
func Nitrate() Property {
	return Property{"nitrate-N", "ppm", 0, mostNitrate, "write it in ppm of nitrate-N and not in lb/ac, or leave the cell empty"}
}

// Sampled is the property that a column of samples is named after, by the words of its
// name: OM, SOM, PH, NO3, NITRATE, CEC, BD, BULK_DENSITY, CLAY, SILT, SAND, parted by
// anything but letters and digits. False for a name of which nothing is known. By its name
// alone a nitrate may be of any unit, and organic matter that of peat.
func Sampled(column string) (Property, bool) {
	const fix = "correct it, or leave the cell empty"
	words := strings.FieldsFunc(strings.ToUpper(column), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	for _, w := range words {
		switch w {
		case "OM", "SOM":
			p := OrganicMatter()
			p.High = mostOM
			return p, true
		case "PH":
			return Property{"a pH", "", leastPH, mostPH, fix}, true
		case "NO3", "NO3N", "NITRATE":
			p := Nitrate()
			p.Unit, p.High = "", 4*mostNitrate // ppm of 4 ft in lb/ac
			return p, true
		case "CEC":
			return Property{"a CEC", "meq/100 g", leastCEC, mostCEC, fix}, true
		case "BD", "DENSITY":
			return Property{"a bulk density", "g/cm3", leastDensity, mostDensity, "write it in g/cm3, or leave the cell empty"}, true
		case "CLAY", "SILT", "SAND":
			return Property{strings.ToLower(w), "%", 0, 100, fix}, true
		}
	}
	if strings.Contains(strings.Join(words, " "), "ORGANIC MATTER") {
		p := OrganicMatter()
		p.High = mostOM
		return p, true
	}
	return Property{}, false
}
