package job

import (
	"math"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/guard"
)

// CareSpec is what a job tells of an application that only the guards ask for. Nil and
// empty are not known.
type CareSpec struct {
	Spacing, Rows, Offset *unit.Length
	AngleDeg              *float64
	Slot                  string // closed or open
	Dug                   string // yes or no: the depth was measured in the ground
	Moisture              string
	Atrazine              string
	Season                string
	RainAhead             *unit.Length // in sight within two days
}

// careKeys are the keys of an application that only the guards ask for.
func careKeys() []string {
	return []string{"spacing", "rows", "offset", "angle", "slot", "dug", "moisture", "atrazine", "season", "rain_ahead"}
}

func (d decoder) care(m mapping) CareSpec {
	const apart = "write a distance such as 30 in, from 2 in to 16 ft (5 cm to 5 m)"
	c := CareSpec{
		Spacing: d.between(m, "spacing", 0.05, 5, apart), Rows: d.between(m, "rows", 0.05, 5, apart),
		Offset:    d.between(m, "offset", 0, 5, "write how far the nearest band lies from the row to come, such as 5 in, up to 16 ft (5 m)"),
		RainAhead: d.between(m, "rain_ahead", 0, 0.5, "write the rain in sight within two days, such as 0.5 in, up to 20 in (500 mm)"),
	}
	if v, ok := parsed(m, "angle", number); ok {
		c.AngleDeg = &v
		if v < 0 || v > 90 || math.IsNaN(v) {
			d.add(m.lineOf("angle"), "write degrees from along the rows, 0 to 90", "%s: angle %g", m.name, v)
		}
	}
	word := func(key string, known ...string) string {
		if !m.has(key) {
			return ""
		}
		return m.choice(key, known...)
	}
	c.Slot, c.Dug, c.Atrazine = word("slot", "closed", "open"), word("dug", "yes", "no"), word("atrazine", "yes", "no")
	c.Moisture = word("moisture", string(guard.Dry), string(guard.Moist), string(guard.Wet))
	c.Season = word("season", string(guard.Fall), string(guard.Spring), string(guard.Sidedress))
	return c
}

// between reads a length that only so many metres make sense for.
func (d decoder) between(m mapping, key string, least, most float64, fix string) *unit.Length {
	v, ok := parsed(m, key, unit.ParseLength)
	if !ok {
		return nil
	}
	if !(v.Metres() >= least && v.Metres() <= most) {
		text, _ := m.text(key)
		d.add(m.lineOf(key), fix, "%s: %s of %s cannot be", m.name, key, text)
	}
	return &v
}

// tell gives a situation what the job says.
func (c CareSpec) tell(s *guard.Situation) {
	answer := func(word, yes string) guard.Answer {
		switch word {
		case "":
			return guard.Unknown
		case yes:
			return guard.Yes
		}
		return guard.No
	}
	s.InjectionSpacing, s.RowSpacing, s.Offset, s.AngleDeg = c.Spacing, c.Rows, c.Offset, c.AngleDeg
	s.SlotClosed, s.DepthChecked, s.Atrazine = answer(c.Slot, "closed"), answer(c.Dug, "yes"), answer(c.Atrazine, "yes")
	s.Moisture, s.Season = guard.Moisture(c.Moisture), guard.Season(c.Season)
	if c.RainAhead != nil { // on the day after, dry from then on as far as anybody sees
		s.RainMM = []float64{0, 1000 * c.RainAhead.Metres()}
	}
}
