// Package nitrogen holds the agronomy of the project as pure functions and
// cited constants: fertiliser sources and what they carry.
//
// Each constant states in its comment where it comes from, the range it is
// known to have, and its unit; a test refuses one that does not.
package nitrogen

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// Source is a form of fertiliser. Take one from Known, Define or Blend: these
// see to it that PercentN is above zero, which the conversions rely on.
type Source struct {
	Name  string // as a job writes it: uan-32
	Label string // as a table prints it: UAN 32
	Grade string // N-P2O5-K2O, with sulfur where there is some; "" for a blend

	PercentN float64 // nitrogen, percent of product mass

	// How the nitrogen is bound, in percent of product mass; the three sum to
	// PercentN, or are all zero where it is not known.
	UreaN, AmmoniumN, NitrateN float64

	Density    unit.Density // meaningful where HasDensity
	HasDensity bool         // false for what is sold dry, and where it is not known
	Ammonia    bool         // anhydrous: a gas held liquid under pressure

	Notes []string // what the user must know about these figures
}

// known are the sources in the order they are listed to the user.
func known() []Source {
	return []Source{
		liquid(Source{
			Name: "anhydrous-ammonia", Label: "Anhydrous ammonia", Grade: "82-0-0",
			PercentN: ammoniaN, AmmoniumN: ammoniaN, Ammonia: true,
		}, ammoniaDensity),
		liquid(Source{
			Name: "uan-28", Label: "UAN 28", Grade: "28-0-0",
			PercentN: uan28N, UreaN: uan28Urea, AmmoniumN: uan28Salt, NitrateN: uan28Salt,
		}, uan28Density),
		liquid(Source{
			Name: "uan-30", Label: "UAN 30", Grade: "30-0-0",
			PercentN: uan30N, UreaN: uan30Urea, AmmoniumN: uan30Salt, NitrateN: uan30Salt,
		}, uan30Density),
		liquid(Source{
			Name: "uan-32", Label: "UAN 32", Grade: "32-0-0",
			PercentN: uan32N, UreaN: uan32Urea, AmmoniumN: uan32Salt, NitrateN: uan32Salt,
		}, uan32Density),
		{Name: "urea", Label: "Urea", Grade: "46-0-0", PercentN: ureaN, UreaN: ureaN},
		{
			Name: "ammonium-nitrate", Label: "Ammonium nitrate", Grade: "34-0-0",
			PercentN: ammoniumNitrateN, AmmoniumN: ammoniumNitrateN / 2.0, NitrateN: ammoniumNitrateN / 2.0,
		},
		{
			Name: "ammonium-sulfate", Label: "Ammonium sulfate", Grade: "21-0-0-24S",
			PercentN: ammoniumSulfateN, AmmoniumN: ammoniumSulfateN,
		},
		liquid(Source{
			Name: "ammonium-thiosulfate", Label: "Ammonium thiosulfate", Grade: "12-0-0-26S",
			PercentN: ammoniumThiosulfateN, AmmoniumN: ammoniumThiosulfateN,
		}, thiosulfateDensity),
		liquid(Source{
			Name: "ammonium-polyphosphate", Label: "Ammonium polyphosphate", Grade: "10-34-0",
			PercentN: ammoniumPolyphosphateN, AmmoniumN: ammoniumPolyphosphateN,
		}, polyphosphateDensity),
	}
}

// liquid adds a published density to a source, and what is uncertain about it.
func liquid(s Source, lbPerGallon float64) Source {
	s.Density, s.HasDensity = unit.LbPerGallon(lbPerGallon), true
	note := fmt.Sprintf("%s%s taken as %s, a published typical value near 60 °F; sources differ by ±%g %% and it moves with temperature, and rates by volume move with it: set the density of your load where you know it",
		densityOf, s.Label, bothUnits(s.Density), densitySpread)
	if s.Ammonia {
		note = fmt.Sprintf("%s%s taken as %s, the value at 60 °F; it falls by about 1 %% for every %d °F of warming, and rates by volume move with it: meter ammonia by mass, or set the density at the temperature of your tank",
			densityOf, s.Label, bothUnits(s.Density), ammoniaDegrees)
	}
	s.Notes = append(s.Notes, note)
	return s
}

// densityOf begins the one note on a source's density.
const densityOf = "density of "

func bothUnits(d unit.Density) string {
	return fmt.Sprintf("%.2f lb/gal (%.3f kg/L)", d.LbPerGallon(), d.KgPerLitre())
}

// Known returns a source by its name, whatever its case and with spaces for
// hyphens; false where there is none such.
func Known(name string) (Source, bool) {
	name = strings.ToLower(strings.Join(strings.Fields(name), "-"))
	for _, s := range known() {
		if s.Name == name {
			return s, true
		}
	}
	return Source{}, false
}

// Names lists the known sources.
func Names() []string {
	var names []string
	for _, s := range known() {
		names = append(names, s.Name)
	}
	return names
}

// Called is what errors call the source: its label, cut where that is long.
func (s Source) Called() string { return vector.Short(s.Label) }

// Define checks a source that a user describes. Its nitrogen must be above 0
// and at most 100 percent; its shares of urea, ammonium and nitrate nitrogen
// must sum to it within 0.1 percent of product mass, or all be zero, of which
// a note tells. A density, if any, must be above zero.
func Define(s Source) (Source, error) {
	if strings.TrimSpace(s.Name) == "" {
		return Source{}, fmt.Errorf("a source without a name; give it one")
	}
	if s.Label == "" {
		s.Label = s.Name
	}
	if !(s.PercentN > 0 && s.PercentN <= 100) {
		return Source{}, fmt.Errorf("source %s: nitrogen of %g %% is not possible; write the percent of product mass, above 0 and at most 100", vector.Short(s.Name), s.PercentN)
	}
	for _, share := range []float64{s.UreaN, s.AmmoniumN, s.NitrateN} {
		if !(share >= 0 && share <= 100) {
			return Source{}, fmt.Errorf("source %s: urea, ammonium or nitrate nitrogen of %g %% is not possible; write percent of product mass", vector.Short(s.Name), share)
		}
	}
	const rounding = 0.1 // grades and shares are printed to one decimal
	sum := s.UreaN + s.AmmoniumN + s.NitrateN
	switch {
	case !s.formsKnown():
		s.Notes = append(slices.Clone(s.Notes), unknownForms(s.Name))
	case math.Abs(sum-s.PercentN) > rounding:
		return Source{}, fmt.Errorf("source %s: urea, ammonium and nitrate nitrogen sum to %g %%, but the nitrogen is %g %%; all are percent of product mass and must agree", vector.Short(s.Name), sum, s.PercentN)
	}
	if s.HasDensity {
		if err := possible(s.Name, s.Density); err != nil {
			return Source{}, err
		}
	}
	return s, nil
}

// formsKnown tells whether the source says how its nitrogen is bound.
func (s Source) formsKnown() bool { return s.UreaN+s.AmmoniumN+s.NitrateN > 0 }

func unknownForms(name string) string {
	return fmt.Sprintf("it is not known how the nitrogen of %s is bound (urea, ammonium, nitrate)", name)
}

// WithDensity returns the source with the user's own density in place of the
// published one; the note on the published one is replaced.
func (s Source) WithDensity(d unit.Density) (Source, error) {
	if err := possible(s.Name, d); err != nil {
		return Source{}, err
	}
	var notes []string
	for _, n := range s.Notes {
		if !strings.HasPrefix(n, densityOf) {
			notes = append(notes, n)
		}
	}
	note := fmt.Sprintf("%s%s set to %s", densityOf, s.Label, bothUnits(d))
	if s.HasDensity {
		note += fmt.Sprintf(", %+.1f %% from %s", 100*(float64(d/s.Density)-1), bothUnits(s.Density))
	}
	s.Notes = append(notes, note)
	s.Density, s.HasDensity = d, true
	return s, nil
}

// possible refuses a density that no fertiliser has; it catches a value given
// in the wrong unit.
func possible(name string, d unit.Density) error {
	const least, most = 0.3, 3 // kg/L; from warm ammonia and loose prills, with room
	if !(d.KgPerLitre() >= least && d.KgPerLitre() <= most) {
		return fmt.Errorf("source %s: no fertiliser has a density of %s; check its unit (UAN 32 is about 11.06 lb/gal or 1.325 kg/L)", vector.Short(name), d)
	}
	return nil
}
