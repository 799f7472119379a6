package rx

import (
	"fmt"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen"
)

// Application is one planned trip of one source with one placement, depth and
// date.
type Application struct {
	Name      string
	Source    nitrogen.Source
	Placement string       // as the job words it; may be empty
	Depth     *unit.Length // planned depth; nil where the job gives none
	Shallow   *unit.Length // ground placed less deep than this is shallow; nil: see ShallowLimit
	Date      string       // as the job words it; may be empty
	Rate      RateRule
	Limits    Limits
	Tank      Tank
	Map       MapSpec
	Units     unit.System // of areas in the notes of its rate map
}

// MapSpec says what the rate map carries.
type MapSpec struct {
	Of        unit.Of       // product or nitrogen
	Unit      unit.RateUnit // of the rate column
	OffLimits OffLimitsRule
	Name      string // base name of the files; empty: MapName of field and application
}

// OffLimitsRule says what the rate map does with off-limits ground.
type OffLimitsRule int

// The two ways a rate map can treat off-limits ground.
const (
	OffLimitsZero OffLimitsRule = iota // polygons with an explicit zero rate
	OffLimitsNone                      // no polygons: the controller's outside rate holds there
)

// ammoniaShallow is the depth that common practice asks for ammonia.
//
// Source: common practice for anhydrous ammonia; there is no law behind it.
// Shallower slots may seal in moist soil, and coarse or dry soil asks for more.
// Range: 5 to 8 in.
// Unit: in.
const ammoniaShallow = 5.0

// ShallowLimit returns the depth above which ground counts as shallow, and
// false where there is no limit. Ammonia without one gets 5 in, common
// practice; note then says so.
func (a Application) ShallowLimit() (limit unit.Length, note string, ok bool) {
	if a.Shallow != nil {
		return *a.Shallow, "", true
	}
	if a.Source.Ammonia {
		return unit.Inches(ammoniaShallow), fmt.Sprintf("no shallow limit given for ammonia; %g in, common practice, was used", ammoniaShallow), true
	}
	return 0, "", false
}

// check finds what makes an application impossible before any zone is seen.
func (a Application) check() error {
	if err := checkRateUnit("the rate", a.Rate.Unit, a.Rate.Of); err != nil {
		return err
	}
	if err := a.Rate.check(); err != nil {
		return err
	}
	if err := checkRateUnit("the rate map", a.Map.Unit, a.Map.Of); err != nil {
		return err
	}
	if err := a.Limits.check(a.Source); err != nil {
		return err
	}
	if a.Source.PercentN <= 0 {
		return fmt.Errorf("source %s holds no nitrogen; choose one that does", a.Source.Called())
	}
	if err := a.checkDensity(); err != nil {
		return err
	}
	return a.Tank.check()
}

// checkDensity asks for the density early where any unit is a volume.
func (a Application) checkDensity() error {
	needs := a.Rate.Unit.IsVolume() || a.Map.Unit.IsVolume() || a.Tank.Volume != 0
	if needs && !a.Source.HasDensity {
		return fmt.Errorf("source %s has no density, which a rate or tank by volume needs; set its density, or use units of mass", a.Source.Called())
	}
	return nil
}

// checkRateUnit refuses a rate without unit or without saying what it counts,
// and nitrogen by volume, which means nothing.
func checkRateUnit(what string, u unit.RateUnit, of unit.Of) error {
	switch {
	case u == unit.RateUnit{}:
		return fmt.Errorf("%s has no unit; give one, such as lb/ac or gal/ac", what)
	case of != unit.Nitrogen && of != unit.Product:
		return fmt.Errorf("%s does not say what it counts; give nitrogen or product", what)
	case of == unit.Nitrogen && u.IsVolume():
		return fmt.Errorf("%s is nitrogen in %s, and nitrogen has no volume; use lb/ac or kg/ha, or count product", what, u)
	}
	return nil
}
