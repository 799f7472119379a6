package water

import (
	"errors"
	"fmt"
	"math"
)

// Radiation is the extraterrestrial radiation (MJ/m2 a day) at a latitude (degrees,
// north above zero) on a day of the year, 1 for 1 January.
//
// Source: FAO-56 (Allen et al. 1998), equations 21 to 25; its example 8 gives 32.2
// MJ/m2 a day for 3 September at 20 degrees south.
func Radiation(latitude float64, dayOfYear int) (float64, error) {
	if !finite(latitude) || math.Abs(latitude) > 90 {
		return 0, fmt.Errorf("a latitude of %g degrees is none; write -90 to 90, north above zero", latitude)
	}
	if dayOfYear < 1 || dayOfYear > 366 {
		return 0, fmt.Errorf("day %d of the year is none; write 1 to 366", dayOfYear)
	}
	return radiation(latitude*math.Pi/180, dayOfYear), nil
}

// radiation takes the latitude in radians.
func radiation(latitude float64, dayOfYear int) float64 {
	const solar, year = 0.0820, 365 // MJ/m2 a minute; days
	angle := 2 * math.Pi / year * float64(dayOfYear)
	distance := 1 + 0.033*math.Cos(angle)
	declination := 0.409 * math.Sin(angle-1.39)
	// Beyond the polar circles the sun may not set, or not rise.
	sunset := math.Acos(max(-1, min(1, -math.Tan(latitude)*math.Tan(declination))))
	return max(0, 24*60/math.Pi*solar*distance*(sunset*math.Sin(latitude)*math.Sin(declination)+math.Cos(latitude)*math.Cos(declination)*math.Sin(sunset)))
}

// Reference is the evapotranspiration (mm a day) of a reference crop under an
// extraterrestrial radiation (MJ/m2 a day) with the day's maximum and minimum (°C).
// It is an error where a temperature is no number or the minimum above the maximum.
//
// Source: Hargreaves & Samani 1985, Appl. Eng. Agric. 1:96-99; FAO-56 equation 52.
func (c Coefficients) Reference(radiation, maxC, minC float64) (float64, error) {
	switch {
	case !finite(radiation) || radiation < 0:
		return 0, fmt.Errorf("a radiation of %g MJ/m2 a day is none; write zero or more", radiation)
	case !finite(maxC) || !finite(minC):
		return 0, errors.New("a temperature is missing or no number; fill it and say so, or leave the day out")
	case minC > maxC:
		return 0, fmt.Errorf("the minimum of %g °C is above the maximum of %g °C; one of the two is wrong", minC, maxC)
	}
	return c.reference(radiation, maxC, minC), nil
}

func (c Coefficients) reference(radiation, maxC, minC float64) float64 {
	const mmPerMJ = 0.408 // FAO-56 equation 20
	return max(0, c.Hargreaves*((maxC+minC)/2+c.HargreavesOffset)*math.Sqrt(maxC-minC)*mmPerMJ*radiation)
}
