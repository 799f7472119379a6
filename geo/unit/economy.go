package unit

import (
	"fmt"
	"strings"
)

// bushel is the mass of a bushel of shelled corn at 15.5 % moisture, in kg.
//
// Source: US Standards for corn; 56 lb by definition of the trade.
const bushel = 56 * pound

// quintal is 100 kg.
const quintal = 100.0

// Yield is grain per area, in kg/ha at the moisture at which grain is sold; for
// corn 15.5 %. Bushels are of corn, 56 lb.
type Yield float64

// NPrice is money for nitrogen, in $/kg N.
type NPrice float64

// GrainPrice is money for grain, in $/kg.
type GrainPrice float64

// Return is money per area, in $/ha. It may be negative.
type Return float64

// PPM is a concentration in parts per million of mass, mg/kg.
type PPM float64

// KgGrainPerHa makes a Yield from kilograms per hectare.
func KgGrainPerHa(v float64) Yield { return Yield(v) }

// BushelsPerAcre makes a Yield from bushels of corn per acre.
func BushelsPerAcre(v float64) Yield { return Yield(v * (bushel / acre * hectare)) }

// KgPerHa is the yield in kilograms per hectare.
func (y Yield) KgPerHa() float64 { return float64(y) }

// BushelsPerAcre is the yield in bushels of corn per acre.
func (y Yield) BushelsPerAcre() float64 { return float64(y) / (bushel / acre * hectare) }

// PerKg is the price in $/kg N.
func (p NPrice) PerKg() float64 { return float64(p) }

// PerPound is the price in $/lb N.
func (p NPrice) PerPound() float64 { return float64(p) * pound }

// PerKg is the price in $/kg.
func (p GrainPrice) PerKg() float64 { return float64(p) }

// PerBushel is the price in $ for a bushel of corn.
func (p GrainPrice) PerBushel() float64 { return float64(p) * bushel }

// PerHa is the return in $/ha.
func (r Return) PerHa() float64 { return float64(r) }

// PerAcre is the return in $/ac.
func (r Return) PerAcre() float64 { return float64(r) / hectare * acre }

// MgPerKg is the concentration in mg/kg, which is ppm of mass.
func (c PPM) MgPerKg() float64 { return float64(c) }

// ParseYield reads a yield such as "200 bu/ac", "12.5 t/ha" or "120 q/ha"; it may
// not be negative. Bushels are of corn.
func ParseYield(s string) (Yield, error) {
	v, err := parse(yields, s, unsigned)
	return Yield(v), err
}

// ParseNPrice reads a price of nitrogen such as "0.50 $/lb" or "$0.50/lb"; it must
// be above zero. A price of product is none: divide it by the share of nitrogen.
func ParseNPrice(s string) (NPrice, error) {
	v, err := price(nPrices, s)
	return NPrice(v), err
}

// ParseGrainPrice reads a price of grain such as "4.20 $/bu" or "170 $/t"; it must
// be above zero.
func ParseGrainPrice(s string) (GrainPrice, error) {
	v, err := price(grainPrices, s)
	return GrainPrice(v), err
}

// ParseReturn reads money per area such as "1 $/ac"; it may be negative.
func ParseReturn(s string) (Return, error) {
	v, err := parse(returns, dollarLast(s), signed)
	return Return(v), err
}

// ParsePPM reads a concentration such as "12 ppm" or "12 mg/kg"; it may not be
// negative.
func ParsePPM(s string) (PPM, error) {
	v, err := parse(concentrations, s, unsigned)
	return PPM(v), err
}

// ParseYieldUnit reads a unit of yield, such as "bu/ac", and returns its kg/ha.
func ParseYieldUnit(s string) (float64, error) { return factor(s, yields) }

func price(k *kind, s string) (float64, error) {
	v, err := parse(k, dollarLast(s), unsigned)
	if err == nil && v == 0 {
		return 0, fmt.Errorf("%s: %s must be above zero", quote(s), k.noun)
	}
	return v, err
}

// dollarLast puts the sign of "$4.20/bu" behind the number: "4.20 $/bu".
func dollarLast(s string) string {
	text := strings.TrimSpace(s)
	rest, ok := strings.CutPrefix(text, "$")
	if !ok {
		return s
	}
	rest = strings.TrimSpace(rest)
	num := leadingNumber.FindString(rest)
	if num == "" {
		return s
	}
	return num + " $" + rest[len(num):]
}

var (
	money  = &kind{noun: "money", example: "10 $", units: []entry{{"$", 1, []string{"usd", "us$", "dollar", "dollars"}}}}
	grains = &kind{noun: "a mass of grain", example: "1 bu", units: append([]entry{
		{"bu", bushel, []string{"bushel", "bushels", "[bu_us]"}},
		{"q", quintal, []string{"quintal", "quintals"}},
	}, masses.units...)}
	yields = &kind{noun: "a yield", example: "200 bu/ac", closed: true, over: [2]*kind{grains, areas}, units: []entry{
		{"bu/ac", bushel / acre * hectare, []string{"bu/a", "bpa"}},
		{"kg/ha", 1, nil},
		{"t/ha", 1000, nil},
		{"q/ha", quintal, nil},
		{"lb/ac", pound / acre * hectare, nil},
	}}
	nPrices = &kind{noun: "a price of nitrogen", example: "0.50 $/lb", closed: true, over: [2]*kind{money, masses}, units: []entry{
		{"$/lb", 1 / pound, nil},
		{"$/kg", 1, nil},
	}}
	grainPrices = &kind{noun: "a price of grain", example: "4.20 $/bu", closed: true, over: [2]*kind{money, grains}, units: []entry{
		{"$/bu", 1 / bushel, nil},
		{"$/kg", 1, nil},
		{"$/t", 0.001, nil},
		{"$/q", 1 / quintal, nil},
	}}
	returns = &kind{noun: "money per area", example: "1 $/ac", closed: true, over: [2]*kind{money, areas}, units: []entry{
		{"$/ac", 1 / acre * hectare, nil},
		{"$/ha", 1, nil},
	}}
	concentrations = &kind{noun: "a concentration", example: "12 ppm", units: []entry{
		{"ppm", 1, []string{"mg/kg", "parts per million"}},
	}}
)
