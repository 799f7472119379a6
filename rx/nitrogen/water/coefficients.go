package water

import (
	"fmt"
	"math/rand/v2"
	"time"
)

// Texture is how much water a texture group holds, as shares of the soil's volume.
type Texture struct{ Wilting, Capacity, Saturation float64 }

// Coefficients are the numbers of the balance. Take them from Mid and change what
// you know better.
type Coefficients struct {
	DepthMM              float64 // of the bucket
	Coarse, Medium, Fine Texture
	Drains               map[string]float64 // share of the water above field capacity that drains in a day, by drainage class
	DrainsScale          float64            // times each of Drains, capped at 1
	SaturatedAbove       float64            // share of the pores above field capacity that must be filled
	Curve                map[string]float64 // curve number by hydrologic group
	Hargreaves           float64            // per °C to the power 1.5
	HargreavesOffset     float64            // °C
	EvaporationScale     float64            // times the reference
	BareSoil             float64            // crop coefficient before the crop covers ground
	FullCrop             float64            // crop coefficient under full cover
	CropStarts           float64            // days from planting until the coefficient rises
	CropFull             float64            // days from planting until it is FullCrop
	EasyShare            float64            // share of the available water that is used without stint
	MeltPerDegree        float64            // mm of snow a day per °C above 0
	MoistMM              float64            // water in three days that keeps the surface moist
	NearCapacity         float64            // share of the available water from which the surface is moist
	DryingDays           float64            // from moist to dry
	StartShare           float64            // of the available water in the bucket on the first day
	Planted              time.Time          // of the crop that draws water; zero: none, bare soil
}

// Mid is the middle run: the cited constants.
func Mid() Coefficients {
	return Coefficients{
		DepthMM:     depthMM,
		Coarse:      Texture{coarseWilting, coarseCapacity, coarseSaturation},
		Medium:      Texture{mediumWilting, mediumCapacity, mediumSaturation},
		Fine:        Texture{fineWilting, fineCapacity, fineSaturation},
		DrainsScale: 1,
		Drains: map[string]float64{
			"excessively drained": drainsExcessively, "somewhat excessively drained": drainsSomewhatExcessively,
			"well drained": drainsWell, moderatelyWell: drainsModeratelyWell,
			"somewhat poorly drained": drainsSomewhatPoorly, "poorly drained": drainsPoorly, "very poorly drained": drainsVeryPoorly,
		},
		SaturatedAbove: saturatedAbove,
		Curve:          map[string]float64{"A": curveA, "B": curveB, "C": curveC, "D": curveD},
		Hargreaves:     hargreaves, HargreavesOffset: hargreavesOffset, EvaporationScale: 1,
		BareSoil: bareSoil, FullCrop: fullCrop, CropStarts: cropStarts, CropFull: cropFull,
		EasyShare: easyShare, MeltPerDegree: meltPerDegree,
		MoistMM: moistMM, NearCapacity: nearCapacity, DryingDays: dryingDays, StartShare: startShare,
	}
}

const moderatelyWell = "moderately well drained"

// Low is the run with less water standing and draining through: the ends of the
// ranges of drainage, saturation and evapotranspiration, all at once, which is wider
// than the truth. More drains in a day, so that fewer days are saturated; what
// drains over a season moves little with that.
func Low() Coefficients {
	c := Mid()
	c.DrainsScale, c.SaturatedAbove, c.EvaporationScale = drainsScaleLow, saturatedAboveLow, evaporationScaleLow
	return c
}

// High is the run with more water standing and draining through; see Low.
func High() Coefficients {
	c := Mid()
	c.DrainsScale, c.SaturatedAbove, c.EvaporationScale = drainsScaleHigh, saturatedAboveHigh, evaporationScaleHigh
	return c
}

// Draw is a run with what Low and High set drawn at random: each by itself from a
// triangle between its two ends with its top at the middle. The same seed gives the
// same run.
func Draw(seed uint64) Coefficients {
	r := rand.New(rand.NewPCG(seed, 0x77617465722d31))
	c, low, high := Mid(), Low(), High()
	for _, p := range []struct {
		at       *float64
		low, end float64
	}{
		{&c.DrainsScale, low.DrainsScale, high.DrainsScale},
		{&c.SaturatedAbove, low.SaturatedAbove, high.SaturatedAbove},
		{&c.EvaporationScale, low.EvaporationScale, high.EvaporationScale},
	} {
		*p.at = Triangle(r.Float64(), min(p.low, p.end), *p.at, max(p.low, p.end))
	}
	return c
}

// check refuses numbers with which the balance has no meaning.
func (c Coefficients) check() error {
	for _, p := range []struct {
		name      string
		v         float64
		low, high float64
	}{
		{"the depth of the bucket in mm", c.DepthMM, 10, 3000},
		{"the scale of drainage", c.DrainsScale, 0, 100},
		{"the share of pores filled on a saturated day", c.SaturatedAbove, 0, 1},
		{"the factor of Hargreaves & Samani", c.Hargreaves, 0, 1},
		{"their offset in °C", c.HargreavesOffset, 0, 100},
		{"the scale of evapotranspiration", c.EvaporationScale, 0, 10},
		{"the crop coefficient of bare soil", c.BareSoil, 0, 2},
		{"the crop coefficient of the full crop", c.FullCrop, 0, 2},
		{"the days to the first rise of the crop", c.CropStarts, 0, 365},
		{"the days to the full crop", c.CropFull, c.CropStarts, 365},
		{"the share of water used without stint", c.EasyShare, 0, 0.99},
		{"the melt in mm per °C", c.MeltPerDegree, 0, 100},
		{"the water in mm that keeps the surface moist", c.MoistMM, 0, 100},
		{"the share of water from which the surface is moist", c.NearCapacity, 0, 1},
		{"the days in which the surface dries", c.DryingDays, 0.1, 365},
		{"the share of available water on the first day", c.StartShare, 0, 1},
	} {
		if !finite(p.v) || p.v < p.low || p.v > p.high {
			return fmt.Errorf("soil water: %s is %g; write %g to %g", p.name, p.v, p.low, p.high)
		}
	}
	for name, t := range map[string]Texture{"coarse": c.Coarse, "medium": c.Medium, "fine": c.Fine} {
		if !(t.Wilting >= 0 && t.Wilting < t.Capacity && t.Capacity < t.Saturation && t.Saturation <= 1) {
			return fmt.Errorf("soil water: %s soil holds %g at wilting, %g at field capacity and %g saturated; these are shares of its volume and must rise", name, t.Wilting, t.Capacity, t.Saturation)
		}
	}
	for name, v := range c.Drains {
		if !(v >= 0 && v <= 1) {
			return fmt.Errorf("soil water: of what is above field capacity %s soil drains the share %g in a day; write 0 to 1", name, v)
		}
	}
	for name, v := range c.Curve {
		if !(v > 0 && v <= 100) {
			return fmt.Errorf("soil water: a curve number of %g for hydrologic group %s; write up to 100", v, name)
		}
	}
	return nil
}
