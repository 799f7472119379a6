package demo

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"time"
)

// The record of weather: invented, with a wet and a dry year now and then, as a station
// in the middle of corn country might have.
const (
	firstYear, lastYear = 2004, 2023
	weatherSeed         = 20260420
)

// weatherCSV is 20 invented years of daily weather.
func weatherCSV() []byte {
	rng := rand.New(rand.NewPCG(weatherSeed, 1))
	var b bytes.Buffer
	b.WriteString("DATE,TMAX_F,TMIN_F,RAIN_IN\n")
	for year := firstYear; year <= lastYear; year++ {
		wet, warm := 0.6+0.9*rng.Float64(), 1.2*rng.NormFloat64()
		spell := 0.0
		for day := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC); day.Year() == year; day = day.AddDate(0, 0, 1) {
			spell = 0.7*spell + 2.4*rng.NormFloat64()
			mean := 9.5 - 15.5*math.Cos(2*math.Pi*float64(day.YearDay()-20)/365) + warm + spell
			half := 4 + 3*rng.Float64()
			rain := 0.0
			if rng.Float64() < 0.29 {
				// Most in June, least in winter.
				season := 0.55 - 0.45*math.Cos(2*math.Pi*float64(day.YearDay()+10)/365)
				rain = 11 * wet * season * rng.ExpFloat64()
			}
			fmt.Fprintf(&b, "%s,%.0f,%.0f,%.2f\n", day.Format(time.DateOnly), fahrenheit(mean+half), fahrenheit(mean-half), rain/25.4)
		}
	}
	return b.Bytes()
}

func fahrenheit(c float64) float64 { return 1.8*c + 32 }
