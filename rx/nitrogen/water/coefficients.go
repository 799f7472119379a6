package water

import (
	"time"

	"ratewright/rx/nitrogen/coefficient"
)

// Texture is how much water a texture group holds, as shares of the soil's volume.
type Texture struct{ Wilting, Capacity, Saturation float64 }

// Drainage is the share of the water above field capacity that drains in a day, by
// USDA's classes of natural drainage.
type Drainage struct {
	Excessively, SomewhatExcessively, Well, ModeratelyWell, SomewhatPoorly, Poorly, VeryPoorly float64
}

// Curves are the curve numbers by hydrologic group.
type Curves struct{ A, B, C, D float64 }

// Coefficients are the numbers of the balance. Take them from Mid, Low, High or Draw
// and change what you know better. Units and sources stand at the constants of the
// same names, and in Names.
type Coefficients struct {
	DepthMM              float64 // of the bucket
	Coarse, Medium, Fine Texture
	Drains               Drainage
	DrainsScale          float64 // times each of Drains, the product capped at 1
	SaturatedAbove       float64 // share of the pores above field capacity that must be filled
	Curve                Curves
	Hargreaves           float64   // per °C to the power 1.5
	HargreavesOffset     float64   // °C
	EvaporationScale     float64   // times the reference
	BareSoil             float64   // crop coefficient before the crop covers ground
	FullCrop             float64   // crop coefficient under full cover
	CropStarts           float64   // days from planting until the coefficient rises
	CropFull             float64   // days from planting until it is FullCrop
	EasyShare            float64   // share of the available water that is used without stint
	MeltPerDegree        float64   // mm of snow a day per °C above 0
	MoistMM              float64   // water in three days that keeps the surface moist
	NearCapacity         float64   // share of the available water from which the surface is moist
	DryingDays           float64   // from moist to dry
	StartShare           float64   // of the available water in the bucket on the first day
	Planted              time.Time // of the crop that draws water; zero: none, bare soil
}

// all are the coefficients in the order of the rules.
func (c *Coefficients) all() []coefficient.One {
	// one has no range.
	one := func(name, unit string, at *float64, least, most, mid float64) coefficient.One {
		return coefficient.Of(name, unit, at, least, most, mid, mid, mid)
	}
	const share, factor, daily, curve = "share", "none, a factor", "share a day", "curve number"
	return []coefficient.One{
		one("depth_mm", "mm", &c.DepthMM, 10, 3000, depthMM),
		one("coarse_wilting", share, &c.Coarse.Wilting, 0, 1, coarseWilting),
		one("coarse_capacity", share, &c.Coarse.Capacity, 0, 1, coarseCapacity),
		one("coarse_saturation", share, &c.Coarse.Saturation, 0, 1, coarseSaturation),
		one("medium_wilting", share, &c.Medium.Wilting, 0, 1, mediumWilting),
		one("medium_capacity", share, &c.Medium.Capacity, 0, 1, mediumCapacity),
		one("medium_saturation", share, &c.Medium.Saturation, 0, 1, mediumSaturation),
		one("fine_wilting", share, &c.Fine.Wilting, 0, 1, fineWilting),
		one("fine_capacity", share, &c.Fine.Capacity, 0, 1, fineCapacity),
		one("fine_saturation", share, &c.Fine.Saturation, 0, 1, fineSaturation),
		one("drains_excessively", daily, &c.Drains.Excessively, 0, 1, drainsExcessively),
		one("drains_somewhat_excessively", daily, &c.Drains.SomewhatExcessively, 0, 1, drainsSomewhatExcessively),
		one("drains_well", daily, &c.Drains.Well, 0, 1, drainsWell),
		one("drains_moderately_well", daily, &c.Drains.ModeratelyWell, 0, 1, drainsModeratelyWell),
		one("drains_somewhat_poorly", daily, &c.Drains.SomewhatPoorly, 0, 1, drainsSomewhatPoorly),
		one("drains_poorly", daily, &c.Drains.Poorly, 0, 1, drainsPoorly),
		one("drains_very_poorly", daily, &c.Drains.VeryPoorly, 0, 1, drainsVeryPoorly),
		coefficient.Of("drains_scale", factor, &c.DrainsScale, 0, 100, drainsScale, drainsScaleLow, drainsScaleHigh),
		coefficient.Of("saturated_above", share, &c.SaturatedAbove, 0, 1, saturatedAbove, saturatedAboveLow, saturatedAboveHigh),
		one("curve_a", curve, &c.Curve.A, 1, 100, curveA),
		one("curve_b", curve, &c.Curve.B, 1, 100, curveB),
		one("curve_c", curve, &c.Curve.C, 1, 100, curveC),
		one("curve_d", curve, &c.Curve.D, 1, 100, curveD),
		one("hargreaves", "mm per mm and °C to the power 1.5", &c.Hargreaves, 0, 1, hargreaves),
		one("hargreaves_offset", "°C", &c.HargreavesOffset, 0, 100, hargreavesOffset),
		coefficient.Of("evaporation_scale", factor, &c.EvaporationScale, 0, 10, evaporationScale, evaporationScaleLow, evaporationScaleHigh),
		one("bare_soil", factor, &c.BareSoil, 0, 2, bareSoil),
		one("full_crop", factor, &c.FullCrop, 0, 2, fullCrop),
		one("crop_starts", "days from planting", &c.CropStarts, 0, 365, cropStarts),
		one("crop_full", "days from planting", &c.CropFull, 0, 365, cropFull),
		one("easy_share", share, &c.EasyShare, 0, 0.99, easyShare),
		one("melt_per_degree", "mm a day per °C", &c.MeltPerDegree, 0, 100, meltPerDegree),
		one("moist_mm", "mm", &c.MoistMM, 0, 100, moistMM),
		one("near_capacity", share, &c.NearCapacity, 0, 1, nearCapacity),
		one("drying_days", "days", &c.DryingDays, 0.1, 365, dryingDays),
		one("start_share", share, &c.StartShare, 0, 1, startShare),
	}
}
