package water

import (
	"fmt"
	"math/rand/v2"

	"ratewright/rx/nitrogen/coefficient"
)

// Mid is the middle run: the cited constants.
func Mid() Coefficients { return with(func(p coefficient.One) float64 { return p.Mid }) }

// Low is the run with fewer saturated days and less water draining through: the ends of
// the ranges of saturation and evapotranspiration, both at once, which is wider than
// the truth. How fast soil drains stays in the middle, for it does two things at once:
// in slower soil more days are saturated and less water drains.
func Low() Coefficients {
	c := with(func(p coefficient.One) float64 { return p.Low })
	c.DrainsScale = drainsScale
	return c
}

// High is the run with more saturated days and more water draining through; see Low.
func High() Coefficients {
	c := with(func(p coefficient.One) float64 { return p.High })
	c.DrainsScale = drainsScale
	return c
}

func with(value func(coefficient.One) float64) Coefficients {
	var c Coefficients
	c.set().Fill(value)
	return c
}

// Draw is a run with each coefficient that has a range drawn at random, by itself, from a
// triangle between the two ends with its top at the middle: how fast soil drains, what
// makes a day saturated, evapotranspiration. The same seed gives the same run.
func Draw(seed uint64) Coefficients {
	r := rand.New(rand.NewPCG(seed, 0x77617465722d31))
	c := Mid()
	for _, p := range c.all() {
		if p.Ranged() {
			*p.At = Triangle(r.Float64(), min(p.Low, p.High), p.Mid, max(p.Low, p.High))
		}
	}
	return c
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
	return coefficient.Set{What: "the soil's water", All: c.all()}
}

// check refuses numbers with which the balance has no meaning.
func (c *Coefficients) check() error {
	if err := c.set().Check(); err != nil {
		return err
	}
	for _, t := range []struct {
		name string
		Texture
	}{{"coarse", c.Coarse}, {"medium", c.Medium}, {"fine", c.Fine}} {
		if !(t.Wilting < t.Capacity && t.Capacity < t.Saturation) {
			return fmt.Errorf("%s soil holds %g of its volume at wilting, %g at field capacity and %g saturated; these must rise", t.name, t.Wilting, t.Capacity, t.Saturation)
		}
	}
	if c.CropFull < c.CropStarts {
		return fmt.Errorf("the crop draws its full share of water after %g days, before it begins to after %g; correct one of them", c.CropFull, c.CropStarts)
	}
	return nil
}
