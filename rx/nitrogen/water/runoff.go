package water

import "fmt"

// Runoff is what runs off of a day's water (mm) by a curve number.
//
// Source: USDA-NRCS, TR-55 (1986), equations 2-3 and 2-4: with 6.0 in and a curve
// number of 70, 2.81 in.
func Runoff(waterMM, curve float64) (float64, error) {
	if !finite(waterMM) || waterMM < 0 || !(curve > 0 && curve <= 100) {
		return 0, fmt.Errorf("%g mm of water and a curve number of %g: write zero or more, and a number up to 100", waterMM, curve)
	}
	return runoff(waterMM, curve), nil
}

func runoff(waterMM, curve float64) float64 {
	const atOnce = 0.2                 // of the retention, before any runs off
	retention := 25.4*1000/curve - 254 // mm
	if waterMM <= atOnce*retention {
		return 0
	}
	over := waterMM - atOnce*retention
	return over * over / (over + retention)
}
