package unit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The factors as their definitions print them: international yard and pound
// agreement 1959 (foot, inch, pound), NIST Handbook 44 appendix C (gallon of
// 231 cubic inches, international acre, US survey foot).
func TestExactFactors(t *testing.T) {
	tests := map[string]struct{ got, want float64 }{
		"foot":        {Feet(1).Metres(), 0.3048},
		"inch":        {Inches(1).Metres(), 0.0254},
		"survey foot": {SurveyFeet(3937).Metres(), 1200},
		"acre":        {Acres(1).SquareMetres(), 4046.8564224},
		"hectare":     {Hectares(1).SquareMetres(), 10000},
		"pound":       {Pounds(1).Kilograms(), 0.45359237},
		"short ton":   {ShortTons(1).Kilograms(), 907.18474},
		"gallon":      {Gallons(1).Litres(), 3.785411784},
		"mile/hour":   {MilesPerHour(1).MetresPerSecond(), 0.44704},
		// Exact definitions, to the digits in common use.
		"1 lb/ac in kg/ha":  {math.Round(LbPerAcre(1).KgPerHa()*1e5) / 1e5, 1.12085},
		"1 lb/gal in kg/L":  {math.Round(LbPerGallon(1).KgPerLitre()*1e7) / 1e7, 0.1198264},
		"1 gal/ac in L/ha":  {math.Round(GallonsPerAcre.PerHa()*1e5) / 1e5, 9.35396},
		"1 ac in ha":        {math.Round(Acres(1).Hectares()*1e6) / 1e6, 0.404686},
		"1 ton/ac in lb/ac": {ShortTonsPerAcre.PerHa() / PoundsPerAcre.PerHa(), 2000},
	}
	for name, tt := range tests {
		assert.InEpsilon(t, tt.want, tt.got, 1e-14, name)
	}
}

// The US survey acre of UCUM differs from the acre in use by 4e-6, which is what
// the package says it neglects.
func TestSurveyAcreIsNeglectedByTheAmountSaid(t *testing.T) {
	survey := SquareMetres(43560 * surveyFoot * surveyFoot)
	assert.InDelta(t, 4046.8726, survey.SquareMetres(), 5e-5)
	assert.InDelta(t, 4e-6, survey.Acres()-1, 0.05e-6)
}

func TestConstructorsAndMethodsAreInverse(t *testing.T) {
	pairs := map[string]func(float64) float64{
		"Metres":          func(v float64) float64 { return Metres(v).Metres() },
		"Feet":            func(v float64) float64 { return Feet(v).Feet() },
		"SurveyFeet":      func(v float64) float64 { return SurveyFeet(v).SurveyFeet() },
		"Inches":          func(v float64) float64 { return Inches(v).Inches() },
		"SquareMetres":    func(v float64) float64 { return SquareMetres(v).SquareMetres() },
		"Hectares":        func(v float64) float64 { return Hectares(v).Hectares() },
		"Acres":           func(v float64) float64 { return Acres(v).Acres() },
		"Kilograms":       func(v float64) float64 { return Kilograms(v).Kilograms() },
		"Pounds":          func(v float64) float64 { return Pounds(v).Pounds() },
		"ShortTons":       func(v float64) float64 { return ShortTons(v).ShortTons() },
		"Litres":          func(v float64) float64 { return Litres(v).Litres() },
		"Gallons":         func(v float64) float64 { return Gallons(v).Gallons() },
		"KgPerLitre":      func(v float64) float64 { return KgPerLitre(v).KgPerLitre() },
		"LbPerGallon":     func(v float64) float64 { return LbPerGallon(v).LbPerGallon() },
		"KgNPerHa":        func(v float64) float64 { return KgNPerHa(v).KgNPerHa() },
		"LbNPerAcre":      func(v float64) float64 { return LbNPerAcre(v).LbNPerAcre() },
		"KgPerHa":         func(v float64) float64 { return KgPerHa(v).KgPerHa() },
		"LbPerAcre":       func(v float64) float64 { return LbPerAcre(v).LbPerAcre() },
		"MetresPerSecond": func(v float64) float64 { return MetresPerSecond(v).MetresPerSecond() },
		"MilesPerHour":    func(v float64) float64 { return MilesPerHour(v).MilesPerHour() },
		"Seconds":         func(v float64) float64 { return Seconds(v).Seconds() },
	}
	for name, there := range pairs {
		for _, v := range []float64{0, 1, -3.7, 1e-9, 123456.789} {
			assert.InDelta(t, v, there(v), 4e-16*math.Abs(v), "%s(%g)", name, v)
		}
	}
}

// A rate over an area: 120 lb N/ac on 80 ac is 9600 lb.
func TestRateOverArea(t *testing.T) {
	assert.InEpsilon(t, 9600, LbNPerAcre(120).Over(Acres(80)).Pounds(), 1e-14)
	assert.InEpsilon(t, 150, KgPerHa(300).Over(Hectares(0.5)).Kilograms(), 1e-14)
	assert.InEpsilon(t, 3200, Rate{40, GallonsPerAcre}.Over(Acres(80)).Value, 1e-14)
	assert.Equal(t, "3200.0 gal", Rate{40, GallonsPerAcre}.Over(Acres(80)).String())
	assert.Equal(t, "80.00 short ton", Rate{1, ShortTonsPerAcre}.Over(Acres(80)).String())
	assert.Equal(t, Amount{}, Rate{}.Over(Acres(80)))
}
