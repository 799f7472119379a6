package loss

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"ratewright/rx/nitrogen/water"
)

// Mid is the middle run: the cited constants.
func Mid() Coefficients { return with(func(p coefficient) float64 { return p.mid }) }

// Low is the run of low losses: every coefficient with a range at the end of it where
// less is lost, all at once, which is wider than the truth. Take the water of a
// season by water.Low with it.
func Low() Coefficients { return with(func(p coefficient) float64 { return p.low }) }

// High is the run of high losses; see Low.
func High() Coefficients { return with(func(p coefficient) float64 { return p.high }) }

func with(value func(coefficient) float64) Coefficients {
	var c Coefficients
	for _, p := range c.all() {
		*p.at = value(p)
	}
	return c
}

// Draw is a run at random. The shift between studies is normal with the standard
// deviation of the mixed model on its scale (the square root of percent plus 4); each
// other coefficient with a range is drawn by itself from a triangle between the ends
// of Low and High with its top at Mid. Those without a range stay as they are. The
// same seed gives the same run. Take the water of a season by water.Draw with the seed.
func Draw(seed uint64) Coefficients {
	r := rand.New(rand.NewPCG(seed, 0x6c6f737365732d31))
	c := Mid()
	for _, p := range c.all() {
		switch {
		case p.low == p.high:
		case p.at == &c.StudyShift:
			*p.at = p.high * r.NormFloat64()
		default:
			*p.at = water.Triangle(r.Float64(), min(p.low, p.high), p.mid, max(p.low, p.high))
		}
	}
	return c
}

// Spread says what the band of low, mid and high runs or of draws holds, and what not.
func Spread() string {
	return "the band holds the spread between studies of ammonia loss (one standard deviation on the square root scale) and published or judged ranges of the other coefficients, all at their ends together; it holds neither the spread within a study, nor wind and humidity, nor errors of the weather"
}

// Coefficient is one of them by name.
type Coefficient struct {
	Name, Unit     string
	Mid, Low, High float64 // Low and High are Mid where it has no range
}

// Names lists the coefficients with their units and the values of the three runs.
func Names() []Coefficient {
	var c Coefficients
	var list []Coefficient
	for _, p := range c.all() {
		list = append(list, Coefficient{p.name, p.unit, p.mid, p.low, p.high})
	}
	return list
}

// Set changes a coefficient by its name, in the unit that Names gives.
func (c *Coefficients) Set(name string, v float64) error {
	for _, p := range c.all() {
		if p.name != name {
			continue
		}
		if err := p.bounded(v); err != nil {
			return err
		}
		*p.at = v
		return nil
	}
	return fmt.Errorf("no coefficient of the losses is called %q", name)
}

func (p coefficient) bounded(v float64) error {
	if !(v >= p.least && v <= p.most) {
		return fmt.Errorf("the coefficient %s of the losses is %g %s; write %g to %g (published or common: %g)", p.name, v, p.unit, p.least, p.most, p.mid)
	}
	return nil
}

// Changed tells which coefficients are not those of Mid, as a sentence; "" for none.
func (c Coefficients) Changed() string {
	var list []string
	for _, p := range c.all() {
		if *p.at != p.mid {
			list = append(list, fmt.Sprintf("%s %g (else %g) %s", p.name, *p.at, p.mid, p.unit))
		}
	}
	if len(list) == 0 {
		return ""
	}
	slices.Sort(list)
	return "coefficients of the losses set otherwise: " + strings.Join(list, "; ")
}

// check refuses numbers with which the losses have no meaning.
func (c *Coefficients) check() error {
	for _, p := range c.all() {
		if err := p.bounded(*p.at); err != nil {
			return err
		}
	}
	if !(c.DepthNear < c.DepthMiddle && c.DepthMiddle < c.DepthNone) {
		return fmt.Errorf("the depths of the loss by depth are %g, %g and %g cm; they must rise", c.DepthNear, c.DepthMiddle, c.DepthNone)
	}
	if !(c.CoolFrom <= c.MildFrom && c.MildFrom <= c.WarmAbove) {
		return fmt.Errorf("the temperatures of denitrification are %g, %g and %g °C; they must rise", c.CoolFrom, c.MildFrom, c.WarmAbove)
	}
	return nil
}
