package loss

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen"
)

// Placement is where a source is put.
type Placement int

// The placements that the published losses tell apart.
const (
	Broadcast    Placement = iota // spread or sprayed over the surface
	Dribbled                      // in streams or bands on the surface
	Incorporated                  // mixed into the soil in the same trip
	Injected                      // in a slot below the surface: knife, coulter, band beside the seed
)

var placements = []string{"broadcast", "dribbled", "incorporated", "injected"}

// String is the name of the placement.
func (p Placement) String() string {
	if p < 0 || int(p) >= len(placements) {
		return fmt.Sprintf("placement %d", int(p))
	}
	return placements[p]
}

// PlacementNamed is the placement of that name: broadcast, dribbled, incorporated or
// injected.
func PlacementNamed(name string) (Placement, error) {
	i := slices.Index(placements, strings.ToLower(strings.TrimSpace(name)))
	if i < 0 {
		return 0, fmt.Errorf("the placement %q is not known; write %s", name, strings.Join(placements, ", "))
	}
	return Placement(i), nil
}

// onSurface tells whether the nitrogen lies on the ground.
func (p Placement) onSurface() bool { return p == Broadcast || p == Dribbled }

// Inhibitor is what was mixed into the source.
type Inhibitor int

// The inhibitors: of urease (NBPT), of nitrification, both.
const (
	NoInhibitor Inhibitor = iota
	Urease
	Nitrification
	UreaseAndNitrification
)

var inhibitors = []string{"none", "urease", "nitrification", "both"}

// String is the name of the inhibitor.
func (i Inhibitor) String() string {
	if i < 0 || int(i) >= len(inhibitors) {
		return fmt.Sprintf("inhibitor %d", int(i))
	}
	return inhibitors[i]
}

// InhibitorNamed is the inhibitor of that name: none, urease, nitrification or both;
// an empty name is none.
func InhibitorNamed(name string) (Inhibitor, error) {
	name = strings.ToLower(strings.TrimSpace(name))
	if name == "" {
		return NoInhibitor, nil
	}
	i := slices.Index(inhibitors, name)
	if i < 0 {
		return 0, fmt.Errorf("the inhibitor %q is not known; write %s", name, strings.Join(inhibitors, ", "))
	}
	return Inhibitor(i), nil
}

func (i Inhibitor) ofNitrification() bool {
	return i == Nitrification || i == UreaseAndNitrification
}

// Tillage is a later trip that works the nitrogen in.
type Tillage struct {
	Date  time.Time   // only the date that it shows counts
	Depth unit.Length // as of Application
}

// Application is a trip, without its rate: a course has the same shape at any rate.
// Its depth is where the bulk of the nitrogen lies: about half the depth to which a tool
// that mixes works the soil, for the published factors of depth are of bands.
type Application struct {
	Source    nitrogen.Source
	Placement Placement
	Depth     unit.Length // of the nitrogen; 0 on the surface
	Date      time.Time   // only the date that it shows counts
	Inhibitor Inhibitor
	Tillage   *Tillage // nil: none
}

// deepestCM is a depth that no tool reaches; a larger one was given in another unit.
//
// Source: common practice; knives reach some 12 in.
// Range: 40 to 80.
// Unit: cm.
const deepestCM = 60.0

// Check refuses an application that cannot be, in words without its name or place: a
// source of no nitrogen, or of which nobody knows how it is bound; a placement or an
// inhibitor that is none; a depth that no tool reaches or that does not go with the
// placement; no date; tillage before it.
func (a Application) Check() error {
	name := a.Source.Label
	if name == "" {
		name = a.Source.Name
	}
	cm := 100 * a.Depth.Metres()
	switch {
	case !(a.Source.PercentN > 0):
		return fmt.Errorf("source %q holds no nitrogen; choose one that does", name)
	case a.Source.UreaN+a.Source.AmmoniumN+a.Source.NitrateN <= 0:
		return fmt.Errorf("it is not known how the nitrogen of %s is bound, so its losses cannot be told; give its shares of urea, ammonium and nitrate", name)
	case a.Placement < Broadcast || a.Placement > Injected:
		return fmt.Errorf("%s: the placement is not known; write %s", name, strings.Join(placements, ", "))
	case a.Inhibitor < NoInhibitor || a.Inhibitor > UreaseAndNitrification:
		return fmt.Errorf("%s: the inhibitor is not known; write %s", name, strings.Join(inhibitors, ", "))
	case !finite(cm) || cm < 0 || cm > deepestCM:
		return fmt.Errorf("%s: a depth of %.4g in (%.4g cm) cannot be; write 0 to %.0f cm, with its unit", name, a.Depth.Inches(), cm, deepestCM)
	case a.Placement.onSurface() && cm > 0:
		return fmt.Errorf("%s is %s, which lies on the surface, but has a depth of %.3g in; leave the depth out, or say incorporated or injected", name, a.Placement, a.Depth.Inches())
	case !a.Placement.onSurface() && cm == 0:
		return fmt.Errorf("%s is %s but has no depth; give the depth at which it lies", name, a.Placement)
	case a.Source.Ammonia && a.Placement != Injected:
		return fmt.Errorf("%s is %s, but ammonia is a gas and must be injected; say injected, with its depth", name, a.Placement)
	case a.Date.IsZero():
		return fmt.Errorf("%s has no date of application; give one", name)
	}
	return a.checkTillage(name)
}

func (a Application) checkTillage(name string) error {
	if a.Tillage == nil {
		return nil
	}
	cm := 100 * a.Tillage.Depth.Metres()
	switch {
	case !finite(cm) || cm <= 0 || cm > deepestCM:
		return fmt.Errorf("%s: tillage to %.4g in (%.4g cm) cannot be; write above 0 and up to %.0f cm, with its unit", name, a.Tillage.Depth.Inches(), cm, deepestCM)
	case a.Tillage.Date.IsZero():
		return fmt.Errorf("%s: the tillage that works it in has no date; give one", name)
	case number(a.Tillage.Date) < number(a.Date):
		return fmt.Errorf("%s is worked in on %s, before it is applied on %s; correct one of the dates", name, date(a.Tillage.Date), date(a.Date))
	case a.Source.Ammonia:
		return fmt.Errorf("%s is injected as a gas; leave out the tillage that works it in", name)
	}
	return nil
}

// Site is what differs from zone to zone and does not change the shape of a course.
// Residue takes nitrogen once a season: who follows several applications on the same
// ground divides what it takes among them by Part.
type Site struct {
	PH          float64 // of the soil, in water
	Cover       float64 // share of the ground under residue, 0 to 1
	ResidueKgHa float64 // dry residue, kg/ha; 0: by Cover (Gregory 1982, from memory)
	// Part is the share of what the residue takes in the season that falls on this
	// application, most often its share of the season's nitrogen; 0: all of it, as for the
	// only application.
	Part float64
}

// Check refuses a site that cannot be, in words.
func (s Site) Check() error {
	switch {
	case !(s.PH >= 3 && s.PH <= 11):
		return fmt.Errorf("a soil pH of %g cannot be; give the pH in water, most often 5 to 8", s.PH)
	case !(s.Cover >= 0 && s.Cover <= 1):
		return fmt.Errorf("residue covers the share %g of the ground; write 0 to 1", s.Cover)
	case !(s.ResidueKgHa >= 0 && s.ResidueKgHa <= 50000):
		return fmt.Errorf("residue of %g kg/ha cannot be; write 0 to 50000, most often up to 12000", s.ResidueKgHa)
	case !(s.Part >= 0 && s.Part <= 1):
		return fmt.Errorf("an application that meets the share %g of what residue takes cannot be; write 0 to 1", s.Part)
	}
	return nil
}
