package water

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
)

// Mid is the middle run: the cited constants.
func Mid() Coefficients { return with(func(p coefficient) float64 { return p.mid }) }

// Low is the run with fewer saturated days and less water draining through: the ends of
// the ranges of saturation and evapotranspiration, both at once, which is wider than
// the truth. How fast soil drains stays in the middle, for it does two things at once:
// in slower soil more days are saturated and less water drains.
func Low() Coefficients {
	c := with(func(p coefficient) float64 { return p.low })
	c.DrainsScale = drainsScale
	return c
}

// High is the run with more saturated days and more water draining through; see Low.
func High() Coefficients {
	c := with(func(p coefficient) float64 { return p.high })
	c.DrainsScale = drainsScale
	return c
}

func with(value func(coefficient) float64) Coefficients {
	var c Coefficients
	for _, p := range c.all() {
		*p.at = value(p)
	}
	return c
}

// Draw is a run with each coefficient that has a range drawn at random, by itself, from a
// triangle between the two ends with its top at the middle: how fast soil drains, what
// makes a day saturated, evapotranspiration. The same seed gives the same run.
func Draw(seed uint64) Coefficients {
	r := rand.New(rand.NewPCG(seed, 0x77617465722d31))
	c := Mid()
	for _, p := range c.all() {
		if p.low != p.high {
			*p.at = Triangle(r.Float64(), min(p.low, p.high), p.mid, max(p.low, p.high))
		}
	}
	return c
}

// Coefficient is one of them by name.
type Coefficient struct {
	Name, Unit     string
	Mid, Low, High float64 // middle and ends of its range; all the same where it has none
}

// Names lists the coefficients with their units and ranges.
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
	return fmt.Errorf("no coefficient of the soil's water is called %q", name)
}

func (p coefficient) bounded(v float64) error {
	if !(v >= p.least && v <= p.most) {
		return fmt.Errorf("the coefficient %s of the soil's water is %g %s; write %g to %g (published or common: %g)", p.name, v, p.unit, p.least, p.most, p.mid)
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
	return "coefficients of the soil's water set otherwise: " + strings.Join(list, "; ")
}

// check refuses numbers with which the balance has no meaning.
func (c *Coefficients) check() error {
	for _, p := range c.all() {
		if err := p.bounded(*p.at); err != nil {
			return err
		}
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
