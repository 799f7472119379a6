// Package unit holds the quantities of the project: each is a float64 in SI
// (or in the SI-based unit the trade reckons in, such as kg/ha), made by a
// constructor or parsed from text such as "60 ft", and left by a named method.
// A bare number is refused wherever a unit is due.
//
// All conversion factors are exact by definition: the international foot, inch
// and avoirdupois pound of 1959, the US liquid gallon of 231 cubic inches, and
// the international acre of 43 560 square international feet. The UCUM code
// [acr_us] names the US survey acre, which is larger by 4e-6; it is read as the
// international acre, a difference no applicator can resolve.
//
// Values are not checked by the constructors: NaN in gives NaN out. The parsers
// let no NaN or infinity in, and the printers write "n/a" for one.
package unit

import (
	"math"
	"strconv"
)

// Exact factors to SI.
const (
	foot       = 0.3048                    // m, international
	inch       = 0.0254                    // m
	surveyFoot = 1200.0 / 3937.0           // m, US survey foot
	mile       = 5280 * foot               // m
	acre       = 43560 * foot * foot       // m2, international: 4046.8564224
	hectare    = 10000.0                   // m2
	pound      = 0.45359237                // kg, avoirdupois
	shortTon   = 2000 * pound              // kg
	gallon     = 231 * cubicInch           // L, US liquid: 3.785411784
	cubicInch  = inch * inch * inch * 1000 // L
	hour       = 3600.0                    // s
)

// Length is in metres. Offsets may be negative.
type Length float64

// Area is in square metres.
type Area float64

// Mass is in kilograms; whether of nitrogen or of product is for its name to say.
type Mass float64

// Volume is in litres.
type Volume float64

// Density is in kilograms per litre.
type Density float64

// NRate is nitrogen per area, in kg N/ha.
type NRate float64

// ProductRate is product (fertiliser as sold) per area, in kg/ha.
type ProductRate float64

// Speed is in metres per second.
type Speed float64

// Duration is in seconds. Lags may be negative.
type Duration float64

// Metres makes a Length from metres.
func Metres(v float64) Length { return Length(v) }

// Feet makes a Length from international feet.
func Feet(v float64) Length { return Length(v * foot) }

// SurveyFeet makes a Length from US survey feet of 1200/3937 m.
func SurveyFeet(v float64) Length { return Length(v * surveyFoot) }

// Inches makes a Length from inches.
func Inches(v float64) Length { return Length(v * inch) }

// SquareMetres makes an Area from square metres.
func SquareMetres(v float64) Area { return Area(v) }

// Hectares makes an Area from hectares.
func Hectares(v float64) Area { return Area(v * hectare) }

// Acres makes an Area from international acres.
func Acres(v float64) Area { return Area(v * acre) }

// Kilograms makes a Mass from kilograms.
func Kilograms(v float64) Mass { return Mass(v) }

// Pounds makes a Mass from avoirdupois pounds.
func Pounds(v float64) Mass { return Mass(v * pound) }

// ShortTons makes a Mass from US short tons of 2000 lb.
func ShortTons(v float64) Mass { return Mass(v * shortTon) }

// Litres makes a Volume from litres.
func Litres(v float64) Volume { return Volume(v) }

// Gallons makes a Volume from US liquid gallons.
func Gallons(v float64) Volume { return Volume(v * gallon) }

// KgPerLitre makes a Density from kilograms per litre.
func KgPerLitre(v float64) Density { return Density(v) }

// LbPerGallon makes a Density from pounds per US gallon.
func LbPerGallon(v float64) Density { return Density(v * (pound / gallon)) }

// KgNPerHa makes an NRate from kilograms of nitrogen per hectare.
func KgNPerHa(v float64) NRate { return NRate(v) }

// LbNPerAcre makes an NRate from pounds of nitrogen per acre.
func LbNPerAcre(v float64) NRate { return NRate(v * (pound / acre * hectare)) }

// KgPerHa makes a ProductRate from kilograms of product per hectare.
func KgPerHa(v float64) ProductRate { return ProductRate(v) }

// LbPerAcre makes a ProductRate from pounds of product per acre.
func LbPerAcre(v float64) ProductRate { return ProductRate(v * (pound / acre * hectare)) }

// MetresPerSecond makes a Speed from metres per second.
func MetresPerSecond(v float64) Speed { return Speed(v) }

// MilesPerHour makes a Speed from statute miles per hour.
func MilesPerHour(v float64) Speed { return Speed(v * (mile / hour)) }

// Seconds makes a Duration from seconds.
func Seconds(v float64) Duration { return Duration(v) }

// Metres is the length in metres.
func (l Length) Metres() float64 { return float64(l) }

// Feet is the length in international feet.
func (l Length) Feet() float64 { return float64(l) / foot }

// SurveyFeet is the length in US survey feet.
func (l Length) SurveyFeet() float64 { return float64(l) / surveyFoot }

// Inches is the length in inches.
func (l Length) Inches() float64 { return float64(l) / inch }

// SquareMetres is the area in square metres.
func (a Area) SquareMetres() float64 { return float64(a) }

// Hectares is the area in hectares.
func (a Area) Hectares() float64 { return float64(a) / hectare }

// Acres is the area in international acres.
func (a Area) Acres() float64 { return float64(a) / acre }

// Kilograms is the mass in kilograms.
func (m Mass) Kilograms() float64 { return float64(m) }

// Pounds is the mass in avoirdupois pounds.
func (m Mass) Pounds() float64 { return float64(m) / pound }

// ShortTons is the mass in US short tons of 2000 lb.
func (m Mass) ShortTons() float64 { return float64(m) / shortTon }

// Litres is the volume in litres.
func (v Volume) Litres() float64 { return float64(v) }

// Gallons is the volume in US liquid gallons.
func (v Volume) Gallons() float64 { return float64(v) / gallon }

// KgPerLitre is the density in kilograms per litre.
func (d Density) KgPerLitre() float64 { return float64(d) }

// LbPerGallon is the density in pounds per US gallon.
func (d Density) LbPerGallon() float64 { return float64(d) / (pound / gallon) }

// KgNPerHa is the rate in kilograms of nitrogen per hectare.
func (r NRate) KgNPerHa() float64 { return float64(r) }

// LbNPerAcre is the rate in pounds of nitrogen per acre.
func (r NRate) LbNPerAcre() float64 { return float64(r) / (pound / acre * hectare) }

// KgPerHa is the rate in kilograms of product per hectare.
func (r ProductRate) KgPerHa() float64 { return float64(r) }

// LbPerAcre is the rate in pounds of product per acre.
func (r ProductRate) LbPerAcre() float64 { return float64(r) / (pound / acre * hectare) }

// MetresPerSecond is the speed in metres per second.
func (s Speed) MetresPerSecond() float64 { return float64(s) }

// MilesPerHour is the speed in statute miles per hour.
func (s Speed) MilesPerHour() float64 { return float64(s) / (mile / hour) }

// Seconds is the duration in seconds.
func (d Duration) Seconds() float64 { return float64(d) }

// Over is the mass of nitrogen that the rate puts on an area.
func (r NRate) Over(a Area) Mass { return Mass(float64(r) * a.Hectares()) }

// Over is the mass of product that the rate puts on an area.
func (r ProductRate) Over(a Area) Mass { return Mass(float64(r) * a.Hectares()) }

// String writes the length in metres, every digit of it.
func (l Length) String() string { return exactly(float64(l), "m") }

// String writes the area in square metres, every digit of it.
func (a Area) String() string { return exactly(float64(a), "m2") }

// String writes the mass in kilograms, every digit of it.
func (m Mass) String() string { return exactly(float64(m), "kg") }

// String writes the volume in litres, every digit of it.
func (v Volume) String() string { return exactly(float64(v), "L") }

// String writes the density in kilograms per litre, every digit of it.
func (d Density) String() string { return exactly(float64(d), "kg/L") }

// String writes the rate in kg N/ha, every digit of it.
func (r NRate) String() string { return exactly(float64(r), "kg N/ha") }

// String writes the rate in kg/ha of product, every digit of it.
func (r ProductRate) String() string { return exactly(float64(r), "kg/ha") }

// String writes the speed in metres per second, every digit of it.
func (s Speed) String() string { return exactly(float64(s), "m/s") }

// String writes the duration in seconds, every digit of it.
func (d Duration) String() string { return exactly(float64(d), "s") }

// exactly writes the shortest text that parses back to the same value. Tables
// use System instead.
func exactly(v float64, unit string) string {
	if !finite(v) {
		return notAvailable
	}
	return strconv.FormatFloat(v, 'g', -1, 64) + " " + unit
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
