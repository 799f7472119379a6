package loss

import (
	"fmt"
	"math/rand/v2"

	"ratewright/rx/nitrogen/coefficient"
	"ratewright/rx/nitrogen/water"
)

// Mid is the middle run: the cited constants.
func Mid() Coefficients { return with(func(p coefficient.One) float64 { return p.Mid }) }

// Low is the run of low losses: every coefficient with a range at the end of it where
// less is lost, all at once, which is wider than the truth. Take the water of a
// season by water.Low with it.
func Low() Coefficients { return with(func(p coefficient.One) float64 { return p.Low }) }

// High is the run of high losses; see Low.
func High() Coefficients { return with(func(p coefficient.One) float64 { return p.High }) }

func with(value func(coefficient.One) float64) Coefficients {
	var c Coefficients
	c.set().Fill(value)
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
		case !p.Ranged():
		case p.At == &c.StudyShift:
			*p.At = p.High * r.NormFloat64()
		default:
			*p.At = water.Triangle(r.Float64(), min(p.Low, p.High), p.Mid, max(p.Low, p.High))
		}
	}
	return c
}

// Spread says what the band of low, mid and high runs or of draws holds, and what not.
func Spread() string {
	return "the band holds the spread between studies of ammonia loss (one standard deviation on the square root scale) and published or judged ranges of the other coefficients, all at their ends together; it holds neither the spread within a study, nor wind and humidity, nor errors of the weather"
}

// Names lists the coefficients with their units and the ends of their ranges.
func Names() []coefficient.Coefficient {
	var c Coefficients
	return c.set().Names()
}

// Set changes a coefficient by its name, in the unit that Names gives.
func (c *Coefficients) Set(name string, v float64) error { return c.set().Put(name, v) }

// Changed tells which coefficients are not those of Mid, as a sentence; "" for none.
func (c Coefficients) Changed() string { return c.set().Changed() }

func (c *Coefficients) set() coefficient.Set {
	return coefficient.Set{What: "the losses", All: c.all()}
}

// check refuses numbers with which the losses have no meaning.
func (c *Coefficients) check() error {
	if err := c.set().Check(); err != nil {
		return err
	}
	if !(c.DepthNear < c.DepthMiddle && c.DepthMiddle < c.DepthNone) {
		return fmt.Errorf("the depths of the loss by depth are %g, %g and %g cm; they must rise", c.DepthNear, c.DepthMiddle, c.DepthNone)
	}
	if !(c.CoolFrom <= c.MildFrom && c.MildFrom <= c.WarmAbove) {
		return fmt.Errorf("the temperatures of denitrification are %g, %g and %g °C; they must rise", c.CoolFrom, c.MildFrom, c.WarmAbove)
	}
	return nil
}
