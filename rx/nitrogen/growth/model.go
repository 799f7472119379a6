package growth

import (
	"errors"
	"fmt"
)

// Point is the warmth at which a stage is reached: degree days (°F, 86/50) from
// planting, the same twice where one figure is published.
type Point struct {
	Stage       Stage
	LowF, HighF float64
}

// Model says which stage is reached with which warmth. Its points rise; the first is
// emergence. Between two V-stages it goes straight; between two of VT and later it
// says no more than that the stage is between them.
type Model struct {
	Name   string
	Source string
	Points []Point
	Note   string // what to know of it; empty for nothing
}

// Collars are the figures of a model of leaf collars, in degree days (°F, 86/50): from
// planting to emergence, then for each leaf up to Switch and each one after it.
type Collars struct {
	Name, Source                  string
	EmergenceLowF, EmergenceHighF float64
	EarlyF, LateF                 float64
	Switch                        int // leaf after which LateF counts
}

// Purdue is the model of leaf collars of Purdue University.
//
// Source: Nielsen, Purdue Univ.; Wuethrich 1997: 82 degree days a leaf to V10, then 50.
func Purdue() Collars {
	return Collars{"Purdue collars", "Nielsen, Purdue Univ.; Wuethrich 1997", emergenceLowF, emergenceHighF, purdueEarlyF, purdueLateF, switchLeaf}
}

// Iowa is the model of leaf collars of Iowa State University.
//
// Source: Abendroth et al. 2011, PMR 1009: 84 degree days a leaf to V10, then 56.
func Iowa() Collars {
	return Collars{"Iowa collars", "Abendroth et al. 2011, PMR 1009", emergenceLowF, emergenceHighF, iowaEarlyF, iowaLateF, switchLeaf}
}

// Model is the model with these figures, up to tassel.
func (c Collars) Model() Model {
	at := func(stage Stage) Point {
		early := min(float64(stage), float64(c.Switch)) * c.EarlyF
		late := max(float64(stage)-float64(c.Switch), 0) * c.LateF
		return Point{stage, c.EmergenceLowF + early + late, c.EmergenceHighF + early + late}
	}
	m := Model{Name: c.Name, Source: c.Source, Points: []Point{at(Emergence())}, Note: "counts leaf collars and ends at tassel"}
	if sw := Stage(c.Switch); sw > Emergence() && sw < VT {
		m.Points = append(m.Points, at(sw))
	}
	m.Points = append(m.Points, at(VT))
	return m
}

// Delaware is the table of stages published for Delaware, with emergence as Purdue
// has it and a straight line from there to its first stage, V6.
//
// Source: V6 475, V12 870, VT 1135, R1 1400, R6 2700.
func Delaware() Model {
	return Model{
		Name: "Delaware table", Source: "table published for Delaware",
		Points: []Point{
			{Emergence(), emergenceLowF, emergenceHighF},
			{delawareEarly, delawareV6F, delawareV6F},
			{delawareLate, delawareV12F, delawareV12F},
			{VT, delawareVTF, delawareVTF},
			{R1, delawareR1F, delawareR1F},
			{R6, delawareR6F, delawareR6F},
		},
		Note: "begins at V6; a straight line from emergence stands in before",
	}
}

// Wisconsin is the table of stages published for Wisconsin, with emergence as Purdue
// has it and a straight line from there to its first stage, V8.
//
// Source: hybrids of 95 to 105 days from 15 May: V8 600, V13 900, VT 1200, R6 2400 to 2600.
func Wisconsin() Model {
	return Model{
		Name: "Wisconsin table", Source: "table published for Wisconsin",
		Points: []Point{
			{Emergence(), emergenceLowF, emergenceHighF},
			{wisconsinEarly, wisconsinV8F, wisconsinV8F},
			{wisconsinLate, wisconsinV13F, wisconsinV13F},
			{VT, wisconsinVTF, wisconsinVTF},
			{R6, wisconsinR6LowF, wisconsinR6HighF},
		},
		Note: "is for hybrids of 95 to 105 days planted about 15 May and begins at V8; a straight line from emergence stands in before",
	}
}

// Models are all models with their published figures.
func Models() []Model {
	return []Model{Purdue().Model(), Iowa().Model(), Delaware(), Wisconsin()}
}

// ModelNamed is one of Models by its name.
func ModelNamed(name string) (Model, error) {
	var names string
	for _, m := range Models() {
		if m.Name == name {
			return m, nil
		}
		names += ", " + m.Name
	}
	return Model{}, fmt.Errorf("the model of growth stages %q is unknown; there are%s", name, names[1:])
}

// check refuses a model that does not rise.
func (m Model) check() error {
	fail := func(what string) error {
		return fmt.Errorf("model of growth stages %q: %s", m.Name, what)
	}
	if len(m.Points) < 2 || m.Points[0].Stage != Emergence() {
		return fail("give emergence and one later stage at least, emergence first")
	}
	for i, p := range m.Points {
		if !finite(float64(p.Stage)) || !finite(p.LowF) || !finite(p.HighF) || p.LowF < 0 || p.LowF > p.HighF || p.Stage > R6 {
			return fail(fmt.Sprintf("stage %s at %g to %g degree days: give numbers not below zero, the lower first", p.Stage, p.LowF, p.HighF))
		}
		if i == 0 {
			continue
		}
		q := m.Points[i-1]
		if p.Stage <= q.Stage || p.LowF <= q.LowF || p.HighF <= q.HighF {
			return fail(fmt.Sprintf("stage %s does not come with more warmth than %s", p.Stage, q.Stage))
		}
	}
	return nil
}

// Since is from when degree days are counted.
type Since int

// Degree days are counted from planting or from the day the crop was up.
const (
	FromPlanting Since = iota
	FromEmergence
)

// Estimate is the stage by one model.
type Estimate struct {
	Model     string
	Low, High Stage
	Words     string // "about V6", "V5 to V6"
	Notes     []string
}

// Stage is the stage at f degree days (°F, 86/50) since planting or emergence. Low and
// High are apart where the model has a range of warmth, or does not tell the stages in
// between. It is an error where f is below zero or no number, or the model does not
// rise.
func (m Model) Stage(f float64, since Since) (Estimate, error) {
	if err := m.check(); err != nil {
		return Estimate{}, err
	}
	if !finite(f) || f < 0 {
		return Estimate{}, fmt.Errorf("%g degree days: give a number not below zero", f)
	}
	if since != FromPlanting && since != FromEmergence {
		return Estimate{}, errors.New("degree days count from planting or from emergence; say which")
	}
	e := Estimate{Model: m.Name, Low: R6, High: NotEmerged()}
	for _, at := range []func(Point) float64{func(p Point) float64 { return p.LowF }, func(p Point) float64 { return p.HighF }} {
		warmth := f
		if since == FromEmergence {
			warmth += at(m.Points[0])
		}
		low, high := m.position(warmth, at)
		e.Low, e.High = min(e.Low, low), max(e.High, high)
	}
	e.Words = stages(e.Low, e.High)
	if end := m.Points[len(m.Points)-1].Stage; end < R6 && e.High >= end {
		e.Notes = append(e.Notes, fmt.Sprintf("%s: the model ends at %s; the crop may be anywhere after it", m.Name, end))
	}
	if m.Note != "" {
		e.Notes = append(e.Notes, m.Name+": the model "+m.Note)
	}
	return e, nil
}

// position is the span of stages at a warmth from planting.
func (m Model) position(f float64, at func(Point) float64) (low, high Stage) {
	if f < at(m.Points[0]) {
		return NotEmerged(), NotEmerged()
	}
	for i := 1; i < len(m.Points); i++ {
		p, q := m.Points[i-1], m.Points[i]
		switch {
		case f >= at(q):
		case p.Stage >= VT:
			return p.Stage, q.Stage
		default:
			s := p.Stage + (q.Stage-p.Stage)*Stage((f-at(p))/(at(q)-at(p)))
			return s, s
		}
	}
	return m.Points[len(m.Points)-1].Stage, R6
}

// Spread is the stage by several models.
type Spread struct {
	F         float64 // degree days, °F
	Since     Since
	Estimates []Estimate
	Low, High Stage
	Words     string // "about V6", "V5 to V7"
	Notes     []string
}

// Stages asks several models for the stage at f degree days (°F, 86/50), and says how
// far they lie apart. It is an error where there is no model, or one of them fails.
func Stages(f float64, since Since, models []Model) (Spread, error) {
	if len(models) == 0 {
		return Spread{}, errors.New("no model of growth stages is given; name one at least")
	}
	s := Spread{F: f, Since: since, Low: R6, High: NotEmerged()}
	said := ""
	for _, m := range models {
		e, err := m.Stage(f, since)
		if err != nil {
			return Spread{}, err
		}
		s.Estimates = append(s.Estimates, e)
		s.Low, s.High = min(s.Low, e.Low), max(s.High, e.High)
		s.Notes = append(s.Notes, e.Notes...)
		said += ", " + e.Words + " by the " + e.Model
	}
	s.Words = stages(s.Low, s.High)
	if s.Low.String() != s.High.String() {
		s.Notes = append(s.Notes, fmt.Sprintf("at %.0f degree days the stage is uncertain from %s to %s: %s; look at the crop", f, s.Low, s.High, said[2:]))
	}
	return s, nil
}
