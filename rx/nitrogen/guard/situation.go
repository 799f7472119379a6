package guard

import (
	"fmt"
	"math"
	"strings"
	"time"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen"
	"ratewright/rx/nitrogen/growth"
)

// Placement is where the nitrogen comes to lie.
type Placement string

// The placements. The empty one is not known.
const (
	Broadcast    Placement = "broadcast"    // on all of the surface, and sprayed over it
	SurfaceBand  Placement = "surface-band" // dribbled, streamed
	Incorporated Placement = "incorporated" // tilled in right away
	Injected     Placement = "injected"     // by knife or coulter
)

// PlacementNamed reads the words of the trade for a placement; false where they are
// none of them.
func PlacementNamed(words string) (Placement, bool) {
	switch strings.Join(strings.FieldsFunc(strings.ToLower(words), func(r rune) bool { return r == ' ' || r == '-' || r == '_' }), " ") {
	case "":
		return "", true
	case "broadcast", "sprayed", "topdress", "topdressed", "over the top":
		return Broadcast, true
	case "surface band", "banded on the surface", "dribble", "dribbled", "streamed", "streamer", "drop tubes":
		return SurfaceBand, true
	case "incorporated", "broadcast incorporated", "tilled in", "worked in":
		return Incorporated, true
	case "injected", "injection", "knife", "knifed", "coulter", "coulters", "disc", "band below the surface", "2x2", "beside the seed":
		return Injected, true
	}
	return "", false
}

// Answer is what is known of a question.
type Answer int

// The answers.
const (
	Unknown Answer = iota
	Yes
	No
)

// Inhibitor is what goes with the nitrogen. The empty one is not known.
type Inhibitor string

// The inhibitors.
const (
	NoInhibitor   Inhibitor = "none"
	Urease        Inhibitor = "urease"
	Nitrification Inhibitor = "nitrification"
	Both          Inhibitor = "both"
)

// Season is when the nitrogen goes on. The empty one is not known.
type Season string

// The seasons. Spring is before planting.
const (
	Fall      Season = "fall"
	Spring    Season = "spring"
	Sidedress Season = "sidedress" // after planting
)

// Moisture is how the soil is at placement depth. The empty one is not known.
type Moisture string

// The words for moisture.
const (
	Dry   Moisture = "dry" // or cloddy
	Moist Moisture = "moist"
	Wet   Moisture = "wet"
)

// Stages are the earliest and the latest stage that the crop may have reached.
type Stages struct{ Low, High growth.Stage }

// Situation is one application as it is planned, as far as it is known. A nil, an empty
// word and a zero date are not known.
type Situation struct {
	Source    nitrogen.Source
	Inhibitor Inhibitor
	Placement Placement
	N         unit.NRate   // put down in this trip; none of 0 is a warning
	Depth     *unit.Length // of knife or coulter below the surface

	Texture  string   // coarse, medium or fine
	Moisture Moisture // at the depth of placement
	WorkedIn *int     // days from the application to the trip that works it in; nil for none
	Residue  *float64 // cover, share of the ground from 0 to 1

	RowSpacing       *unit.Length
	InjectionSpacing *unit.Length // between knives
	Offset           *unit.Length // from the row to come to the nearest band, by guidance
	AngleDeg         *float64     // between bands and rows to come; 0 is along them

	SlotClosed   Answer
	DepthChecked Answer // dug up and measured in the ground, not only read off a gauge
	Atrazine     Answer // in the tank with UAN

	Season   Season
	Date     time.Time // of the application
	Planting time.Time
	Stage    *Stages

	SoilC      *float64 // daily mean of the soil at 4 in (10 cm), °C
	SoilErrorC float64  // its standard error where it is estimated, °C; 0 where measured

	// RainMM is the rain of the coming days, the day of the application first, mm.
	RainMM []float64
}

// days are those from application to planting; false where a date is not known.
func (s Situation) days() (int, bool) {
	if s.Date.IsZero() || s.Planting.IsZero() {
		return 0, false
	}
	day := func(t time.Time) int {
		y, m, d := t.Date()
		return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
	}
	return day(s.Planting) - day(s.Date), true
}

// check refuses what cannot be.
func (s Situation) check() error {
	for _, v := range []struct {
		what     string
		v        *float64
		min, max float64
	}{
		{"a rate of nitrogen in kg/ha", ptr(s.N.KgNPerHa()), 0, 2000},
		{"a depth in metres", metres(s.Depth), 0, 2},
		{"a distance of rows in metres", metres(s.RowSpacing), 0.05, 5},
		{"a distance of knives in metres", metres(s.InjectionSpacing), 0.05, 5},
		{"a distance of band and row in metres", metres(s.Offset), 0, 5},
		{"an angle to the rows in degrees", s.AngleDeg, -360, 360},
		{"a residue cover as a share", s.Residue, 0, 1},
		{"a soil temperature in °C", s.SoilC, -60, 60},
		{"an error of the soil temperature in °C", &s.SoilErrorC, 0, 20},
	} {
		if v.v != nil && !(*v.v >= v.min && *v.v <= v.max) {
			return fmt.Errorf("warnings before an application: %s of %g cannot be; give one from %g to %g, or none", v.what, *v.v, v.min, v.max)
		}
	}
	if s.WorkedIn != nil && *s.WorkedIn < 0 {
		return fmt.Errorf("warnings before an application: it is worked in %s before it is applied; correct one of the dates", days(-*s.WorkedIn))
	}
	for _, mm := range s.RainMM {
		if !(mm >= 0 && mm <= 2000) {
			return fmt.Errorf("warnings before an application: rain of %g mm cannot be; leave out the days from there on", mm)
		}
	}
	if g := s.Stage; g != nil && !(g.Low <= g.High && !math.IsInf(float64(g.Low), 0) && !math.IsInf(float64(g.High), 0)) {
		return fmt.Errorf("warnings before an application: a crop from %s to %s; give the earlier stage first", g.Low, g.High)
	}
	if err := s.words(); err != nil {
		return err
	}
	if s.Source.Ammonia && s.Placement != "" && s.Placement != Injected {
		return fmt.Errorf("anhydrous ammonia is a gas and is lost at once when it is %s; it must be injected", s.Placement)
	}
	return nil
}

// words refuses a word that no guard knows, for it would pass in silence.
func (s Situation) words() error {
	for _, w := range []struct {
		what, is string
		of       []string
	}{
		{"placement", string(s.Placement), []string{string(Broadcast), string(SurfaceBand), string(Incorporated), string(Injected)}},
		{"inhibitor", string(s.Inhibitor), []string{string(NoInhibitor), string(Urease), string(Nitrification), string(Both)}},
		{"season", string(s.Season), []string{string(Fall), string(Spring), string(Sidedress)}},
		{"moisture", string(s.Moisture), []string{string(Dry), string(Moist), string(Wet)}},
		{"texture", s.Texture, []string{"coarse", "medium", "fine"}},
	} {
		found := w.is == ""
		for _, name := range w.of {
			found = found || w.is == name
		}
		if !found {
			return fmt.Errorf("warnings before an application: the %s %q is none of %s", w.what, w.is, strings.Join(w.of, ", "))
		}
	}
	return nil
}

func ptr(v float64) *float64 { return &v }

func metres(l *unit.Length) *float64 {
	if l == nil {
		return nil
	}
	return ptr(l.Metres())
}
