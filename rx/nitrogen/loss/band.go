package loss

import (
	"fmt"
	"math"

	"ratewright/geo/unit"
)

// BandPPM is the mean concentration of nitrogen in the zone around a band of a radius,
// in soil of a bulk density, with bands at a spacing; its core lies well above it.
// It is an error where a figure is below or at zero, or no number.
//
// Source: arithmetic; 180 kg N/ha at 0.76 m, in 6.35 cm of 1,300 kg/m3, make 831 ppm.
func BandPPM(rate unit.NRate, spacing, radius unit.Length, bulk unit.Density) (unit.PPM, error) {
	r, s, d := radius.Metres(), spacing.Metres(), 1000*bulk.KgPerLitre()
	if !(rate >= 0) || !(s > 0) || !(r > 0) || !(d > 0) || 2*r > s || math.IsInf(float64(rate), 1) || math.IsInf(s, 1) || math.IsInf(d, 1) {
		return 0, fmt.Errorf("a band of %s at %s, in a zone of %s radius and %s of soil: give numbers above zero, and a zone narrower than the spacing", rate, spacing, radius, bulk)
	}
	const m2PerHa = 1e4
	return unit.PPM(1e6 * rate.KgNPerHa() * s / m2PerHa / (math.Pi * r * r * d)), nil
}

// WetSpell is the nitrate lost in a wet spell by the rule of thumb of extension: so
// much of the nitrate there was at its start for each saturated day after the first
// ones. The course takes each day's share of what is left instead. It is an error
// where a figure is below zero or no number.
//
// Source: Univ. of Kentucky: 3 to 4 % a day after the first 2 days; Sawyer (Iowa State
// Univ., ICM News): 4 to 5 % a day.
func WetSpell(nitrate unit.NRate, saturatedDays, firstDays, perDay float64) (unit.NRate, error) {
	if !(nitrate >= 0) || !(saturatedDays >= 0) || !(firstDays >= 0) || !(perDay >= 0 && perDay <= 1) || math.IsInf(float64(nitrate)+saturatedDays+firstDays, 1) {
		return 0, fmt.Errorf("a wet spell of %g days, of which the first %g do not count, with the share %g of %s lost a day: write zero or more, and a share up to 1", saturatedDays, firstDays, perDay, nitrate)
	}
	return nitrate * unit.NRate(min(1, max(0, saturatedDays-firstDays)*perDay)), nil
}
